"""Ties: clear of each other, thick enough, close enough, low enough; bends and tails; number of bars."""

from __future__ import annotations

from typing import Any

import pytest

from clash.judge import judge
from clash.measures.section import sides
from clash.report.findings import Level
from models.outline import circle, polygon, rectangle
from tests.support.caged import INCH, caged_site, found, held_up, why_not

OFF = pytest.mark.parametrize(("off", "holds"), [(-0.5, True), (0.0, False), (0.5, False)])
MOST = pytest.mark.parametrize(("off", "holds"), [(-0.5, False), (0.0, False), (0.5, True)])
NO_GROUP: dict[str, Any] = {"top_group": None}


# --- clear of each other


@OFF
def test_ties_leave_room_for_4_3_of_the_aggregate(off: float, holds: bool) -> None:
    # ACI 318-19 25.7.2.1(a): 4/3 x 3/4 in = 1 in.
    own = held_up(caged_site(ties={"top_group": {"count": 2, "clear": INCH + off}}), "tie clear", holds)
    if holds:
        assert own[0].id == "tie clear:P1/tie/1:P1/tie/2"
        assert own[0].measured_mm == pytest.approx(25.4 - 0.5)
        assert own[0].required_mm == pytest.approx(25.4)


@OFF
def test_what_lies_on_a_tie_is_one_stack_with_it(off: float, holds: bool) -> None:
    # The layout keeps its clear space between stacks: from a tie to the crosstie that lies on the next.
    ties = {
        "crossties": {"pairs": [[2, 6]]},
        "top": 4 * INCH,
        "top_group": {"count": 2, "clear": INCH + off},
    }
    held_up(caged_site(ties=ties), "tie clear", holds)


@OFF
def test_links_by_en_are_layers_of_bars(off: float, holds: bool) -> None:
    # EN 1992-1-1 8.2(2): 3/4 in + 5 mm = 24.05, more than the 12.7 mm of a No. 4 and 20.
    group = {"count": 2, "clear": 0.75 * INCH + 5.0 + off}
    held_up(caged_site(ties={"top_group": group}, rules="en-1992"), "tie clear", holds)


def test_a_figure_of_the_site_comes_first_and_a_looser_one_is_told() -> None:
    ties = {"top_group": {"count": 2, "clear": 20.0}}
    report = judge(caged_site(ties=ties, required={"tie_clear": 20.0}))
    assert found(report, "tie clear") == []
    assert any("tie clear" in told and "25.7.2.1" in told for told in report.overrides)


def test_without_an_aggregate_the_room_between_ties_is_not_checked() -> None:
    (own,) = found(judge(caged_site(concrete={"aggregate": None})), "tie clear")
    assert own.level is Level.NOT_CHECKED
    assert "concrete: aggregate" in own.says


def test_a_single_tie_and_no_ties_are_no_case() -> None:
    one = caged_site(ties={"spacing": 100 * INCH, "first": 57 * INCH} | NO_GROUP)
    assert "no two levels" in why_not(one, "tie clear")
    none = caged_site(cage={"ties": None})
    for rule in ("tie clear", "tie spacing", "tie size", "first tie", "held bars", "top ties", "hoop lap"):
        assert why_not(none, rule)


# --- size


@pytest.mark.parametrize(
    ("bar", "tie", "holds"),
    [
        # ACI 318-19 25.7.2.2 (read): No. 3 up to No. 10, No. 4 for No. 11 and larger.
        ("No. 10", "No. 3", False),
        ("No. 11", "No. 3", True),
        ("No. 11", "No. 4", False),
        ("No. 18", "No. 4", False),
    ],
)
def test_size_of_ties_by_the_bars_they_hold(bar: str, tie: str, holds: bool) -> None:
    ties = {"size": tie, "bend": 70.0} | NO_GROUP
    own = held_up(caged_site(verticals={"size": bar, "count": 4}, ties=ties), "tie size", holds)
    if holds:
        assert own[0].id == "tie size:P1/tie/1"


