"""What placing may take of a measurement: by roles, under, at and over each figure, and how they add up."""

from __future__ import annotations

from math import hypot
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from clash.gap_table import Face
from clash.judge import judge
from clash.report.findings import Level, Report
from clash.rule import rules
from clash.tolerances.table import taken_from
from models.outline import circle, rectangle
from models.part import Part, Role
from models.site import Site
from tests.support.hardware import PLATE, RODS, pier, plate_seat
from tests.support.hardware import site as built_site
from tests.support.tiny import INCH, STATED, bar, judged, only, rod, site, slab, table, tie, vertical

HAND: dict[str, Any] = {"rods_set_by": "hand", "tolerances": {}}
OFF = pytest.mark.parametrize(("off", "is_tight"), [(-0.5, True), (0.0, False), (0.5, False)])
LEVELS = {True: [Level.TIGHT], False: []}


def levels(report: Report, rule: str) -> list[Level]:
    return [f.level for f in only(report, rule)]


def placed(parts: list[Part], placing: dict[str, Any], **given: Any) -> Site:
    pier = STATED | given.pop("pier", {})
    return site(parts, pier=pier, extra={"placing": placing}, **given)


# --- rods against the cage


def near(
    placing: dict[str, Any], gap: float, other: Part | None = None, rules_: str = "aci-318-19"
) -> Report:
    thing = other or tie(1)
    return judged(placed([rod(1), thing], placing, rules=rules_), [("P1/rod/1", thing.id, gap)])


@OFF
@pytest.mark.parametrize(
    ("placing", "taken"),
    [
        (HAND, 0.375 * INCH),  # ACI 117-10 2.3.4.2: a 1 in rod
        (HAND | {"rods_set_by": "template"}, 0.125 * INCH),  # practice: the template's
        (
            HAND | {"tolerances": {"rods": "AISC 303-05"}},
            (0.25 + 0.0625) * INCH,
        ),  # the group, and half of 1/8
        (HAND | {"tolerances": {"rods": "EN 1090-2"}}, 3.0),
        (HAND | {"tolerances": {"rods": "EN 1090-2 adjustable"}}, 10.0),
        (HAND | {"tolerances": {"rod_in_plan": 7.0}}, 7.0),
        (HAND | {"tolerances": {"rod_in_plan": 7.0, "cage_in_plan": 5.0}}, 12.0),
        (
            HAND | {"tolerances": {"rod_in_plan": 7.0, "cage_in_plan": 5.0}, "combine": "root of squares"},
            hypot(7.0, 5.0),
        ),
        (
            HAND | {"tolerances": {"rods": "AISC 303-05"}, "combine": "root of squares"},
            hypot(0.25, 0.0625) * INCH,
        ),
    ],
)
def test_a_rod_may_come_as_near_to_a_tie_as_it_may_be_off(
    placing: dict[str, Any], taken: float, off: float, is_tight: bool
) -> None:
    report = near(placing, taken + off)
    assert levels(report, "overlap") == LEVELS[is_tight]
    for found in only(report, "overlap"):
        assert found.tolerance_mm == pytest.approx(taken)
        assert found.reserve_mm == pytest.approx(off)
        assert "As drawn it is met, but placing may take" in found.says
        assert "apart" in found.says
    assert report.open == ()


def test_left_out_the_seat_says_whether_a_template_sets_the_rods() -> None:
    seat = {"type": "plate", "rods": {"diameter": INCH, "pattern": {"at": [[0, 0]]}, "embedment": 600}}
    seat["rods"]["projection"] = 150
    plywood = {"thickness": 19, "outline": {"square": 500}, "holes": {"diameter": 27}}
    for template, taken in ((None, 0.375 * INCH), (plywood, 0.125 * INCH)):
        pier = {"seat": seat | {"template": template}}
        for off, is_tight in ((-0.5, True), (0.0, False)):
            built = placed([rod(1), tie(1)], {"tolerances": {}}, pier=pier)
            report = judged(built, [("P1/rod/1", "P1/tie/1", taken + off)])
            assert levels(report, "overlap") == LEVELS[is_tight]


def test_a_template_makes_no_rod_worse_than_its_edition() -> None:
    placing = {"rods_set_by": "template", "tolerances": {"rods": "EN 1090-2"}}
    assert levels(near(placing, 2.9), "overlap") == [Level.TIGHT]
    assert levels(near(placing, 3.0), "overlap") == []


def test_what_overlaps_is_on_hold_whatever_placing_may_take() -> None:
    (found,) = only(near(HAND, -3.0), "overlap")
    assert found.level is Level.HOLD
    assert "overlap by 3.0 mm" in found.says
    assert "placing" not in found.says


