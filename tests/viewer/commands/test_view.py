"""`pierclear view --still`: a pier, the site, what was placed; wrong input in one line."""

from __future__ import annotations

import io
from pathlib import Path

import PIL.Image
import pytest

from tests.viewer.running import DEMO, Run
from viewer.drawing.page import Page
from viewer.drawing.recording import record
from viewer.pictures.made import Picture
from viewer.pictures.space import NO_VIEW


@pytest.fixture(autouse=True)
def _drawn_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pages without a view in space, in this process: that one is tried in test_made.py."""
    from viewer.pictures import made

    def here(wanted: list[made.Sheet]) -> list[Picture]:
        return [made.picture(sheet, space=False) for sheet in wanted]

    monkeypatch.setattr(made, "pictures", here)


def size(path: Path) -> tuple[int, int]:
    return PIL.Image.open(io.BytesIO(path.read_bytes())).size


def test_a_pier_and_what_it_says_without_a_view_in_space(run: Run, tmp_path: Path) -> None:
    still = tmp_path / "P7.png"
    code, out, err = run("view", DEMO, "--pier", "P7", "--still", still)
    assert (code, err) == (0, f"{NO_VIEW}\n")
    assert out == f"The picture of P7 is in {still}.\n"
    assert size(still) == (2550, 3300)


def test_without_a_pier_the_key_plan(run: Run, tmp_path: Path) -> None:
    still = tmp_path / "key.png"
    code, out, err = run("view", DEMO, "--still", still)
    assert (code, err) == (0, "")
    assert out == f"The key plan is in {still}.\n"
    assert size(still) == (3300, 2550)


@pytest.mark.parametrize("mark", [[], ["--pier", "P7"]])
@pytest.mark.parametrize("shots", [[], ["--shots", DEMO / "shots.csv"]])
def test_the_title_names_the_file_that_is_written(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, mark: list[str], shots: list[str | Path]
) -> None:
    from viewer.pictures import made

    written: list[str] = []

    def png(page: Page, title: str) -> bytes:
        written.extend(words for words, _, _ in record(page).texts)
        return title.encode()

    monkeypatch.setattr(made, "png", png)
    code, _, _ = run("view", DEMO, *mark, "--still", tmp_path / "for the crew.png", *shots)
    assert code == 0
    assert written.count("for the crew.png") == 1


@pytest.mark.parametrize("pier", [None, "P5", "P16"])
def test_placed_against_drawn(run: Run, tmp_path: Path, pier: str | None) -> None:
    still = tmp_path / "placed.png"
    mark = [] if pier is None else ["--pier", pier]
    code, _, err = run("view", DEMO, *mark, "--still", still, "--shots", DEMO / "shots.csv")
    assert (code, err) == (0, "")
    assert sorted(size(still)) == [2550, 3300]


@pytest.mark.parametrize("name", ["P7.jpg", "P7", "P7.png.pdf"])
def test_another_ending_is_one_line(run: Run, tmp_path: Path, name: str) -> None:
    code, out, err = run("view", DEMO, "--pier", "P7", "--still", tmp_path / name)
    assert (code, out) == (2, "")
    assert err == f"--still: {name} does not end in .png; name the picture P7.png, or the like\n"
    assert list(tmp_path.iterdir()) == []


def test_an_unknown_pier_is_one_line_with_the_nearest(run: Run, tmp_path: Path) -> None:
    code, out, err = run("view", DEMO, "--pier", "P77", "--still", tmp_path / "x.png")
    assert (code, out) == (2, "")
    assert err.startswith("--pier: no pier is marked P77; did you mean P7")
    assert len(err.splitlines()) == 1
    assert list(tmp_path.iterdir()) == []


def test_the_site_is_never_written_over(run: Run, site: Path) -> None:
    before = site.read_bytes()
    still = site.parent / "shots.png"
    still.write_text("1,0,0,0,P1 ROD 1\n")
    code, _, err = run("view", site, "--still", still, "--shots", still)
    assert code == 2
    assert "read from it" in err
    assert site.read_bytes() == before
