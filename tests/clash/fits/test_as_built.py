"""The site as placed, against planted misplacements in closed form."""

from __future__ import annotations

from math import degrees, hypot

import numpy as np
import pytest

from clash.fits.as_built import AsBuilt, flush
from clash.fits.level import other_levels
from clash.fits.seats import SeatFit
from clash.report.findings import Level
from models.site import Site
from tests.support.survey import SITE, as_csv, built, judged, survey

IN = 25.4
SLACK = (1.3125 - 0.75) / 2.0 * IN
"""mm: hole of 1 5/16 in over a rod of 3/4 in."""
UNSURE = 0.01 * 304.8


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    return built(tmp_path_factory.mktemp("site"))


def seat(found: AsBuilt, part: str) -> SeatFit:
    return next(fit for fit in found.seats if fit.part == part)


def holds(found: AsBuilt) -> set[str]:
    return {f.id for f in found.findings if f.level is Level.HOLD}


def test_a_site_placed_as_drawn_drops_on_everywhere(site: Site) -> None:
    found = judged(site, as_csv(survey(site)))
    assert found.findings == ()
    assert [fit.drops_on for fit in found.seats] == [True] * 4
    assert seat(found, "P1/plate/1").room == pytest.approx(SLACK, abs=0.05)
    assert seat(found, "B1/beam").room == pytest.approx((1.5 - 0.75) / 2.0 * IN, abs=0.05)
    assert found.checked > 0


def test_a_whole_group_off_takes_the_plate_along(site: Site) -> None:
    found = judged(site, as_csv(survey(site, {"P1": (12.0, -9.0)})))
    fit = seat(found, "P1/plate/1")
    assert fit.drops_on
    assert fit.room == pytest.approx(SLACK, abs=0.05)
    assert fit.move == pytest.approx([12.0, -9.0], abs=0.05)
    assert found.piers[0].group.off == pytest.approx([12.0, -9.0], abs=0.05)
    assert found.piers[0].stand.off == pytest.approx([0.0, 0.0], abs=0.05)


def test_one_rod_off_along_a_side_in_closed_form(site: Site) -> None:
    """Rod 1 pushed 1 in to the west: the plate can give half of it, less what the turn takes; rod 1 is told.

    No move leaves more than half the misfit between rods 1 and 2, which are 1 in too far apart.
    """
    found = judged(site, as_csv(survey(site, {"P1 ROD 1": (-IN, 0.0)})))
    fit = seat(found, "P1/plate/1")
    assert fit.drops_on is False
    assert fit.room <= SLACK - IN / 2.0 + 0.05
    assert fit.room >= SLACK - IN
    assert fit.bound - fit.room <= 1e-4
    assert "as built drops on:P1/plate/1" in holds(found)
    assert 0 in {way.rod for way in fit.in_the_way}
    way = next(way for way in fit.in_the_way if way.rod == 0)
    assert way.toward[0] > 0.8
    says = next(f.says for f in found.findings if f.id == "as built drops on:P1/plate/1")
    assert says.startswith("The plate does not drop on: its tightest hole has -")
    assert "rod 1 (SW) is in the way and stands" in says
    assert "too far W" in says
    assert says.endswith("for the engineer to decide.")
    assert "as built rods of one group:P1" in holds(found)


@pytest.mark.parametrize(
    "apart", [SLACK * 2.0 - 1.0, 2.0 * (SLACK - UNSURE) - 0.3, 2.0 * (SLACK - UNSURE) + 0.3]
)
def test_nothing_drops_on_for_less_room_than_the_measuring_is_sure_of(site: Site, apart: float) -> None:
    """Both west rods pushed west by `apart`: room is the slack less half of it, by symmetry."""
    off = {"P1 ROD 1": (-apart, 0.0), "P1 ROD 3": (-apart, 0.0)}
    found = judged(site, as_csv(survey(site, off), digits=6))
    fit = seat(found, "P1/plate/1")
    assert fit.room == pytest.approx(SLACK - apart / 2.0, abs=0.01)
    assert fit.drops_on is (True if SLACK - apart / 2.0 >= UNSURE else None)
    missing = {f.id for f in found.findings if f.level is Level.NOT_CHECKED}
    assert ("as built drops on:P1/plate/1" in missing) is (fit.drops_on is None)


