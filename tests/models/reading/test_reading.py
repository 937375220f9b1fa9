"""Reading a site file: what it becomes, merged and in mm."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from models.reading.site_file import read_site, read_site_file
from tests.support.example_site import SCHEDULE, SITE, line_of, problems, with_schedule, write

IN = 25.4


def test_the_example_becomes_mm(tmp_path: Path) -> None:
    spec, sha256 = read_site(write(tmp_path))
    assert sha256 == hashlib.sha256(SITE.encode()).hexdigest()
    assert [pier.mark for pier in spec.piers] == ["P1", "P2", "P3"]
    assert set(spec.kinds) == {"tall", "post"}
    tall = spec.piers[0]
    assert (tall.top, tall.bottom) == (2743.2, 304.8)
    assert tall.outline.square == pytest.approx(18 * IN)
    assert tall.cage is not None
    assert tall.cage.ties is not None
    assert tall.cage.verticals.size == "No. 6"
    assert tall.cage.ties.size == "No. 3"
    assert tall.cage.ties.crossties is not None
    assert tall.cage.ties.crossties.pairs == [(2, 6), (4, 8)]
    assert tall.seat.rods is not None
    assert tall.seat.rods.pattern.grid == (1, 2)
    assert tall.concrete.cover.side == pytest.approx(2.5 * IN)
    assert tall.required.rod_bar_clear == pytest.approx(IN)
    assert spec.piers[2].seat.rods is not None
    assert spec.piers[2].seat.rods.bar == "No. 8"
    assert spec.site.flood is not None
    assert spec.site.flood.base_flood_elevation == 3352.8
    assert spec.answered[0].date == "2025-05-06"


def test_a_pier_differs_from_its_kind_in_one_thing_alone(tmp_path: Path) -> None:
    spec, _ = read_site(write(tmp_path))
    first, second, _ = spec.piers
    assert first.cage is not None
    assert first.cage.ties is not None
    assert second.cage is not None
    assert second.cage.ties is not None
    assert first.cage.ties.spacing == 304.8
    assert second.cage.ties.spacing == 203.2
    assert second.cage.ties.model_copy(update={"spacing": 304.8}) == first.cage.ties
    assert second.cage.verticals == first.cage.verticals
    assert second.seat == first.seat


def test_places_of_piers_and_kinds_are_told(tmp_path: Path) -> None:
    read = read_site_file(write(tmp_path))
    assert read.pier_places["P2"].line == line_of(SITE, "- mark: P2")
    assert read.kind_places["post"].line == line_of(SITE, "  post:")


def test_the_survey_foot_moves_coordinates_and_nothing_else(tmp_path: Path) -> None:
    spec, _ = read_site(write(tmp_path, SITE.replace("foot: international", "foot: us survey")))
    assert spec.piers[1].x == pytest.approx(10 * 1200 / 3937 * 1000, abs=1e-9)
    assert spec.piers[0].top == pytest.approx(9 * 1200 / 3937 * 1000, abs=1e-9)
    assert spec.piers[0].seat.rods is not None
    assert spec.piers[0].seat.rods.embedment == 36 * IN
    assert spec.grade_beams[0].end == pytest.approx((30 * 1200 / 3937 * 1000, 0.0), abs=1e-9)


def test_a_site_in_mm_takes_bare_numbers(tmp_path: Path) -> None:
    text = """\
site: {name: Pump house, units: mm, rules: en-1992}
concrete: {cover: {side: 50, top: 50, bottom: 50}}
kinds:
  Post:
    outline: {rectangle: [400, 500]}
    cage:
      verticals: {size: 16, per face: {x: 3, y: 3}}
      ties: {size: 10 mm, spacing: 200}
piers:
  - {mark: A1, x: 1000, y: 2.5 m, top: 2000, bottom: 0, kind: Post}