def test_a_thin_crosstie_is_told_beside_its_ties_and_a_thick_dowel_counts() -> None:
    ties = {"crossties": {"pairs": [[2, 6]], "size": "No. 3"}, "top": 4 * INCH, "bend": 40.0} | NO_GROUP
    report = judge(caged_site(verticals={"size": "No. 6"}, ties=ties, dowels={"size": "No. 11"}))
    (own,) = found(report, "tie size")
    assert own.id == "tie size:P1/crosstie/1-1"
    assert report.clear["tie size"] == 1  # the No. 4 ties


@pytest.mark.parametrize(
    ("bar", "tie", "holds"),
    [("40 mm", "10 mm", False), ("16 mm", "10 mm", False)],
)
def test_size_of_links_by_en(bar: str, tie: str, holds: bool) -> None:
    # EN 1992-1-1 9.5.3(1) (read): a quarter of the bar, at least 6: 40 / 4 is exactly 10.
    ties = {"size": tie, "bend": 60.0} | NO_GROUP
    held_up(caged_site(verticals={"size": bar, "count": 4}, ties=ties, rules="en-1992"), "tie size", holds)


def test_a_link_thinner_than_a_quarter_of_its_bar() -> None:
    # No. 18 is 57.33 mm: a quarter is 14.33, and No. 4 has 12.7.
    ties = {"bend": 70.0} | NO_GROUP
    held_up(
        caged_site(verticals={"size": "No. 18", "count": 4}, ties=ties, rules="en-1992"), "tie size", True
    )


# --- spacing


@MOST
@pytest.mark.parametrize(
    ("bar", "tie", "most"),
    [
        # ACI 318-19 25.7.2.1(b) (read): 16 x 3/4 = 12; 48 x 3/8 = 18; the least side, 20.
        ("No. 6", "No. 4", 12.0),
        ("No. 10", "No. 3", 18.0),
        ("No. 10", "No. 4", 20.0),
    ],
)
def test_spacing_of_ties(bar: str, tie: str, most: float, off: float, holds: bool) -> None:
    # From the highest tie down: room for two and a half spacings, so that one of them is whole.
    spacing = most * INCH + off
    first = 6 * INCH
    height = 3 * INCH + 0.25 * INCH + 2.0 * spacing + first
    ties = {"size": tie, "spacing": spacing, "first": first, "bend": 40.0} | NO_GROUP
    built = caged_site(
        verticals={"size": bar, "count": 4},
        ties=ties | {"top": 3.25 * INCH - (0.1875 if tie == "No. 3" else 0.25) * INCH},
        outline={"rectangle": [20 * INCH, 40 * INCH]},
        height=height,
    )
    own = held_up(built, "tie spacing", holds)
    if holds:
        assert own[0].measured_mm == pytest.approx(spacing)
        assert own[0].limit == "most"


@MOST
def test_links_by_en_stand_closer_near_ends(off: float, holds: bool) -> None:
    # EN 1992-1-1 9.5.3(3), (4): min(20 x 16, 400 mm side, 400) = 320; x 0.6 = 192 within 400 mm of an end.
    ties = {"size": "10 mm", "spacing": 192.0 + off, "first": 90.0, "top": 70.0} | NO_GROUP
    height = 75.0 + 90.0 + 4 * (192.0 + off)  # every spacing alike
    built = caged_site(
        verticals={"size": "16 mm", "count": 4},
        ties=ties,
        cage={"size": 300.0},
        outline={"square": 400.0},
        height=height,
        rules="en-1992",
    )
    own = held_up(built, "tie spacing", holds)
    if holds:
        assert "9.5.3(4)" in own[0].source


