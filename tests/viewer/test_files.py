"""Outputs are there whole or not at all, and never where they must not be."""

from __future__ import annotations

import os
import stat
import sys
from pathlib import Path

import pytest

from models.problems import BadInput
from viewer.files import folder, made, outputs


def names(where: Path) -> list[str]:
    return sorted(p.name for p in where.iterdir())


def test_all_are_written_at_the_end(tmp_path: Path) -> None:
    a, b = tmp_path / "a.json", tmp_path / "b.csv"
    b.write_bytes(b"old")
    with outputs(a, None, b) as out:
        out.put(a, b"A")
        out.put(b, b"B")
        assert b.read_bytes() == b"old"
        assert not a.exists()
    assert (a.read_bytes(), b.read_bytes()) == (b"A", b"B")
    assert names(tmp_path) == ["a.json", "b.csv"]


@pytest.mark.parametrize("error", [RuntimeError, KeyboardInterrupt])
def test_none_is_written_when_the_work_fails(tmp_path: Path, error: type[BaseException]) -> None:
    a, b = tmp_path / "a", tmp_path / "b"
    b.write_bytes(b"old")

    def work() -> None:
        with outputs(a, b) as out:
            out.put(b, b"new")
            raise error

    with pytest.raises(error):
        work()
    assert names(tmp_path) == ["b"]
    assert b.read_bytes() == b"old"


def test_every_target_that_cannot_be_is_told_before_the_work(tmp_path: Path) -> None:
    site = tmp_path / "site.yaml"
    site.write_text("x")
    bad = [tmp_path, tmp_path / "none" / "f", site / "f", site, tmp_path / "good", tmp_path / "good"]
    worked = False
    with pytest.raises(BadInput) as told, outputs(*bad, reads=[site]):
        worked = True
    assert not worked
    lines = [str(p) for p in told.value.problems]
    assert len(lines) == 5
    for line, word in zip(
        lines, ["it is a folder", "no folder none", "no folder", "is read from", "twice"], strict=True
    ):
        assert word in line
        assert "\n" not in line
    assert names(tmp_path) == ["site.yaml"]


def test_standard_output_once_only() -> None:
    with pytest.raises(BadInput, match="standard output is asked for twice"), outputs(Path("-"), Path("-")):
        pass


@pytest.mark.skipif(sys.platform == "win32", reason="rights and links of a Unix")
def test_rights_and_links_stay(tmp_path: Path) -> None:
    old, link, new = tmp_path / "old", tmp_path / "link", tmp_path / "new"
    old.write_bytes(b"old")
    old.chmod(0o640)
    link.symlink_to(old)
    before = os.umask(0o022)
    try:
        with outputs(link, new) as out:
            out.put(link, b"1")
            out.put(new, b"2")
    finally:
        os.umask(before)
    assert link.is_symlink()
    assert old.read_bytes() == b"1"
    assert stat.S_IMODE(old.stat().st_mode) == 0o640
    assert stat.S_IMODE(new.stat().st_mode) == 0o644


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_device_is_told_and_stays_a_device() -> None:
    full = Path("/dev/full")

    def work() -> None:
        with outputs(full) as out:
            out.put(full, b"x")

    with pytest.raises(BadInput, match="no space left"):
        work()
    assert full.is_char_device()


def test_a_folder_is_filled_at_the_end_or_not_at_all(tmp_path: Path) -> None:
    target = tmp_path / "solids"
    with folder(target) as inside:
        (inside / "sub").mkdir()
        (inside / "sub" / "a.obj").write_text("a")
        assert [n for n in names(target) if not n.startswith(".")] == []
    assert names(target) == ["sub"]
    assert (target / "sub" / "a.obj").read_text() == "a"

    other = tmp_path / "other"

    def work() -> None:
        with folder(other) as inside:
            (inside / "a").write_text("a")
            raise RuntimeError

    with pytest.raises(RuntimeError):
        work()
    assert not other.exists()


def test_folders_that_cannot_be(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("x")
    for bad, word in [
        (file, "it is a file"),
        (tmp_path / "no" / "x", "no folder no"),
        (file / "x", "no folder file"),
    ]:
        with pytest.raises(BadInput, match=word), made(bad):
            pass
