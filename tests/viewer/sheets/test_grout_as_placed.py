"""The grout sheet from a survey: levels, flags and volumes by arithmetic."""

from __future__ import annotations

from pathlib import Path

import pytest

from clash.fits.as_built import as_built
from clash.judge import judge
from models.site import Site
from models.survey.shots import read_shots, shots_in
from tests.support.survey import SITE, as_csv, built, survey
from tests.viewer.running import DEMO, Run
from tests.viewer.sheets.test_lists import rows_of
from viewer.drawing.recording import record
from viewer.paper.job import Job, SheetFile
from viewer.paper.survey import Survey, placed_sheet

INCH = 25.4
HERE = SITE.replace("units: ft-in}", "units: ft-in, grout bag: 0.5 cu ft}\nshots: {fit: as it stands}")


@pytest.fixture
def quay(tmp_path: Path) -> Site:
    return built(tmp_path, HERE)


def _sheet(site: Site, tops: dict[str, float], *left_out: str) -> SheetFile:
    points = survey(site, tops={mark: (0.0, 0.0, high * INCH) for mark, high in tops.items()})
    points = [p for p in points if not p[0].startswith(left_out)] if left_out else points
    found = as_built(site, shots_in(as_csv(points, digits=9), "walk.csv", site.spec))
    job = Job(site, judge(site), "2025-05-06")
    (file,) = placed_sheet("grout")(job, Survey(found, "0123456789ab"))
    return file


def test_the_highest_top_sets_the_level_and_the_rest_follows(quay: Site) -> None:
    # Tops drawn at 4'-0", plates 14 in square, 1 1/2 in above, grout 1 to 2 in. P1 stands 1 1/4 in high: the
    # level is 4'-0" + 1 1/4" + 1" = 4'-2 1/4". P2 then has 2 1/4 in, P3 (1/4 in high) 2 in exactly.
    rows = rows_of(_sheet(quay, {"P1": 1.25, "P3": 0.25}))
    assert ["P1 to P3", "4'-1 1/2\"", "4'-2 1/4\"", "P1", "every top"] in rows
    by = {row[0]: row for row in rows if len(row) == 10}
    assert by["P1"][1:9] == [
        "4'-1 1/4\"", "1.25 in high", "0.25 in: under least", '1"', '2"', "1.00 in", "within", "0.11 cu ft",
    ]  # fmt: skip
    # 14 x 14 x 2.25 / 1728 = 0.2552 cu ft, in bags of 0.5: 0.51
    assert by["P2"][3:] == [
        "1.50 in", '1"', '2"', "2.25 in", "OVER MOST: ask the engineer", "0.26 cu ft", "0.51",
    ]  # fmt: skip
    assert by["P2"][2] == "as drawn"
    assert by["P3"][6:8] == ["2.00 in", "within"]
    # 14 x 14 x (1 + 2.25 + 2) / 1728 = 0.5955 cu ft: two bags
    assert ["3", "none", "0.60 cu ft", "2"] in rows
    # An inch lower, as P3 wants it, P1 lacks an inch and nothing is over.
    assert ["4'-1 1/4\"", "1.00 in", "P1 by 1.00 in", "none"] in rows


def test_a_top_that_was_not_shot_is_not_checked_and_may_raise_the_level(quay: Site) -> None:
    file = _sheet(quay, {"P1": 0.5}, "P3 TOP", "P3 BOT")
    rows = rows_of(file)
    (level,) = (row for row in rows if row[0] == "P1 to P3")
    assert level[2:4] == ["4'-1 1/2\"", "P1"]
    words = " ".join(w for row in rows for w in row)
    assert "NOT CHECKED at P3: a higher top there would raise it" in words
    (row,) = (row for row in rows if row[0] == "P3")
    assert "NOT MEASURED" in row
    assert "NOT CHECKED" in row
    assert next(row for row in rows if len(row) == 4 and row[3].isdigit())[:2] == ["2", "1"]


def test_by_tape_no_top_is_known(quay: Site, tmp_path: Path) -> None:
    path = tmp_path / "tape.csv"
    path.write_text('pier,rod,from W,from S\nP1,1,8",8"\n')
    found = as_built(quay, read_shots(path, quay.spec))
    (file,) = placed_sheet("grout")(Job(quay, judge(quay), "2025-05-06"), Survey(found, "0123456789ab"))
    rows = rows_of(file)
    assert ["P1 to P3", "4'-1 1/2\"", "NOT CHECKED", "no top was measured"] in [
        [cell for cell in row if cell] for row in rows
    ]
    assert sum("NOT MEASURED" in row for row in rows) == 3


def test_the_demo_by_what_was_planted(run: Run, tmp_path: Path) -> None:
    # P16 was struck off 3/4 in high: it sets the level of row C, 1 3/4 in of grout elsewhere.
    code, out, err = run("sheet", "grout", DEMO, "--to", tmp_path, "--shots", DEMO / "shots.csv")
    assert (code, err) == (0, "")
    assert "grout-as-placed.pdf" in out
    from pypdf import PdfReader

    pages = PdfReader(tmp_path / "grout-as-placed.pdf").pages
    text = " ".join(page.extract_text() for page in pages)
    assert "P16" in text
    assert "UNDER" not in text


def test_no_word_on_another(quay: Site) -> None:
    for page in _sheet(quay, {"P1": 1.25}, "P3 TOP").pages:
        assert record(page).overlaps() == []
        assert record(page).outside(page.width, page.height) == []