def test_a_rod_that_was_not_shot_leaves_its_plate_not_checked(site: Site) -> None:
    points = [p for p in survey(site) if p[0] not in ("P1 ROD 2", "Q2 ROD 1")]
    found = judged(site, as_csv(points))
    assert seat(found, "P1/plate/1").drops_on is None
    assert seat(found, "B1/beam").drops_on is None
    says = {f.id: f.says for f in found.findings if f.level is Level.NOT_CHECKED}
    assert "rod 2 (SE) of P1 was not measured" in says["as built drops on:P1/plate/1"]
    assert "rod 1 (W) of Q2 was not measured" in says["as built drops on:B1/beam"]


def test_lean_counts_through_the_plate_and_costs_sureness(site: Site) -> None:
    """All four rods lean 1 in 20 east between two shots 100 mm apart: across 3/4 in of plate .95 mm.

    The plate's underside comes to lie 1 in above the concrete (the least grout), its top 1 3/4 in; the shots
    are at 27 and 127 mm above it, so at 25.4 mm each weighs 1.016 and .016: .032 more of the uncertainty.
    """
    points = []
    for name, x, y, z in survey(site):
        points.append((name, x, y, z))
        if name.startswith("P1 ROD"):
            points.append((name, x - 5.0, y, z - 100.0))
    found = judged(site, as_csv(points, digits=6))
    fit = seat(found, "P1/plate/1")
    radius = 0.375 * IN
    grown = radius / np.cos(np.arctan2(5.0, 100.0)) - radius
    assert fit.room == pytest.approx(SLACK - grown - 0.05 * 0.75 * IN / 2.0, abs=0.01)
    assert fit.unsure == pytest.approx(UNSURE * 1.032, rel=1e-3)
    assert found.piers[0].rods[1].leans


def test_a_turned_group_turns_the_plate(site: Site) -> None:
    c, s = np.cos(0.03), np.sin(0.03)
    off = {}
    for k, (x, y) in enumerate([(-4, -4), (4, -4), (-4, 4), (4, 4)], start=1):
        off[f"P1 ROD {k}"] = ((c * x - s * y - x) * IN, (s * x + c * y - y) * IN)
    found = judged(site, as_csv(survey(site, off)))
    fit = seat(found, "P1/plate/1")
    assert degrees(fit.turn) == pytest.approx(degrees(0.03), abs=0.03)
    assert fit.room == pytest.approx(SLACK, abs=0.05)


