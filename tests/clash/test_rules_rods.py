"""Rods, holes and laps: each rule just under its limit, exactly at it, and just over."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from clash.report.findings import Level
from models.motion import Motion
from models.outline import circle, rectangle
from models.part import Exit, Part, Role
from models.site import Site
from models.solids import Swept
from tests.support.tiny import (
    INCH,
    STATED,
    bar,
    expect,
    judged,
    only,
    rod,
    site,
    slab,
    vertical,
)

LAPPED = {
    "verticals": {"size": "No. 8", "count": 4},
    "dowels": {"size": "No. 8", "count": 1, "height": 700, "lap": 600},
}
"""A cage whose dowels are to lap by 600 mm."""
OFF = pytest.mark.parametrize(("off", "holds"), [(-0.5, True), (0.0, False), (0.5, False)])


# --- rods


@OFF
def test_rods_that_are_not_torqued_stand_4_diameters_apart(off: float, holds: bool) -> None:
    # ACI 318-19 Table 17.9.2(a) (from memory): 4 d_a = 101.6 mm for a 1 in rod.
    found = expect(judged(site([rod(1), rod(2, 101.6 + off)], pier=STATED)), "rod spacing", holds)
    if holds:
        assert found[0].measured_mm == pytest.approx(101.6 + off)


@OFF
def test_torqued_rods_stand_6_diameters_apart_and_from_the_edge(off: float, holds: bool) -> None:
    # 6 d_a = 152.4 mm; the side of the 500 mm square is 250 mm from its center.
    seat = {"seat": seat_of(torqued=True)}
    built = site([rod(1, 250.0 - 152.4 - off), rod(2, -54.8 - 2 * off)], pier=STATED | seat)
    report = judged(built)
    expect(report, "rod spacing", holds)
    expect(report, "rod edge", holds)


@OFF
def test_the_edge_distance_that_the_site_specifies_on_an_arc(off: float, holds: bool) -> None:
    built = site(
        [rod(1, (250.0 - 80.0 - off) * 0.6, (250.0 - 80.0 - off) * 0.8)],
        pier=STATED | {"required": {"rod_edge": 80.0}},
        outline=circle(500.0),
    )
    found = expect(judged(built), "rod edge", holds)
    if holds:
        assert found[0].measured_mm == pytest.approx(79.5)


@OFF
def test_rods_that_lean_toward_each_other_are_as_far_apart_as_at_their_nearer_end(
    off: float, holds: bool
) -> None:
    for at_top, at_foot in ((101.6 + off, 140.0), (140.0, 101.6 + off)):
        leaning = rod(2)
        assert isinstance(leaning.solid, Swept)
        low, top = leaning.solid.knots.copy()
        # From -600 to 150 mm: at the top of concrete it has come 600 of the 750 mm.
        low[0], top[0] = at_foot, at_foot + (at_top - at_foot) * 750.0 / 600.0
        solid = replace(leaning.solid, knots=np.array([low, top]))
        report = judged(site([rod(1), replace(leaning, solid=solid)], pier=STATED))
        found = expect(report, "rod spacing", holds)
        if holds:
            assert found[0].measured_mm == pytest.approx(101.1)


def test_without_torque_the_cover_decides_the_edge() -> None:
    report = judged(site([rod(1)], pier=STATED))
    assert "rod edge" in report.does_not_apply
    assert "rod edge" not in report.clear


def test_a_rod_outside_of_the_concrete_has_a_negative_edge_distance() -> None:
    built = site([rod(1, 260.0)], pier=STATED | {"required": {"rod_edge": 80.0}})
    (found,) = only(judged(built), "rod edge")
    assert found.measured_mm == pytest.approx(-10.0)
    assert "outside the side of the pier" in found.says


def seat_of(**rods: object) -> dict[str, object]:
    pattern = {"at": [[0, 0]]}
    return {
        "type": "plate",
        "rods": {"diameter": INCH, "pattern": pattern, "embedment": 500, "projection": 150} | rods,
        "plate": {"outline": {"square": 300}, "thickness": 12, "above": 40, "holes": {"diameter": 40}},
    }


# --- holes


def plated(*centers: tuple[float, float], rods: list[Part] | None = None, role: Role = Role.PLATE) -> Site:
    plate = slab(
        "P1/plate/1",
        role,
        rectangle(300.0, 300.0),
        40.0,
        52.0,
        holes=[circle(40.0, c) for c in centers],
        label="plate",
    )
    return site([*(rods or [rod(1)]), plate], pier=STATED | {"seat": seat_of()})


@OFF
def test_a_rod_passes_its_hole_where_it_just_touches_and_not_where_it_fouls_it(
    off: float, holds: bool
) -> None:
    found = expect(judged(plated((0.0, 0.0)), [("P1/rod/1", "P1/plate/1", off)]), "rod in hole", holds)
    if holds:
        assert "fouls its hole" in found[0].says


@OFF
def test_a_bar_passes_over_its_ribs(off: float, holds: bool) -> None:
    # No. 8: 1.000 in and two ribs of .050 in are 1.100 in: they take 0.050 in = 1.27 mm of the gap.
    anchor = rod(1, role=Role.BAR_ANCHOR, overall=1.1 * INCH)
    report = judged(plated((0.0, 0.0), rods=[anchor]), [("P1/rod/1", "P1/plate/1", 1.27 + off)])
    expect(report, "rod in hole", holds)


def test_a_bar_of_unknown_ribs_is_not_checked_until_the_site_gives_its_play() -> None:
    anchor = rod(1, role=Role.BAR_ANCHOR, diameter=25.0)
    gaps = [("P1/rod/1", "P1/plate/1", 3.0)]
    built = plated((0.0, 0.0), rods=[anchor])
    (found,) = only(judged(built, gaps), "rod in hole")
    assert found.level is Level.NOT_CHECKED
    assert "(required: hole play)" in found.says
    pier = STATED | {"seat": seat_of(), "required": {"hole_play": 2.5}}
    report = judged(site(list(built.piers[0].parts), pier=pier), gaps)
    assert only(report, "rod in hole") == []
    assert report.clear["rod in hole"] == 1


@OFF
def test_the_play_that_the_site_specifies(off: float, holds: bool) -> None:
    pier = STATED | {"seat": seat_of(), "required": {"hole_play": 6.0}}
    built = site(list(plated((0.0, 0.0)).piers[0].parts), pier=pier)
    expect(judged(built, [("P1/rod/1", "P1/plate/1", 6.0 + off)]), "rod in hole", holds)


def test_a_rod_without_a_hole_and_a_hole_without_a_rod() -> None:
    report = judged(plated((100.0, 0.0)), [("P1/rod/1", "P1/plate/1", -12.7)])
    (lost,) = only(report, "rod without a hole")
    assert (lost.measured, lost.required, lost.unit, lost.measured_mm) == (0.0, 1.0, "holes", None)
    (empty,) = only(report, "hole without a rod")
    assert empty.id == "hole without a rod:P1/plate/1:hole 1"
    assert "on the E side" in empty.says
    assert only(report, "overlap") == []  # told once, by the rule that knows what it is
    assert report.does_not_apply.get("rod in hole") is None


def test_a_rod_just_inside_the_rim_has_its_hole_and_one_just_outside_has_none() -> None:
    for x, without in ((19.5, False), (20.5, True)):
        report = judged(plated((0.0, 0.0), rods=[rod(1, x)]), [("P1/rod/1", "P1/plate/1", -12.0)])
        assert bool(only(report, "rod without a hole")) is without
        assert bool(only(report, "hole without a rod")) is without
        assert bool(only(report, "rod in hole")) is not without


def test_other_openings_of_a_plate_want_no_rod() -> None:
    plate = slab(
        "P1/plate/1",
        Role.PLATE,
        rectangle(300.0, 300.0),
        40.0,
        52.0,
        holes=[circle(40.0), circle(60.0, (90.0, 0.0)), rectangle(30.0, 30.0, (-90.0, 0.0))],
    )
    report = judged(
        site([rod(1), plate], pier=STATED | {"seat": seat_of()}), [("P1/rod/1", "P1/plate/1", 7.3)]
    )
    assert only(report, "hole without a rod") == []
    assert report.clear["hole without a rod"] == 1


def test_a_beam_answers_for_its_holes_over_this_pier_and_two_beams_share_rods() -> None:
    beams = [
        {"name": "B1", "piers": ["P1", "P2"], "width": 200, "depth": 300, "hole": 40},
        {"name": "B2", "piers": ["P1"], "direction": 90, "width": 200, "depth": 300, "hole": 40},
    ]
    two = [
        {"mark": mark, "kind": "small", "x": x, "y": 0, "top": 0, "bottom": -1000, "outline": {"square": 500}}
        | STATED
        | {"seat": seat_of() | {"type": "beam"}}
        for mark, x in (("P1", 0), ("P2", 3000))
    ]
    run = Motion.turned(0.0)
    parts = [
        rod(1, 100.0),
        rod(2, -100.0),
        slab("B1/beam", Role.BEAM, rectangle(3500.0, 200.0, (1700.0, 0.0)), 0.0, 300.0,
             holes=[circle(40.0, (100.0, 0.0)), circle(40.0, (2900.0, 0.0))], motion=run, label="beam B1"),
        slab("B2/beam", Role.BEAM, rectangle(150.0, 400.0, (-125.0, 0.0)), 0.0, 300.0,
             holes=[circle(40.0, (-100.0, 0.0))], motion=run, label="beam B2"),
    ]  # fmt: skip
    gaps = [("P1/rod/1", "B1/beam", 7.3), ("P1/rod/2", "B2/beam", 7.3), ("P1/rod/2", "B1/beam", 5.0)]
    report = judged(site(parts, extra={"beams": beams, "piers": two}), gaps)
    assert {f.rule for f in report.findings} & {
        "rod without a hole",
        "hole without a rod",
        "rod in hole",
    } == set()
    assert report.clear["hole without a rod"] == 2
    assert report.clear["rod without a hole"] == 2


# --- laps


@pytest.mark.parametrize(("off", "holds"), [(-0.5, True), (0.0, False), (0.5, False)])
def test_the_lap_of_a_dowel_as_specified(off: float, holds: bool) -> None:
    # The vertical starts at -925, the dowel ends at -925 + 600 + off.
    parts = [
        bar("P1/dowel/1", Role.DOWEL, 25.4, low=-1200.0, high=-325.0 + off, exits=[Exit.BOTTOM]),
        vertical(1, 0.0, low=-925.0),
        vertical(2, 200.0, low=-500.0),
    ]
    found = expect(judged(site(parts, pier=STATED | {"cage": LAPPED})), "dowel lap", holds)
    if holds:
        assert found[0].parts == ("P1/dowel/1", "P1/vertical/1")
        assert found[0].measured_mm == pytest.approx(599.5)


def test_a_short_vertical_cuts_the_lap_and_a_dowel_below_it_has_none() -> None:
    for dowel_top, high, lap in ((-300.0, -400.0, 525.0), (-950.0, -50.0, 0.0)):
        parts = [
            bar("P1/dowel/1", Role.DOWEL, 25.4, low=-1200.0, high=dowel_top),
            vertical(1, low=-925.0, high=high),
        ]
        (found,) = only(judged(site(parts, pier=STATED | {"cage": LAPPED})), "dowel lap")
        assert found.measured_mm == pytest.approx(lap)


def test_a_lap_starts_where_the_later_of_the_two_starts() -> None:
    parts = [bar("P1/dowel/1", Role.DOWEL, 25.4, low=-800.0, high=-300.0), vertical(1, low=-925.0)]
    (found,) = only(judged(site(parts, pier=STATED | {"cage": LAPPED})), "dowel lap")
    assert found.measured_mm == pytest.approx(500.0)


def test_a_dowel_laps_the_vertical_that_it_touches_rather_than_a_nearer_one() -> None:
    dowel = bar("P1/dowel/1", Role.DOWEL, 0.0, low=-1200.0, high=-300.0, touches=["P1/vertical/2"])
    parts = [dowel, vertical(1, 25.0, low=-500.0), vertical(2, -26.0, low=-700.0)]
    (found,) = only(judged(site(parts, pier=STATED | {"cage": LAPPED})), "dowel lap")
    assert found.parts == ("P1/dowel/1", "P1/vertical/2")
    assert found.measured_mm == pytest.approx(400.0)


def test_no_lap_asked_for_is_no_rule() -> None:
    parts = [bar("P1/dowel/1", Role.DOWEL), vertical(1, 26.0)]
    report = judged(site(parts, pier=STATED))
    assert "asks for no lap" in report.does_not_apply["dowel lap"]