def test_what_is_placed_as_one_or_wired_together_takes_nothing_of_itself() -> None:
    parts = [vertical(1), tie(1), rod(1), bar("P1/head/1", Role.HEAD), tie(2, touches=["P1/rod/1"])]
    gaps = [("P1/vertical/1", "P1/tie/1", 0.5), ("P1/rod/1", "P1/head/1", 0.5), ("P1/rod/1", "P1/tie/2", 0.0)]
    report = judged(placed(parts, HAND), gaps)
    assert levels(report, "overlap") == []


def test_an_embed_counts_where_the_site_says_how_far_it_may_be_off() -> None:
    conduit = bar("P1/embed/conduit", Role.EMBED, diameter=27.0, label="conduit")
    assert levels(near(HAND, 5.0, conduit), "overlap") == []
    own = HAND | {"tolerances": {"embed_in_plan": 10.0}}
    assert levels(near(own, 0.375 * INCH + 9.5, conduit), "overlap") == [Level.TIGHT]
    assert levels(near(own, 0.375 * INCH + 10.0, conduit), "overlap") == []


@pytest.mark.parametrize(("tilt", "share"), [(0.0, 1.0), (90.0, 0.0), (60.0, 0.5)])
def test_a_move_in_plan_takes_only_its_share_of_a_gap_that_rises(tilt: float, share: float) -> None:
    built = placed([rod(1), tie(1)], HAND | {"tolerances": {"rod_in_plan": 10.0}})
    for gap, is_tight in ((10.0 * share - 0.1, True), (10.0 * share + 0.1, False)):
        if gap <= 0.0:
            continue
        gaps = table(built, [("P1/rod/1", "P1/tie/1", gap)])
        step = np.array([[np.cos(np.radians(tilt)), 0.0, np.sin(np.radians(tilt))]]) * gap
        report = judge(built, replace(gaps, at_b=gaps.at_a + step))
        assert levels(report, "overlap") == LEVELS[is_tight]


# --- holes


def through(
    off: float, placing: dict[str, Any], *, role: Role = Role.PLATE, rods: int = 2, extra: Any = None
) -> Report:
    """Rods of 1 in through holes of 60 mm, 17.3 mm of play all round, against a required play less `off`."""
    centers = [(-80.0, 0.0), (80.0, 0.0)][:rods]
    name = {Role.PLATE: "P1/plate/1", Role.BEAM: "B1/beam", Role.TEMPLATE: "P1/template/1"}[role]
    holed = slab(name, role, rectangle(300.0, 300.0), 40.0, 52.0, holes=[circle(60.0, c) for c in centers])
    anchors = [rod(k + 1, *center) for k, center in enumerate(centers)]
    seat = {
        "type": "plate",
        "rods": {"diameter": INCH, "pattern": {"at": [list(c) for c in centers]}, "embedment": 600},
        "plate": {"outline": {"square": 300}, "thickness": 12, "above": 40, "holes": {"diameter": 60}},
        "template": {"thickness": 12, "outline": {"square": 300}, "holes": {"diameter": 60}},
    }
    seat["rods"]["projection"] = 150
    pier = {"seat": seat, "required": {"hole_play": PLAY - off}}
    beams = [{"name": "B1", "piers": ["P1"], "direction": 0, "width": 300, "depth": 12, "hole": 60}]
    built = site(
        [holed, *anchors], pier=STATED | pier, extra={"placing": placing, "beams": beams} | (extra or {})
    )
    return judged(built, [(anchor.id, holed.id, PLAY) for anchor in anchors])


PLAY = (60.0 - INCH) / 2.0


@OFF
@pytest.mark.parametrize(
    ("placing", "taken"),
    [
        (HAND, 0.375 * INCH),
        (HAND | {"rods_set_by": "template"}, 0.0625 * INCH),  # 1/8 in between any two
        (HAND | {"tolerances": {"rods": "AISC 303-05"}}, 0.0625 * INCH),
        (HAND | {"tolerances": {"rods": "EN 1090-2"}}, 3.0),
        (HAND | {"tolerances": {"rods_in_group": 5.0}}, 2.5),
        (HAND | {"tolerances": {"rod_in_plan": 5.0}}, 5.0),
        (HAND | {"rods_set_by": "template", "tolerances": {"rod_in_plan": 1.0}}, 1.0),
    ],
)
def test_a_group_of_rods_in_the_holes_of_its_plate(
    placing: dict[str, Any], taken: float, off: float, is_tight: bool
) -> None:
    report = through(taken + off, placing)
    assert levels(report, "rod in hole") == [Level.TIGHT] * (2 if is_tight else 0)
    for found in only(report, "rod in hole"):
        assert found.tolerance_mm == pytest.approx(taken)
    # Along both axes at once it is taken x sqrt 2: an extra line, and no finding.
    short = 0.0 <= off < taken * (2.0**0.5 - 1.0)
    assert len([line for line in report.both_axes if "play of rods" in line]) == int(short)