@pytest.mark.parametrize(("height", "size", "near"), [(2000.0, "12 mm", False), (2000.0, "16 mm", True)])
def test_links_by_en_stand_closer_along_laps_of_thick_bars(height: float, size: str, near: bool) -> None:
    # Bars of 12 mm: min(240, 400, 400); the lap reaches 1500 mm up, ends take 400 mm of 2000.
    # 9.5.3(4)(ii), from memory: laps count for bars over 14 mm. Spacing 200: over 0.6 x 240 = 144 and 192.
    ties = {"size": "10 mm", "spacing": 200.0, "first": 100.0, "top": 70.0} | NO_GROUP
    dowels = {"size": size, "height": 1500.0, "hook": "none", "embed": None}
    built = caged_site(
        verticals={"size": size, "count": 4},
        ties=ties,
        cage={"size": 300.0},
        outline={"square": 400.0},
        height=height,
        dowels=dowels,
        rules="en-1992",
    )
    (own,) = found(judge(built), "tie spacing")
    z = 0.0 if own.at_mm is None else own.at_mm[2]
    assert (z > -600.0 or z < -1600.0) or near


def test_least_side_of_an_outline() -> None:
    assert sides(rectangle(300.0, 500.0)) == pytest.approx((300.0, 500.0))
    assert sides(circle(610.0)) == pytest.approx((610.0, 610.0))
    # An equilateral triangle is narrowest along its height: side x sqrt(3) / 2.
    triangle = polygon([[0.0, 0.0], [600.0, 0.0], [300.0, 600.0 * 3.0**0.5 / 2.0]])
    assert sides(triangle) == pytest.approx((600.0 * 3.0**0.5 / 2.0, 600.0))
    # An L is as narrow as its hull: 400 x 400 less the corner beyond the line from (400, 100) to (100, 400);
    # square to that line it measures (500 / sqrt 2) from the corner at the origin.
    bent = polygon([[0, 0], [400, 0], [400, 100], [100, 100], [100, 400], [0, 400]])
    assert sides(bent)[0] == pytest.approx(500.0 / 2.0**0.5)


# --- the first tie


@MOST
def test_the_first_tie_lies_half_a_spacing_up(off: float, holds: bool) -> None:
    # ACI 318-19 10.7.6.2.1 (read in excerpt): 8 / 2 = 4 in.
    built = caged_site(ties={"first": 4 * INCH + off}, dowels={})
    own = held_up(built, "first tie", holds)
    if holds:
        assert own[0].parts == ("P1/tie/9", "P1/concrete/bottom")
        assert own[0].measured_mm == pytest.approx(4 * INCH + 0.5)


def test_a_shaft_that_stands_on_nothing_and_en_have_no_first_tie() -> None:
    assert "no grade beam" in why_not(caged_site(), "first tie")
    assert "no figure" in why_not(caged_site(dowels={}, rules="en-1992"), "first tie")
    assert judge(caged_site(grade_beam={})).clear["first tie"] == 1


# --- bends and tails


@OFF
@pytest.mark.parametrize(
    ("tie", "times"),
    [("No. 4", 4.0), ("No. 6", 6.0)],  # ACI 318-19 25.3.2 (from memory)
)
def test_bends_of_ties(tie: str, times: float, off: float, holds: bool) -> None:
    diameter = {"No. 4": 0.5, "No. 6": 0.75}[tie] * INCH
    ties = {"size": tie, "bend": times * diameter + off, "spacing": 10 * INCH} | NO_GROUP
    own = held_up(caged_site(ties=ties), "bend size", holds)
    if holds:
        assert own[0].measured_mm == pytest.approx(times * diameter - 0.5)


@OFF
def test_bends_of_dowels(off: float, holds: bool) -> None:
    # ACI 318-19 25.3.1 (read in excerpt): 6 d_b for No. 6: 4.5 in.
    held_up(caged_site(dowels={"bend": 4.5 * INCH + off}, grade_beam={}), "bend size", holds)


