"""Placed against drawn as data, in closed form on surveys with planted misplacements."""

from __future__ import annotations

from math import cos, radians, sin
from pathlib import Path

import numpy as np
import pytest

from models.lengths import Units
from models.site import Site
from tests.support.survey import SITE, as_csv, built, dowels, judged, survey
from viewer.legend.placed_marks import FACTORS, PlacedMarks, What, placed_marks, stands

INCH = 25.4
DIGITS = 9
"""Of the file, in feet: its rounding is 3e-7 mm, so that what is planted comes back to 1e-5 mm."""


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    # Taken as it stands, so that nothing of a planted misplacement is shared among the others by a best fit.
    text = SITE + "shots: {fit: as it stands}\n"
    return built(tmp_path_factory.mktemp("site"), text)


def _marks(
    site: Site, *more: list[tuple[str, float, float, float]], **planted: object
) -> dict[str, PlacedMarks]:
    points = survey(site, **planted)
    return placed_marks(judged(site, as_csv([*points, *(p for some in more for p in some)], digits=DIGITS)))


def test_a_rod_that_was_knocked_is_where_it_was_planted(site: Site) -> None:
    one = _marks(site, rods={"P1 ROD 3": (-INCH, 0.25 * INCH)})["P1"]
    rod = next(m for m in one.of(What.ROD) if m.number == 3)
    # The grid of 8 in counts from the south-west: rod 3 is the third, 4 in from the center each way, 5 in up.
    assert np.allclose(np.abs(rod.drawn[:2]), 4 * INCH)
    assert rod.drawn[2] == pytest.approx(5 * INCH)
    assert np.allclose(rod.placed - rod.drawn, [-INCH, 0.25 * INCH, 0.0], atol=1e-5)
    assert np.allclose(rod.off, [-INCH, 0.25 * INCH, 0.0], atol=1e-5)
    assert rod.told
    assert rod.part == "P1/rod/3"
    assert rod.words(Units.FT_IN) == "1.00 in W and 0.25 in N"
    assert [m.words(Units.MM) for m in one.of(What.ROD) if m.number != 3] == ["nowhere"] * 3
    assert not any(m.told for m in one.of(What.ROD) if m.number != 3)


def test_a_pier_that_stands_off_carries_its_center_corners_and_top(site: Site) -> None:
    one = _marks(site, tops={"P2": (30.0, -40.0, 12.0)})["P2"]
    assert len(one.of(What.CORNER)) == 4
    for mark in one.of(What.CORNER, What.CENTER):
        assert np.allclose(mark.off[:2], [30.0, -40.0], atol=1e-5), mark.label
        assert mark.size == pytest.approx(50.0, abs=1e-5)
    (center,), (top,), (foot,) = one.of(What.CENTER), one.of(What.TOP), one.of(What.FOOT)
    assert center.placed[2] == pytest.approx(12.0, abs=1e-5)
    assert top.placed[2] == pytest.approx(12.0, abs=1e-5)
    assert top.words(Units.MM) == "12.0 mm high"
    assert np.allclose(foot.off[:2], 0.0, atol=1e-5)
    assert foot.drawn[2] == pytest.approx(-900.0, abs=1e-5)
    said = list(stands(one, Units.MM))
    assert said[0] == "Stands off: 30.0 mm E and 40.0 mm S."
    assert said[2] == "Out of plumb, top against foot: 30.0 mm E and 40.0 mm S."
    assert said[3] == "Top of concrete, highest shot: 12.0 mm high."


def test_in_the_frame_of_a_turned_pier(tmp_path: Path) -> None:
    # A pier turned by 30 degrees, its rod 30 mm to the east of its drawing: in its own frame that is
    # (30 cos 30, -30 sin 30).
    text = SITE.replace("bottom: 0, kind: plate pier}", "bottom: 0, kind: plate pier, turn: 30}", 1)
    site = built(tmp_path, text + "shots: {fit: as it stands}\n")
    points = [p for p in survey(site, rods={"P1 ROD 1": (30.0, 0.0)}) if "ROD" in p[0]]
    one = placed_marks(judged(site, as_csv(points, digits=DIGITS)))["P1"]
    rod = one.of(What.ROD)[0]
    away = radians(30.0)
    assert np.allclose(rod.placed[:2] - rod.drawn[:2], [30 * cos(away), -30 * sin(away)], atol=1e-5)
    assert np.allclose(rod.off[:2], [30.0, 0.0], atol=1e-5)