def test_far_enough_for_both_axes_there_is_no_extra_line() -> None:
    taken = 0.375 * INCH
    assert through(taken * 2.0**0.5 - 0.01, HAND).both_axes != ()
    assert through(taken * 2.0**0.5, HAND).both_axes == ()


def test_what_a_single_rod_is_off_its_plate_takes_up() -> None:
    placing = HAND | {"tolerances": {"rods": "AISC 303-05"}}
    assert levels(through(0.0, placing, rods=1), "rod in hole") == []
    assert levels(through(0.0, placing, rods=2), "rod in hole") == [Level.TIGHT] * 2


def test_a_beam_is_drilled_as_the_rods_were_measured_unless_the_site_says_as_drawn() -> None:
    assert levels(through(0.0, HAND, role=Role.BEAM), "rod in hole") == []
    drawn = HAND | {"beams_drilled": "as drawn"}
    assert levels(through(0.375 * INCH - 0.5, drawn, role=Role.BEAM), "rod in hole") == [Level.TIGHT] * 2
    assert levels(through(0.375 * INCH, drawn, role=Role.BEAM), "rod in hole") == []


def test_the_plywood_sets_the_rods_so_nothing_is_taken_of_its_holes() -> None:
    assert levels(through(0.0, HAND, role=Role.TEMPLATE), "rod in hole") == []


# --- what codes let be met as drawn


@pytest.mark.parametrize(
    ("asked", "off", "level"),
    [
        ([], 0.0, []),
        (["cover"], 12.7 - 0.5, [Level.TIGHT]),
        (["cover"], 12.7, []),
        (["cover"], 0.0, [Level.TIGHT]),
        (["spacing"], 0.0, []),
        (["cover"], -0.5, [Level.HOLD]),
    ],
)
def test_specified_cover_is_met_as_drawn_unless_the_site_asks(
    asked: list[str], off: float, level: Any
) -> None:
    # ACI 117-10 2.2 (from memory): 1/2 in in members over 8 in; 2 in specified, of which a third is more.
    built = placed([vertical(1)], HAND | {"met_as_built": asked}, pier={"concrete": {"cover": COVER}})
    report = judged(built, [("P1/vertical/1", Face.SIDE, 2.0 * INCH + off)])
    assert levels(report, "cover") == level


COVER = {"side": 2.0 * INCH, "top": 0.0, "bottom": 0.0}


def test_never_more_than_a_third_of_the_cover_and_less_in_thin_members() -> None:
    asked = HAND | {"met_as_built": ["cover"]}
    for given, outline, taken in (
        (30.0, None, 10.0),  # a third
        (2.0 * INCH, rectangle(200.0, 500.0), 0.375 * INCH),  # 200 mm are under 8 in
        (2.0 * INCH, circle(500.0), 0.5 * INCH),
    ):
        pier = {"concrete": {"cover": COVER | {"side": given}}}
        for off, is_tight in ((-0.5, True), (0.0, False)):
            built = placed([vertical(1)], asked, pier=pier, outline=outline)
            report = judged(built, [("P1/vertical/1", Face.SIDE, given + taken + off)])
            assert levels(report, "cover") == LEVELS[is_tight]


def test_spacing_where_the_site_asks_takes_a_quarter_of_the_distance() -> None:
    # 1 1/2 in needed; a quarter of what is drawn may go: 2 in leave exactly 1 1/2.
    asked = HAND | {"met_as_built": ["spacing"]}
    for gap, placing, level in (
        (2.0 * INCH - 0.5, HAND, []),
        (2.0 * INCH - 0.5, asked, [Level.TIGHT]),
        (2.0 * INCH, asked, []),
    ):
        report = judged(
            placed([vertical(1), vertical(2)], placing), [("P1/vertical/1", "P1/vertical/2", gap)]
        )
        assert levels(report, "bar spacing") == level


