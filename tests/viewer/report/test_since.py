"""`check --since`: an earlier report read back, told on the screen and in JSON; anything else refused."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests.viewer.running import Run
from viewer.report.schemas import findings_schema

MOVED = '[[-4", 0], [4", 0]]'


def move_rods(site: Path, x: str) -> None:
    """Put the rods of P1 at x to either side of the center of its 20 in pier."""
    text = site.read_text()
    assert text.count(MOVED) == 1
    site.write_text(text.replace(MOVED, f'[[-{x}", 0], [{x}", 0]]'))


@pytest.fixture(name="old")
def _old(run: Run, site: Path, tmp_path: Path) -> Path:
    """A report on the site as it came, without a finding."""
    file = tmp_path / "old.json"
    code, _, err = run("check", site, "--json", file)
    assert (code, err) == (0, "")
    assert json.loads(file.read_text())["findings"] == []
    return file


def test_nothing_changed(run: Run, site: Path, old: Path) -> None:
    code, out, _ = run("check", site, "--since", old)
    assert code == 0
    assert "Since old.json (My site, sha256" in out
    assert "0 new, 0 gone, 0 better, 0 worse, 0 as they were." in out


def test_new_then_worse_then_better_then_gone(run: Run, site: Path, old: Path, tmp_path: Path) -> None:
    plain = site.read_text()
    steps = [("9", "new", "NEW"), ("9.25", "worse", "WORSE"), ("9", "better", "BETTER")]
    seen: set[str] = set()
    for x, key, word in steps:
        site.write_text(plain)
        move_rods(site, x)
        code, out, _ = run("check", site, "--since", old)
        assert code == 1
        assert f"\n  {word} " in out
        code, text, _ = run("check", site, "--since", old, "--json", "-")
        content = json.loads(text)
        jsonschema.Draft7Validator(findings_schema()).validate(content)
        since = content["since"]
        ids = [item if isinstance(item, str) else item["id"] for item in since[key]]
        cover = {f"cover:P1/rod/{n}:P1/concrete/side" for n in (1, 2)}
        assert cover <= set(ids)
        seen |= {f["id"] for f in content["findings"]}
        old.write_text(text)
    site.write_text(plain)
    code, out, _ = run("check", site, "--since", old)
    assert code == 0
    assert "\n  GONE " in out
    assert " 0 new, " in " ".join(out.split("Since old.json")[1].split())
    assert cover <= seen


def test_the_old_report_may_be_written_anew(run: Run, site: Path, old: Path) -> None:
    before = json.loads(old.read_text())
    assert "since" not in before
    code, _, err = run("check", site, "--since", old, "--json", old)
    assert (code, err) == (0, "")
    assert json.loads(old.read_text())["since"]["same"] == 0


def test_with_json_on_standard_output_nothing_else_goes_there(run: Run, site: Path, old: Path) -> None:
    code, out, err = run("check", site, "--since", old, "--json", "-")
    assert (code, err) == (0, "")
    assert json.loads(out)["since"]["file"] == "old.json"


def _row(**changes: Any) -> dict[str, Any]:
    return {"id": "x", "level": "HOLD", "pier": "P1"} | changes


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"no json",
        b"\xff\xfe\x00",
        b"[]",
        b"3",
        b"{}",
        b'{"version": 1}',
        b'{"version": 2, "findings": []}',
        b'{"version": 1, "findings": {}}',
        b"[" * 100_000,
        json.dumps({"version": 1, "findings": [3]}).encode(),
        json.dumps({"version": 1, "findings": [_row(id=3)]}).encode(),
        json.dumps({"version": 1, "findings": [_row(level="BAD")]}).encode(),
        json.dumps({"version": 1, "findings": [_row(limit="some")]}).encode(),
        json.dumps({"version": 1, "findings": [_row(), _row()]}).encode(),
        json.dumps({"version": 1, "gaps": []}).encode(),
    ],
    ids=lambda content: str(content[:30]),
)
def test_anything_else_is_one_line_and_2(run: Run, site: Path, tmp_path: Path, content: bytes) -> None:
    bad = tmp_path / "bad.json"
    bad.write_bytes(content)
    target = tmp_path / "new.json"
    code, out, err = run("check", site, "--since", bad, "--json", target)
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert "bad.json" in err
    assert "name a file that pierclear check --json wrote" in err
    assert not target.exists()


@pytest.mark.parametrize("name", ["absent.json", "."])
def test_a_missing_file_or_a_folder_is_one_line_and_2(
    run: Run, site: Path, tmp_path: Path, name: str
) -> None:
    code, out, err = run("check", site, "--since", tmp_path / name)
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1


def test_numbers_that_are_none_are_left_out(run: Run, site: Path, tmp_path: Path) -> None:
    old = tmp_path / "old.json"
    row = _row(measured_mm=True, reserve_mm="1", measured=10**400, unit=4, says="a\x1b[31m b\n c")
    old.write_text(json.dumps({"version": 1, "findings": [row]}))
    code, out, err = run("check", site, "--since", old)
    assert (code, err) == (0, "")
    assert "GONE" in out
    assert "\x1b" not in out
