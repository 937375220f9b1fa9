"""The copy that what was tried is written into: whole, verified, or not at all."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

import models.changes.copying
from models.changes.change import NudgeRods
from models.changes.rebuilt import rebuilt
from models.lengths import Units
from models.problems import BadInput
from models.reading.loading import load_site
from models.site import Site
from viewer.given import site_file
from viewer.window.what_if_copy import free_name, write_copy

START = Path(__file__).parents[3] / "models" / "examples" / "start" / "site.yaml"


@pytest.fixture(name="tried")
def _tried(tmp_path: Path) -> tuple[Path, Site, Site]:
    file = tmp_path / "site.yaml"
    shutil.copy(START, file)
    drawn = load_site(file)
    spec = NudgeRods(3.175, 0.0).applied(drawn.piers[0].spec, Units.FT_IN)
    return file, drawn, rebuilt(drawn, spec)


def test_the_copy_is_written_beside_and_the_site_file_stays(tried: tuple[Path, Site, Site]) -> None:
    file, drawn, now = tried
    before = file.read_bytes()
    target = free_name(file)
    assert target.name == "site-what-if.yaml"
    write_copy(file, target, drawn, now)
    assert load_site(target).spec == now.spec
    assert file.read_bytes() == before
    assert sorted(p.name for p in file.parent.iterdir()) == ["site-what-if.yaml", "site.yaml"]
    assert free_name(file).name == "site-what-if-2.yaml"


def test_a_copy_is_no_second_site_of_its_folder(tried: tuple[Path, Site, Site]) -> None:
    file, drawn, now = tried
    write_copy(file, free_name(file), drawn, now)
    assert site_file(file.parent) == file


def test_what_is_there_already_is_never_written_over(tried: tuple[Path, Site, Site]) -> None:
    file, drawn, now = tried
    for name in ("site.yaml", "other.yaml"):
        target = file.with_name(name)
        if not target.exists():
            target.write_text("mine", encoding="utf-8")
        before = target.read_bytes()
        with pytest.raises(BadInput, match="it is there already; choose another name"):
            write_copy(file, target, drawn, now)
        assert target.read_bytes() == before


def test_a_copy_that_does_not_read_back_is_not_left_behind(
    tried: tuple[Path, Site, Site], monkeypatch: pytest.MonkeyPatch
) -> None:
    file, drawn, now = tried
    monkeypatch.setattr(models.changes.copying, "copy_of", lambda *_: file.read_bytes())
    with pytest.raises(BadInput, match="does not read back as what was tried, so it is not written"):
        write_copy(file, file.with_name("copy.yaml"), drawn, now)
    monkeypatch.setattr(models.changes.copying, "copy_of", lambda *_: b"piers: [")
    with pytest.raises(BadInput, match="does not read back"):
        write_copy(file, file.with_name("copy.yaml"), drawn, now)
    assert [p.name for p in file.parent.iterdir()] == ["site.yaml"]


def test_a_folder_that_is_not_there_is_told(tried: tuple[Path, Site, Site]) -> None:
    file, drawn, now = tried
    with pytest.raises(BadInput, match="there is no folder nowhere"):
        write_copy(file, file.parent / "nowhere" / "copy.yaml", drawn, now)