@OFF
def test_rods_apart_where_the_site_asks_take_both(off: float, is_tight: bool) -> None:
    # 4 d_a = 101.6 mm, and each of two rods set by hand 3/8 in off.
    asked = HAND | {"met_as_built": ["spacing"]}
    report = judged(placed([rod(1), rod(2, 101.6 + 2 * 9.525 + off)], asked))
    assert levels(report, "rod spacing") == LEVELS[is_tight]


# --- heights


def bedded(height: float, placing: dict[str, Any]) -> Report:
    """A plate of 12 mm at `height` over the concrete, with grout of 25 to 60 mm asked under it."""
    plate = slab("P1/plate/1", Role.PLATE, rectangle(300.0, 300.0), height, height + 12.0)
    seat = {
        "type": "plate",
        "rods": {"diameter": INCH, "pattern": {"at": [[0, 0]]}, "embedment": 600, "projection": 150},
        "plate": {"outline": {"square": 300}, "thickness": 12, "above": height, "holes": {"diameter": 40}},
        "grout": {"least": 25, "most": 60},
    }
    return judged(placed([plate], placing, pier={"seat": seat}))


@pytest.mark.parametrize(
    ("placing", "height", "level"),
    [
        # ACI 117-10 (from memory): the top of a pier 1/2 in up or down.
        (HAND, 37.7 - 0.5, [Level.TIGHT]),
        (HAND, 37.7, []),
        (HAND, 47.3, []),
        (HAND, 47.3 + 0.5, [Level.TIGHT]),
        # EN 1090-2 (from memory): 5 mm up, 15 mm down.
        (HAND | {"tolerances": {"rods": "EN 1090-2", "concrete": "EN 13670"}}, 29.5, [Level.TIGHT]),
        (HAND | {"tolerances": {"rods": "EN 1090-2", "concrete": "EN 13670"}}, 30.0, []),
        (HAND | {"tolerances": {"rods": "EN 1090-2", "concrete": "EN 13670"}}, 45.0, []),
        (HAND | {"tolerances": {"rods": "EN 1090-2", "concrete": "EN 13670"}}, 45.5, [Level.TIGHT]),
        (HAND | {"tolerances": {"concrete_height": 3.0}}, 28.0, []),
        (HAND | {"tolerances": {"concrete_height": 3.0}}, 27.5, [Level.TIGHT]),
    ],
)
def test_concrete_too_high_or_too_low_takes_of_the_grout(
    placing: dict[str, Any], height: float, level: list[Level]
) -> None:
    assert levels(bedded(height, placing), "grout bed") == level


# --- a real seat


def seated(placing: dict[str, Any], rods: Any = None, plate: Any = None, **given: Any) -> Report:
    """Four 1 in rods under a plate with washers and leveling nuts on a 600 mm pier, judged."""
    seat = plate_seat(rods=RODS | {"thread": 150} | (rods or {}), plate=PLATE | (plate or {}))
    required = {"required": given.pop("required", {})}
    return judge(built_site(pier(seat=seat | given, **(STATED | required)), placing=placing))


NUT = 1.012 * INCH
"""mm, a heavy hex nut on a 1 in rod at its greatest (ASME B18.2.2, read)."""


@OFF
def test_rods_that_stand_too_low_lack_thread_to_show(off: float, is_tight: bool) -> None:
    # Plate 45 to 65 mm over the concrete, washer 9.5, nut: 1/2 in (ACI 117-10 2.3.4.1) to spare, and off.
    projection = 65.0 + 9.5 + NUT + 12.7 + off
    report = seated(HAND, rods={"projection": projection})
    assert levels(report, "rod projection") == LEVELS[is_tight]
    # EN 1090-2 (from memory): only 5 mm down.
    en = HAND | {"tolerances": {"rods": "EN 1090-2"}}
    assert levels(seated(en, rods={"projection": projection - 7.7}), "rod projection") == LEVELS[is_tight]


@OFF
def test_rods_that_stand_too_high_run_their_nuts_off_the_thread(off: float, is_tight: bool) -> None:
    # The leveling nut's underside is 45 - NUT over the concrete, the nut below the template's plywood (40 mm
    # up) at 40 - NUT: the thread must go on for as much as the rod may stand too high.
    thread = 130.0 - (40.0 - NUT)
    for placing, high in ((HAND, 12.7), (HAND | {"tolerances": {"rods": "EN 1090-2"}}, 45.0)):
        report = seated(placing, rods={"thread": thread + high + off})
        assert levels(report, "rod thread") == LEVELS[is_tight]


@OFF
def test_concrete_that_is_too_high_takes_the_room_of_leveling_nuts(off: float, is_tight: bool) -> None:
    report = seated(HAND, plate={"above": NUT + 12.7 + off}, rods={"projection": 160})
    assert levels(report, "above concrete") == LEVELS[is_tight]