def test_dowels_too_and_what_was_left_out_is_named(site: Site) -> None:
    some = [p for p in dowels(site, {"P3 DOWEL 2": (0.0, 50.0)}) if p[0] != "P3 DOWEL 4"]
    one = _marks(site, some)["P3"]
    assert np.allclose([m.off[1] for m in one.of(What.DOWEL)], [0.0, 50.0, 0.0], atol=1e-5)
    # Dowels are numbered from the south-west, counterclockwise.
    assert one.missing == ("dowel at the NW corner",)


def test_a_rod_shot_at_two_heights_keeps_its_lower_point(site: Site) -> None:
    points = survey(site)
    name, x, y, z = next(p for p in points if p[0] == "P1 ROD 1")
    one = placed_marks(judged(site, as_csv([*points, (name, x - 6.0, y, z - 76.0)], digits=DIGITS)))["P1"]
    rod = one.of(What.ROD)[0]
    assert rod.lower is not None
    assert np.allclose(rod.placed - rod.lower, [6.0, 0.0, 76.0], atol=1e-5)
    assert all(m.lower is None for m in one.of(What.ROD)[1:])


def test_an_arrow_is_a_round_number_of_times_as_long(site: Site) -> None:
    # Five of six piers as drawn, so that the usual is what the shots are sure to, .01 ft = 3.048 mm: a
    # quarter of 24 in is 152.4 mm, 50 times that, and 50 is a factor. P1's rod is 25.4 mm off: 24 times that
    # is as wide as the pier, so its own factor is 20.
    made = _marks(site, rods={"P1 ROD 3": (-INCH, 0.0)})
    assert {m: one.factor for m, one in made.items()} == {
        "P1": 20, "P2": 50, "P3": 50, "Q1": 50, "Q2": 50, "Q3": 50,
    }  # fmt: skip
    rod = next(m for m in made["P1"].of(What.ROD) if m.number == 3)
    assert np.allclose(made["P1"].tip(rod) - rod.drawn, [-20 * INCH, 0.0, 0.0], atol=1e-4)
    assert made["P1"].beside == "Arrows from drawn to placed, 20 times as long as measured."


def test_the_usual_rules_the_factor_and_it_is_never_less_than_one(site: Site) -> None:
    # All six 14 mm off: 152.4 / 14 = 10.9, so 10; all six 160 mm off: 0.95, and never less than 1.
    for off, factor in ((14.0, 10), (160.0, 1)):
        made = _marks(site, rods={p.mark: (off, 0.0) for p in site.piers})
        assert {one.factor for one in made.values()} == {factor}
        assert factor in FACTORS
    assert made["P1"].beside == "Arrows from drawn to placed, as long as measured."


def test_the_concrete_is_carried_with_its_turn(site: Site) -> None:
    points = survey(site)
    c, s = cos(0.01), sin(0.01)
    turned = [
        (n, c * x - s * y, s * x + c * y, z) if n.startswith("P1 TOP") else (n, x, y, z)
        for n, x, y, z in points
    ]
    one = placed_marks(judged(site, as_csv(turned, digits=DIGITS)))["P1"]  # P1 stands at the site's origin
    assert one.moved is not None
    corner = np.array([304.8, 304.8, 0.0])
    # Least squares of small turns: 0.01 rad comes back within 0.01^3 / 3, times the corner's arm.
    there = np.array([c * 304.8 - s * 304.8, s * 304.8 + c * 304.8, 0.0])
    assert np.allclose(one.moved.points(corner), there, atol=1e-3)
    assert np.allclose(one.enlarged(corner), corner + one.factor * (there - corner), atol=0.1)
    assert f"Turned: {np.degrees(0.01):+.2f}\u00b0." in list(stands(one, Units.MM))


def test_what_was_not_shot_is_not_checked(site: Site) -> None:
    only = [p for p in survey(site) if "ROD" in p[0] and p[0].startswith("P1")]
    made = placed_marks(judged(site, as_csv(only, digits=DIGITS)))
    assert list(made) == ["P1"]
    assert made["P1"].moved is None
    assert [w.count("NOT CHECKED") for w in stands(made["P1"], Units.FT_IN)] == [1, 1]
    assert np.array_equal(made["P1"].enlarged(np.ones(3)), np.ones(3))