@OFF
def test_mandrels_by_en(off: float, holds: bool) -> None:
    # EN 1992-1-1 8.3 (read): 4 phi up to 16 mm.
    ties = {"size": "12 mm", "bend": 48.0 + off} | NO_GROUP
    built = caged_site(verticals={"size": "16 mm"}, ties=ties, rules="en-1992")
    held_up(built, "bend size", holds)


@OFF
def test_tails_of_ties(off: float, holds: bool) -> None:
    # ACI 318-19 25.3.2 (from memory): 135 degrees, No. 4: max(6 x 1/2, 3) = 3 in.
    own = held_up(caged_site(ties={"tail": 3 * INCH + off}), "hook tail", holds, "135 degrees")
    if holds:
        assert own[0].measured_mm == pytest.approx(3 * INCH - 0.5)


def test_the_90_degree_end_of_a_thick_crosstie_needs_12_diameters() -> None:
    # ACI 318-19 25.3.2 (from memory): No. 6, 90 degrees: 12 x 3/4 = 9 in; 135 degrees: 6 x 3/4 = 4 1/2 in.
    ties = {"size": "No. 6", "spacing": 10 * INCH, "tail": 4.5 * INCH, "top": 4 * INCH} | NO_GROUP
    own = held_up(caged_site(ties=ties | {"crossties": {"pairs": [[2, 6]]}}), "hook tail", True)
    assert own[0].id.endswith(":90 degrees")
    assert own[0].required_mm == pytest.approx(9 * INCH)


@OFF
def test_tails_of_dowels(off: float, holds: bool) -> None:
    # ACI 318-19 25.3.1 (read in excerpt): 90 degrees, 12 d_b: 9 in.
    held_up(caged_site(dowels={"tail": 9 * INCH + off}, grade_beam={}), "hook tail", holds)


def test_least_bends_and_tails_are_met_as_drawn_everywhere() -> None:
    for outline, cage in (({"square": 24 * INCH}, {}), ({"round": 24 * INCH}, {"size": 18 * INCH})):
        report = judge(caged_site(outline=outline, cage=cage, dowels={}, grade_beam={}))
        assert found(report, "bend size") + found(report, "hook tail") == []
        assert report.clear["bend size"] == report.clear["hook tail"] == 2


# --- number of bars


@pytest.mark.parametrize(("count", "holds"), [(3, True), (4, False), (5, False)])
@pytest.mark.parametrize("rules", ["aci-318-19", "en-1992"])
def test_a_round_cage_has_four_bars(rules: str, count: int, holds: bool) -> None:
    built = caged_site(
        outline={"round": 24 * INCH}, cage={"size": 18 * INCH}, verticals={"count": count}, rules=rules
    )
    own = held_up(built, "fewest bars", holds)
    if holds:
        assert (own[0].measured, own[0].required, own[0].unit) == (3.0, 4.0, "verticals")


TRIANGLE = {"edges": [{"x": -400.0, "y": -250.0}, {"x": 400.0, "y": -250.0}, {"x": 0.0, "y": 450.0}]}


@pytest.mark.parametrize(("bars", "holds"), [(2, True), (3, False)])
def test_a_triangular_cage_has_three_bars(bars: int, holds: bool) -> None:
    at = [[-250.0, -140.0], [250.0, -140.0], [0.0, 250.0]][:bars]
    built = caged_site(
        outline=TRIANGLE, cage={"size": None}, verticals={"at": at}, ties=NO_GROUP, concrete={"chamfer": {}}
    )
    held_up(built, "fewest bars", holds)


@pytest.mark.parametrize("rules", ["aci-318-19", "en-1992"])
def test_turned_cages_measure_the_same(rules: str) -> None:
    reports = [judge(caged_site(dowels={}, grade_beam={}, turn=turn, rules=rules)) for turn in (0.0, 33.0)]
    assert [f.id for f in reports[0].findings] == [f.id for f in reports[1].findings]
    assert reports[0].clear == reports[1].clear