@OFF
def test_a_plate_goes_where_its_rods_went_on_the_concrete(off: float, is_tight: bool) -> None:
    # A 600 mm pier and rods 3/8 in off: the plate needs that much of concrete beside it.
    report = seated(HAND, plate={"outline": {"square": 600.0 - 2.0 * (9.525 + off)}})
    assert levels(report, "plate on concrete") == LEVELS[is_tight]


@OFF
def test_washers_go_with_their_rods_over_the_holes(off: float, is_tight: bool) -> None:
    # A washer of 76 mm over a hole of d: (76 - d) / 2 beyond the rim; rods set by hand 3/8 in off.
    report = seated(HAND, plate={"holes": {"diameter": 76.0 - 2.0 * (9.525 + off)}})
    tight = [
        f for f in only(report, "washer over hole") if "P1/washer" in str(f.parts) and f.level is Level.TIGHT
    ]
    assert len(tight) == int(is_tight)


@OFF
def test_embedment_where_the_site_asks_takes_what_rods_may_stand_too_high(off: float, is_tight: bool) -> None:
    asked = HAND | {"met_as_built": ["length"]}
    required = {"required": {"rod_embedment": 700.0 - 12.7 - off}}
    assert levels(seated(asked, **required), "rod embedment") == LEVELS[is_tight]
    assert levels(seated(HAND, required={"rod_embedment": 700.0}), "rod embedment") == []


@OFF
@pytest.mark.parametrize(
    ("own", "taken"),
    [({}, 4.0 * INCH), ({"concrete": "EN 13670"}, 0.06 * 600.0), ({"bar_end": 10.0}, 20.0)],
)
def test_laps_where_the_site_asks_lose_both_ends(own: Any, taken: float, off: float, is_tight: bool) -> None:
    # ACI 117-10 2.2: either end 2 in; EN 13670 (from memory): 6 % of the lap.
    cage = {
        "verticals": {"size": "No. 8", "count": 4},
        "dowels": {"size": "No. 8", "count": 1, "height": 700, "lap": 600},
    }
    dowel = bar("P1/dowel/1", Role.DOWEL, low=-1300.0, high=-950.0 + 600.0 + taken + off)
    parts = [vertical(1, 30.0, low=-950.0), dowel]
    for met, level in ((["length"], LEVELS[is_tight]), ([], [])):
        placing = HAND | {"tolerances": own, "met_as_built": met}
        report = judged(placed(parts, placing, pier={"cage": cage}), [("P1/vertical/1", "P1/dowel/1", 4.6)])
        assert levels(report, "dowel lap") == level


def test_a_tight_hole_says_both_what_one_axis_takes_and_what_both_take() -> None:
    found, other = only(through(9.0, HAND), "rod in hole")
    assert found.group == other.group  # the rods of one plate are one matter
    assert (
        "placing may take 9.6 mm of it along one axis, 13.5 mm along both (ACI 117-10 2.3.4.2)." in found.says
    )


# --- what the report says


def test_the_report_says_whose_tolerances_and_how_they_add_up() -> None:
    report = judged(placed([vertical(1)], {"tolerances": {}, "combine": "root of squares"}))
    text = " ".join(report.tolerances)
    assert "ACI 117-10" in text
    assert "root of their squares" in text
    assert "permitted by the code: cover, spacing, length" in text
    assert report.placing == (
        "ACI 117-10; rods set through the template where a seat has one, else by hand; root of squares"
    )
    other = judged(placed([vertical(1)], HAND | {"met_as_built": ["cover"]}, rules="en-1992"))
    assert other.placing == "EN 1090-2 and EN 13670; rods set by hand; worst case"
    assert "permitted by the code: spacing, length" in " ".join(other.tolerances)


def test_a_tolerance_of_the_site_that_is_less_than_published_is_told_at_the_top() -> None:
    own = {"rod_in_plan": 5.0, "concrete_height": 20.0, "cage_in_plan": 1.0}
    report = judged(placed([rod(1)], HAND | {"tolerances": own}))
    (told,) = report.overrides
    assert told == (
        "Placing is taken to keep a rod in plan within 5.0 mm (as specified, placing: tolerances: rod in "
        "plan), less than the 9.6 mm of ACI 117-10 2.3.4.2."
    )
    assert "a rod in plan 5.0 mm" in " ".join(report.tolerances)


def test_every_rule_that_tolerances_are_taken_from_is_there() -> None:
    assert set(taken_from()) <= {rule.id for rule in rules()}
