"""The ties around rods at the top, and the laps of hoops (ACI 318-19 10.7.6.1.5, 25.7.2.4)."""

from __future__ import annotations

from math import pi
from typing import Any

import pytest

from clash.judge import judge
from clash.measures.hoops import lap_of
from models.part import Role
from models.solids import Swept
from tests.support.caged import INCH, caged_site, found, held_up, why_not

MOST = pytest.mark.parametrize(("off", "holds"), [(-0.5, False), (0.0, False), (0.5, True)])
OFF = pytest.mark.parametrize(("off", "holds"), [(-0.5, True), (0.0, False), (0.5, False)])
NO_3: dict[str, Any] = {"size": "No. 3", "top_group": {"count": 3, "clear": INCH}}
ROUND: dict[str, Any] = {"outline": {"round": 24 * INCH}, "cage": {"size": 18 * INCH}}


@MOST
def test_two_no_4_within_5_in_to_the_underside(off: float, holds: bool) -> None:
    # Cover 3, bars 1/2, clear 1: 3 + 1/2 + 1 + 1/2 = 5.000 in exactly (arith).
    built = caged_site(ties={"top": 3 * INCH + off}, rods={})
    own = held_up(built, "top ties", holds, "concrete/top")
    if holds:
        assert own[0].parts == ("P1/tie/2", "P1/concrete/top")
        assert own[0].measured_mm == pytest.approx(5 * INCH + 0.5)
        assert own[0].required_mm == pytest.approx(5 * INCH)


@pytest.mark.parametrize(
    ("cover", "depth", "center"),
    [
        # 3 No. 3, 1 in clear (arith): cover + 3 x 3/8 + 2; its center lies 3/16 in higher.
        (1.5, 4.625, None),
        (2.0, 5.125, 4.9375),
        (3.0, 6.125, None),
    ],
)
def test_three_no_3_and_the_two_ways_to_measure(cover: float, depth: float, center: float | None) -> None:
    bars = {"top": cover * INCH}
    report = judge(caged_site(ties=NO_3 | {"top": cover * INCH}, verticals=bars, rods={}))
    own = found(report, "top ties")
    assert len(own) == (1 if depth > 5.0 else 0)
    if own:
        assert own[0].measured_mm == pytest.approx(depth * INCH)
        assert own[0].parts[0] == "P1/tie/3"
        assert ("4.94 in" in own[0].says and "top ties to: center" in own[0].says) == (center is not None)
    ties = NO_3 | {"top": cover * INCH}
    to_center = judge(caged_site(ties=ties, verticals=bars, rods={}, required={"top_ties_to": "center"}))
    assert len(found(to_center, "top ties")) == (1 if cover == 3.0 else 0)


@MOST
def test_to_the_center_where_the_site_says_so(off: float, holds: bool) -> None:
    # 3.25 + 1/2 + 1 + 1/4 = 5.000 in to the center of the second No. 4.
    built = caged_site(ties={"top": 3.25 * INCH + off}, rods={}, required={"top_ties_to": "center"})
    held_up(built, "top ties", holds, "concrete/top")


def test_a_single_tie_is_too_few() -> None:
    ties = {"top_group": None, "spacing": 100 * INCH, "first": 57 * INCH}
    (own,) = held_up(caged_site(ties=ties, rods={}), "top ties", True)
    assert own.id == "top ties:P1/tie/1:count"
    assert "1 tie around the rods, 2 ties needed" in own.says


def test_ties_spaced_as_below_are_too_deep() -> None:
    own = held_up(caged_site(ties={"top_group": None}, rods={}), "top ties", True)
    assert own[0].measured_mm is not None
    assert own[0].measured_mm > 5 * INCH


def test_ties_thinner_than_no_3_do_not_count() -> None:
    from clash.books import books

    assert books()["aci-318-19"].top_ties(8.0) is None


@MOST
def test_rods_stand_inside_the_ties(off: float, holds: bool) -> None:
    # The centerline of a No. 4 tie of a 15 1/2 in cage lies 7 1/2 in from the center of the pier.
    rods = {"pattern": {"at": [[0.0, 0.0], [0.0, 7.5 * INCH + off]]}}
    own = held_up(caged_site(rods=rods), "top ties", holds, "outside") if off else []
    if holds:
        assert own[0].id == "top ties:P1/rod/2:P1/tie/1:outside"
        assert (own[0].measured, own[0].required) == (1.0, 0.0)


