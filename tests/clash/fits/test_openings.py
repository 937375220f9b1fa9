"""Flood openings, against the published rows at, under and over each limit."""

from __future__ import annotations

from pathlib import Path

import pytest

from clash.fits.openings import enclosure_rows
from clash.report.findings import Level
from models.problems import BadInput
from models.shapes.areas import area_from, show_area
from tests.support.survey import SITE, as_csv, built, judged, survey

SIX = """
      - {wall: north, width: 16", height: 8", bottom: 3'-0"}
      - {wall: south, count: 2, width: 8", height: 8", bottom: 3'-0"}"""
"""128 + 2 x 64 = 256 sq in: enough for 256 sq ft, at 1 sq in for every sq ft (44 CFR 60.3(c)(5))."""


def enclosed(folder: Path, openings: str, zone: str = "A", more: str = "area: 256 sq ft, grade: 2'"):
    rest = "".join(f"      {line}\n" for line in more.split(", "))
    lines = openings.replace("\n      -", "\n        -")
    flood = (
        f"\n  flood:\n    zone: {zone}\n    base flood elevation: 3'\n    lowest floor top: 9'\n"
        f"    lowest member bottom: 8'\n    enclosures:\n    - name: store\n{rest}      openings:{lines}\n"
    )
    text = SITE.replace(
        "site: {name: Quay of the station, units: ft-in}", f"site:\n  name: Quay\n  units: ft-in{flood}"
    )
    return built(folder, text)


def missed(site) -> set[str]:
    return {row.key for row in enclosure_rows(site) if not row.ok}


def test_exactly_at_every_limit_is_met(tmp_path: Path) -> None:
    """256 sq in for 256 sq ft, bottoms 1 ft above grade, three openings in two walls."""
    site = enclosed(tmp_path, SIX)
    assert missed(site) == set()
    assert len(enclosure_rows(site)) == 5


@pytest.mark.parametrize(
    ("change", "to", "key"),
    [
        ("area: 256 sq ft", "area: 257 sq ft", "area"),
        ("grade: 2'", "grade: 1.99 ft", "bottom 1"),
    ],
)
def test_just_past_a_limit_is_told(tmp_path: Path, change: str, to: str, key: str) -> None:
    site = enclosed(tmp_path, SIX, more="area: 256 sq ft, grade: 2'".replace(change, to))
    assert key in missed(site)


def test_one_wall_and_one_opening(tmp_path: Path) -> None:
    one = '\n      - {wall: north, width: 16", height: 16", bottom: 3\'-0"}'
    assert missed(enclosed(tmp_path, one)) == {"count", "walls"}
    assert missed(enclosed(tmp_path, " []")) == {"count", "walls", "area"}


def test_rated_openings_count_by_their_rating(tmp_path: Path) -> None:
    rated = SIX.replace('count: 2, width: 8", height: 8"', "count: 2, rated: 64 sq ft")
    assert missed(enclosed(tmp_path, rated)) == set()
    assert missed(enclosed(tmp_path, rated.replace("64 sq ft", "63.9 sq ft"))) == {"area"}


def test_breakaway_walls_are_a_line_to_confirm_in_zone_v(tmp_path: Path) -> None:
    site = enclosed(tmp_path, " []", zone="V")
    found = judged(site, as_csv(survey(site)))
    (line,) = [f for f in found.findings if f.rule == "as built flood"]
    assert line.level is Level.NOT_CHECKED
    assert "breakaway is for the engineer to confirm" in line.says
    site = enclosed(tmp_path, " []", zone="V", more="area: 256 sq ft, grade: 2', breakaway: yes")
    assert judged(site, as_csv(survey(site))).findings == ()


def test_a_missed_row_is_on_hold(tmp_path: Path) -> None:
    site = enclosed(tmp_path, SIX, more="area: 300 sq ft, grade: 2'")
    holds = [f for f in judged(site, as_csv(survey(site))).findings if f.level is Level.HOLD]
    assert [f.id for f in holds] == ["as built flood:store, area"]
    assert "openings for 256.0 sq ft, 300.0 sq ft enclosed (44 CFR 60.3(c)(5)" in holds[0].says


@pytest.mark.parametrize(
    ("text", "mm2"),
    [("1 sq in", 645.16), ("2 SQ FT", 2 * 92903.04), ("22 m\u00b2", 22e6), ("10.5 sq. ft.", 10.5 * 92903.04)],
)
def test_areas(text: str, mm2: float) -> None:
    """Exact: 25.4^2 and 304.8^2."""
    assert area_from(text) == pytest.approx(mm2)


@pytest.mark.parametrize("text", ["12", "12 ft", "x sq ft", "", True, "-3 sq ft"])
def test_what_is_no_area(text: object) -> None:
    with pytest.raises(ValueError, match="is not an area; write one like 240 sq ft"):
        area_from(text)


@pytest.mark.parametrize(
    ("size", "told"),
    [
        ('width: 8"', "it has one of width and height; give both, net"),
        ("count: 2", "it needs its net size or its rating, one of the two"),
        ('width: 8", height: 8", rated: 40 sq ft', "it needs its net size or its rating, one of the two"),
    ],
)
def test_an_opening_says_its_size_one_way(tmp_path: Path, size: str, told: str) -> None:
    with pytest.raises(BadInput, match=told):
        enclosed(tmp_path, f"\n      - {{wall: north, {size}, bottom: 3'}}")


def test_areas_in_words_and_in_the_site_file(tmp_path: Path) -> None:
    assert (show_area(92903.04, False), show_area(2.5e6, True)) == ("1.0 sq ft", "2.50 m2")
    with pytest.raises(BadInput, match="256 is not an area"):
        enclosed(tmp_path, SIX, more="area: 256, grade: 2'")