"""
    spec, _ = read_site(write(tmp_path, text))
    pier = spec.piers[0]
    assert pier.outline.rectangle == (400.0, 500.0)
    assert (pier.x, pier.y, pier.top) == (1000.0, 2500.0, 2000.0)
    assert pier.cage is not None
    assert pier.cage.verticals.size == "16 mm"
    assert pier.seat.type == "none"


@pytest.mark.parametrize("word", ["none", "None", "", "null", "~"])
@pytest.mark.parametrize("field", ["cage", "seat"])
def test_none_or_nothing_takes_a_block_away(tmp_path: Path, field: str, word: str) -> None:
    text = SITE.replace(
        'turn: 45\n    cage:\n      ties: {spacing: 8"}\n', f"turn: 45\n    {field}: {word}\n"
    )
    text = text.replace("piers: [P1, P2]", "piers: [P1, P3]")
    spec, _ = read_site(write(tmp_path, text))
    if field == "cage":
        assert spec.piers[1].cage is None
    else:
        assert spec.piers[1].seat.type == "none"
        assert spec.piers[1].seat.rods is None
    assert spec.piers[0].cage is not None
    assert spec.piers[0].seat.rods is not None


def test_a_difference_replaces_another_way_of_saying_the_same_thing(tmp_path: Path) -> None:
    text = SITE.replace(
        '      ties: {spacing: 8"}\n',
        '      verticals: {per face: {x: 3, y: 3}}\n    outline: {rectangle: [18", 20"]}\n'
        '    seat: {rods: {pattern: {at: [[0, 4"], [0, -4"]]}}}\n',
    )
    spec, _ = read_site(write(tmp_path, text))
    pier = spec.piers[1]
    assert pier.outline.square is None
    assert pier.outline.rectangle == (18 * IN, 20 * IN)
    assert pier.cage is not None
    assert pier.cage.verticals.count is None
    assert pier.cage.verticals.per_face is not None
    assert pier.cage.verticals.size == "No. 6"
    assert pier.seat.rods is not None
    assert pier.seat.rods.pattern.grid is None
    assert pier.seat.rods.pattern.spacing is None
    assert pier.seat.rods.pattern.at == [(0.0, 4 * IN), (0.0, -4 * IN)]


def test_a_difference_may_change_a_part_of_the_same_way(tmp_path: Path) -> None:
    text = SITE.replace(
        '      ties: {spacing: 8"}\n',
        '      ties: {spacing: 8"}\n    seat: {rods: {pattern: {spacing: 9 in}}}\n',
    )
    spec, _ = read_site(write(tmp_path, text))
    assert spec.piers[1].seat.rods is not None
    assert spec.piers[1].seat.rods.pattern.grid == (1, 2)
    assert spec.piers[1].seat.rods.pattern.spacing == 9 * IN


def test_a_schedule_gives_the_same_piers_as_the_list(tmp_path: Path) -> None:
    listed, _ = read_site(write(tmp_path))
    write(tmp_path, SCHEDULE, "piers.csv")
    text = with_schedule().replace(
        "schedule: piers.csv\n", "schedule: piers.csv\n  differences: {P2: {turn: 45}}\n"
    )
    scheduled, sha256 = read_site(write(tmp_path, text, "scheduled.yaml"))
    assert scheduled.piers == listed.piers
    assert sha256 == hashlib.sha256(text.encode() + SCHEDULE.encode()).hexdigest()


def test_differences_of_unknown_marks_are_refused(tmp_path: Path) -> None:
    write(tmp_path, SCHEDULE, "piers.csv")
    text = with_schedule().replace(
        "schedule: piers.csv\n", "schedule: piers.csv\n  differences: {PP2: {turn: 45}}\n"
    )
    (problem,) = problems(tmp_path, text)
    assert "the schedule has no pier PP2; did you mean P2?" in str(problem)
    assert problem.place.line == line_of(text, "differences")


def test_differences_do_not_rename_a_pier(tmp_path: Path) -> None:
    write(tmp_path, SCHEDULE, "piers.csv")
    text = with_schedule().replace(
        "schedule: piers.csv\n", "schedule: piers.csv\n  differences: {P2: {mark: P9}}\n"
    )
    (problem,) = problems(tmp_path, text)
    assert "differences of P2: the mark is the schedule's; leave it off" in str(problem)


def test_an_unread_schedule_is_the_only_thing_told(tmp_path: Path) -> None:
    (problem,) = problems(tmp_path, with_schedule(schedule="nowhere.csv"))
    assert str(problem).startswith("nowhere.csv: there is no such schedule; looked for")