@pytest.mark.parametrize(("reach", "holds"), [(3, True), (4, False)])
def test_four_verticals_reach_up_into_the_ties(reach: int, holds: bool) -> None:
    """Of 4 verticals, those that are drawn outside of the ties don't count."""
    corner = 7.75 * INCH - 0.5 * INCH - INCH + 0.625 * INCH / 2.0**0.5
    at = [[-corner, -corner], [corner, -corner], [corner, corner], [-corner, corner]]
    at[3] = at[3] if reach == 4 else [-9.5 * INCH, 9.5 * INCH]
    own = held_up(caged_site(verticals={"at": at}, rods={}), "top ties", holds, "verticals")
    if holds:
        assert (own[0].measured, own[0].required) == (3.0, 4.0)


def test_verticals_that_end_below_the_ties_do_not_count() -> None:
    own = held_up(caged_site(verticals={"top": 6 * INCH}, rods={}), "top ties", True, "verticals")
    assert own[0].measured == 0.0


def test_hoops_go_round_rods_as_ties_do() -> None:
    report = judge(caged_site(**ROUND, rods={}))
    assert found(report, "top ties") == []
    assert report.clear["top ties"] == 3
    # The centerline of a No. 4 hoop of 18 in: radius 8 3/4 in.
    out = {"pattern": {"at": [[0.0, 0.0], [0.0, 8.75 * INCH + 0.5]]}}
    assert len(found(judge(caged_site(**ROUND, rods=out)), "top ties", "outside")) == 1
    inside = {"pattern": {"at": [[0.0, 0.0], [0.0, 8.75 * INCH - 0.5]]}}
    assert found(judge(caged_site(**ROUND, rods=inside)), "top ties", "outside") == []


def test_piers_without_rods_and_en_have_no_such_group() -> None:
    assert "no rods" in why_not(caged_site(), "top ties")
    assert "no figure" in why_not(caged_site(rods={}, rules="en-1992"), "top ties")


# --- hoops


def test_the_lap_of_a_hoop_by_its_cut_length() -> None:
    """By a second route: the whole length of the bar, less tails, hooks and one full turn."""
    pier = caged_site(**ROUND).piers[0]
    solid = next(part.solid for part in pier.parts if part.role is Role.HOOP)
    assert isinstance(solid, Swept)
    hook = 2.0 * (3 * INCH + 0.75 * pi * 1.25 * INCH)  # No. 4: tail 3 in; 135 degrees at 1 1/4 in
    lap = lap_of(solid)
    climb = (1.0 + lap.past / (2.0 * pi)) * 0.5 * INCH  # along the slope the bar is a hair longer
    run = ((lap.radius * (2.0 * pi + lap.past)) ** 2 + climb**2) ** 0.5
    assert solid.length - hook == pytest.approx(run, abs=0.5)
    assert lap.radius == pytest.approx(8.75 * INCH, abs=1e-6)


@pytest.mark.parametrize(("off", "holds"), [(-0.5, True), (0.0, False), (0.5, False)])
def test_the_ends_of_a_hoop_lap_by_6_in(off: float, holds: bool) -> None:
    # ACI 318-19 25.7.2.4 (from memory). 8 verticals on a circle: the layout stretches the lap to the next of
    # them, an eighth of the hoop: 6 in where its radius is 6 x 8 / (2 pi) = 7.639 in.
    size = 2.0 * ((6 * INCH + off) * 8.0 / (2.0 * pi) + 0.25 * INCH)
    built = caged_site(outline={"round": 24 * INCH}, cage={"size": size}, ties={"lap": 140.0})
    report = judge(built)
    own = [f for f in found(report, "hoop lap") if not f.id.endswith(("hooked", "staggered"))]
    assert len(own) == (1 if holds else 0)
    if holds:
        assert own[0].measured_mm == pytest.approx(6 * INCH - 0.5, abs=1e-6)


def test_hoops_as_laid_out_hook_round_verticals_and_are_staggered() -> None:
    report = judge(caged_site(**ROUND))
    assert found(report, "hoop lap") == []
    assert report.clear["hoop lap"] == 3


def test_hooks_with_no_vertical_in_them_and_laps_one_over_the_other() -> None:
    # Verticals listed 1/2 in inside the hoop's reach: the hoops all start at the pier's x, at no bar.
    radius = 9 * INCH - 0.5 * INCH - 0.375 * INCH - 0.5 * INCH
    at = [[0.0, radius], [0.0, -radius], [-radius, 0.0], [-radius * 0.8, radius * 0.6]]
    report = judge(caged_site(**ROUND, verticals={"at": at}))
    told = {f.id.rpartition(":")[2]: f for f in found(report, "hoop lap")}
    assert set(told) == {"hooked", "staggered"}
    assert told["hooked"].measured == 0.0
    assert told["staggered"].measured_mm == pytest.approx(0.0, abs=1e-6)


def test_ties_that_are_no_hoops_and_en_have_no_such_lap() -> None:
    assert "no hoops" in why_not(caged_site(), "hoop lap")
    assert "no figure" in why_not(caged_site(**ROUND, rules="en-1992"), "hoop lap")