def test_play_that_the_site_names_holds_the_plate(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Off by 15 in all, play 10: 5 of the slack are gone."""
    held = built(tmp_path_factory.mktemp("play"), SITE + "shots: {play: {shift: 10 mm, turn: 0}}\n")
    fit = seat(judged(held, as_csv(survey(held, {"P1": (9.0, 12.0)}))), "P1/plate/1")
    assert fit.room == pytest.approx(SLACK - 5.0, abs=0.05)
    assert hypot(*fit.move) == pytest.approx(10.0, abs=0.05)


def test_a_beam_gives_half_of_what_one_pier_stands_aside(site: Site) -> None:
    """Q2's two rods 6 mm north: the beam shifts 3 north, the others lose 3 as well."""
    found = judged(site, as_csv(survey(site, {"Q2": (0.0, 6.0)})))
    fit = seat(found, "B1/beam")
    assert fit.room == pytest.approx(0.375 * IN - 3.0, abs=0.05)
    assert fit.move[1] == pytest.approx(3.0, abs=0.3)
    assert fit.drops_on


def test_plan_top_turn_and_plumb_of_each_pier(site: Site) -> None:
    found = judged(site, as_csv(survey(site, tops={"P2": (30.0, -5.0, 20.0)}), digits=5))
    p2 = found.piers[1]
    assert p2.stand.off == pytest.approx([30.0, -5.0], abs=0.05)
    assert p2.top.height - site.piers[1].spec.top == pytest.approx(20.0, abs=0.05)
    assert p2.top.off - p2.bottom.off == pytest.approx([30.0, -5.0], abs=0.05)
    # ACI 117: 1 in in plan and in plumb, 1/2 in in height; surely more than 1/8 in beyond them
    assert {"as built in plan:P2", "as built top:P2"} <= holds(found)
    tight = {f.id for f in found.findings if f.level is Level.TIGHT}
    assert "as built plumb:P2" in tight | holds(found)
    assert found.piers[0].stand.off == pytest.approx([0.0, 0.0], abs=0.05)


def test_a_deviation_within_the_measuring_is_tight_and_no_hold(site: Site) -> None:
    """1/2 in and 1/8 in allowed in all by what the shots are sure to: 14.5 mm is TIGHT, 16 a HOLD."""
    for up, level in ((12.5, None), (14.5, Level.TIGHT), (16.0, Level.HOLD)):
        found = judged(site, as_csv(survey(site, tops={"Q2": (0.0, 0.0, up)}), digits=5))
        levels = [f.level for f in found.findings if f.id == "as built top:Q2"]
        assert levels == ([] if level is None else [level])


def test_the_level_is_set_by_the_highest_and_grout_by_the_rest(site: Site) -> None:
    """P2 10 mm high: the level is its top and 1 in, P1 and P3 have 10 mm more; 30 high is over the most."""
    top = 4 * 304.8
    found = judged(site, as_csv(survey(site, tops={"P2": (0.0, 0.0, 10.0)}), digits=5))
    (level,) = found.levels
    assert level.level == pytest.approx(top + 10.0 + IN, abs=0.01)
    assert [round(bed.grout(level.level or 0.0), 1) for bed in level.beds] == [IN + 10.0, IN, IN + 10.0]
    assert holds(found) == set()
    high = judged(site, as_csv(survey(site, tops={"P2": (0.0, 0.0, 30.0)}), digits=5))
    assert {"as built grout:P1/grout/1", "as built grout:P3/grout/1"} <= holds(high)
    (other,) = [o for o in other_levels(high.levels[0]) if o.without == 1]
    assert other.level == pytest.approx(top + IN, abs=0.01)
    assert other.short == ((1, pytest.approx(30.0, abs=0.01)),)
    assert other.thick == ()


def test_a_rod_too_low_for_its_nut(site: Site) -> None:
    """Projection 5 in; plate up to 1 3/4 in, washer 1/4 in, nut .758 in at most: 2.242 in are left.

    Sunk by 2.5 in, .258 in is missing.
    """
    points = [(n, x, y, z - 2.5 * IN * (n == "P1 ROD 1")) for n, x, y, z in survey(site)]
    found = judged(site, as_csv(points, digits=5))
    short = next(f for f in found.findings if f.id == "as built nut on rod:P1/rod/1")
    assert short.measured_mm == pytest.approx(-0.258 * IN, abs=0.02)


def test_no_bottoms_and_no_heights_are_not_checked(site: Site) -> None:
    points = [(n, x, y, float("nan")) for n, x, y, _ in survey(site, bottoms=False)]
    text = as_csv(points).replace("nan", "")
    found = judged(site, text)
    missing = {f.id for f in found.findings if f.level is Level.NOT_CHECKED}
    assert {"as built plumb:P1", "as built top:P1", "as built grout:P1/grout/1"} <= missing
    assert found.levels[0].level is None
    assert seat(found, "P1/plate/1").drops_on


def test_flush_square_and_rows(site: Site) -> None:
    """Q2 20 mm north of the line Q1 to Q3; P3 30 mm east makes the diagonal P3 to Q1 longer by its share."""
    found = judged(
        site, as_csv(survey(site, tops={"Q2": (0.0, 20.0, 0.0), "P3": (30.0, 0.0, 0.0)}), digits=5)
    )
    beside = flush(site, found.piers)
    assert beside["B1", 4] == pytest.approx(20.0, abs=0.05)
    assert beside["B1", 3] == pytest.approx(0.0, abs=1e-9)
    row = max(found.square.rows, key=lambda row: row.worst)
    assert (row.piers, row.worst) == ((3, 4, 5), pytest.approx(20.0, abs=0.05))
    longer = next(d for d in found.square.diagonals if {d.start, d.end} == {2, 3})
    drawn = hypot(20 * 304.8, 10 * 304.8)
    assert longer.drawn == pytest.approx(drawn)
    assert longer.measured == pytest.approx(hypot(20 * 304.8 + 30.0, 10 * 304.8), abs=0.05)


@pytest.mark.parametrize(
    ("zone", "given", "holds_up"),
    [
        ("A", "lowest floor top: 12 ft", False),
        ("A", "lowest floor top: 11.9 ft", True),
        ("V", "lowest member bottom: 12 ft", False),
        ("V", "lowest member bottom: 11.9 ft, lowest floor top: 13 ft", True),
    ],
)
def test_flood_by_zone(
    tmp_path_factory: pytest.TempPathFactory, zone: str, given: str, holds_up: bool
) -> None:
    """44 CFR 60.3(c)(2): zone A, top of the lowest floor; 60.3(e)(4): zone V, bottom of the lowest member."""
    flood = f"flood: {{zone: {zone}, base flood elevation: 11 ft, freeboard: 1 ft, {given}}}"
    text = SITE.replace("units: ft-in}", f"units: ft-in, {flood}}}")
    wet = built(tmp_path_factory.mktemp("wet"), text)
    assert ("as built flood:site" in holds(judged(wet, as_csv(survey(wet))))) is holds_up


def test_flood_follows_the_lowest_pier_and_asks_for_what_is_missing(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    flood = "flood: {zone: V, base flood elevation: 11 ft, freeboard: 1 ft, lowest member bottom: 12 ft}"
    wet = built(tmp_path_factory.mktemp("low"), SITE.replace("units: ft-in}", f"units: ft-in, {flood}}}"))
    low = judged(wet, as_csv(survey(wet, tops={"Q1": (0.0, 0.0, -8.0)}), digits=5))
    assert low.flooding is not None
    assert low.flooding.elevation == pytest.approx(12 * 304.8 - 8.0, abs=0.01)
    assert "as built flood:site" in holds(low)
    flood = "flood: {zone: V, base flood elevation: 11 ft}"
    bare = built(tmp_path_factory.mktemp("bare"), SITE.replace("units: ft-in}", f"units: ft-in, {flood}}}"))
    asks = [f for f in judged(bare, as_csv(survey(bare))).findings if f.id == "as built flood:site"]
    assert [f.level for f in asks] == [Level.NOT_CHECKED]
    assert "give lowest member bottom" in asks[0].says


def test_what_lies_beyond_the_higher_shot_is_less_sure_too(site: Site) -> None:
    """Shots at 10 and 40 mm; the plate's top comes to lie at 44.45 mm: weights 1.148 and .148."""
    points = []
    for name, x, y, z in survey(site):
        if name.startswith("P1 ROD"):
            points += [(name, x, y, z - 117.0), (name, x, y, z - 87.0)]
        else:
            points.append((name, x, y, z))
    fit = seat(judged(site, as_csv(points, digits=6)), "P1/plate/1")
    assert fit.unsure == pytest.approx(UNSURE * (2.0 * (1.75 * IN - 10.0) / 30.0 - 1.0), rel=1e-3)


def test_a_beam_is_met_at_its_own_height_where_a_pier_is_lower(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    """Q2 is 18 in lower, and its rods lean 1 in 20 north between their tops and 100 mm below.

    Above Q2 the beam lies from 18 in to 29 1/4 in; there the rods would pass 6.35 to 20.64 mm north of where
    their tops (at 13 in) are. The beam gives half of that, and the disc round the ellipse takes .012 mm.
    """
    text = SITE.replace("mark: Q2, x: 10', y: 10', top: 4'", "mark: Q2, x: 10', y: 10', top: 2'-6\"")
    low = built(tmp_path_factory.mktemp("low"), text)
    points = []
    for name, x, y, z in survey(low):
        points.append((name, x, y, z))
        if name.startswith("Q2 ROD"):
            points.append((name, x, y - 5.0, z - 100.0))
    fit = seat(judged(low, as_csv(points, digits=6)), "B1/beam")
    far = (18.0 + 11.25 - 13.0) * IN * 0.05
    radius = 0.375 * IN
    grown = radius / np.cos(np.arctan2(5.0, 100.0)) - radius
    assert fit.room == pytest.approx(0.375 * IN - (far + grown) / 2.0, abs=0.02)
