"""What stands on rods: each rule just under its limit, exactly at it, and just over."""

from __future__ import annotations

from math import sqrt
from typing import Any

import pytest

from clash.report.findings import Level
from models.outline import rectangle
from models.part import Role
from tests.support import tiny
from tests.support.hardware import CAGE, pier, plate_seat, site
from tests.support.seats import (
    NUT_CORNERS,
    NUT_FLATS,
    NUT_HEIGHT,
    STATED,
    holds,
    missing,
    on_plate,
    told,
    under_beam,
)

INCH = 25.4
SHORT = pytest.mark.parametrize(("off", "hold"), [(-0.5, True), (0.0, False), (0.5, False)])
LONG = pytest.mark.parametrize(("off", "hold"), [(-0.5, False), (0.0, False), (0.5, True)])


def test_a_seat_drawn_with_room_for_everything_is_clear() -> None:
    report = on_plate({"leveling_washer": {"size": 76, "thickness": 5}})
    assert [f.says for f in report.findings] == []
    beams = under_beam()
    assert [f.says for f in beams.findings] == []
    looked = {"rod embedment", "rod thread", "rod projection", "above concrete", "nut room", "template edge"}
    looked |= {"washer over hole", "washer on seat", "hole size", "hole edge", "hole spacing", "grout bed"}
    assert {rule for rule in looked if report.clear[rule] < 1} == set()
    assert {r for r in ("beam face", "rod in hole", "washer on seat") if beams.clear[r] < 1} == set()


# --- embedment


@SHORT
@pytest.mark.parametrize(
    "end", [{}, {"end": "J", "bend": 76, "tail": 100}, {"end": "L", "bend": 76, "tail": 100}]
)
def test_embedment_is_the_one_that_the_engineer_asks_for(off: float, hold: bool, end: dict[str, Any]) -> None:
    """To the upper side of the nut at the foot, or to the lowest point of a hook: 700 mm as drawn."""
    report = on_plate(rods=end, required={"rod_embedment": 700 - off})
    found = told(report, "rod embedment", hold)
    if found is not None:
        assert found.measured_mm == pytest.approx(700.0)
        assert "is embedded 700.0 mm" in found.says


@SHORT
def test_concrete_below_the_pier_embeds_nothing(off: float, hold: bool) -> None:
    """The pier ends at 700 mm: what a rod has below that is not in the pier, nor is the nut at its foot."""
    report = on_plate(bottom=-(700 + off))
    found = told(report, "rod embedment", hold)
    assert holds(report, "cover")
    if found is not None:
        assert found.measured_mm == pytest.approx(699.5)


@SHORT
def test_a_rod_set_high_is_embedded_less_than_drawn(off: float, hold: bool) -> None:
    """Rods as placed: drawn with 500 mm of embedment, the lower end at -500 - off."""
    spec = {"type": "none", "rods": {"diameter": 25.4, "pattern": {"at": [[0, 0]]}, "embedment": 500,
                                     "projection": 150, "end": "plain"}}  # fmt: skip
    built = tiny.site([tiny.rod(1, low=-500.0 - off)], pier=tiny.STATED | {"seat": spec})
    told(tiny.judged(built), "rod embedment", hold)


# --- thread


@SHORT
def test_thread_reaches_the_lowest_nut(off: float, hold: bool) -> None:
    """Without a template the leveling nut is the lowest: its underside lies at 45 - 25.7 = 19.3 mm.

    The rods end at 130, so that 110.7 mm of thread just do.
    """
    need = 130.0 - (45.0 - NUT_HEIGHT)
    report = on_plate({"template": None}, rods={"thread": need + off})
    found = told(report, "rod thread", hold)
    if found is not None:
        assert found.measured_mm == pytest.approx(-0.5)
        assert "has no thread where the leveling nut on rod 1" in found.says


@SHORT
def test_the_nut_below_the_template_asks_for_more_thread(off: float, hold: bool) -> None:
    """The template lies at 40, the nut below it reaches down to 40 - 25.7 = 14.3 mm."""
    told(on_plate(rods={"thread": 130.0 - (40.0 - NUT_HEIGHT) + off}), "rod thread", hold)


@SHORT
def test_thread_under_the_nut_on_a_beam(off: float, hold: bool) -> None:
    """Beam 400, washer 6: the nut stands at 406 on a rod that ends at 500. Nothing else is on it."""
    told(under_beam(rods={"thread": 94.0 + off}), "rod thread", hold)


@SHORT
def test_thread_to_spare_as_the_site_asks(off: float, hold: bool) -> None:
    told(under_beam(rods={"thread": 94.0 + 76.2 + off}, required={"thread_spare": 76.2}), "rod thread", hold)


def test_thread_that_nobody_gave_is_asked_for_where_a_nut_has_to_run_on_it() -> None:
    report = under_beam(rods={"thread": None})
    found = missing(report, "rod thread")
    assert found.id == "rod thread:P1:seat.rods.thread"
    assert "(seat: rods: thread)" in found.says
    assert found.parts == ("P1/rod/1", "P1/rod/2")
    bare = under_beam({"nuts": False}, rods={"thread": None})
    assert "rod thread" in bare.does_not_apply


# --- projection


@SHORT
def test_the_whole_nut_runs_on_the_rod(off: float, hold: bool) -> None:
    """Plate at 45 + 20, washer 9.5, nut 25.7: 100.2 mm, on shims or on leveling nuts."""
    for level in ({}, {"level_on": "shims", "shim": {"square": 76}}):
        report = on_plate(level, rods={"projection": 74.5 + NUT_HEIGHT + off})
        found = told(report, "rod projection", hold)
        if found is not None:
            assert found.measured_mm == pytest.approx(-0.5)
            assert "ends 0.5 mm below the top of the nut on rod 1" in found.says


@SHORT
def test_thread_showing_as_the_site_asks(off: float, hold: bool) -> None:
    report = under_beam(rods={"projection": 406 + NUT_HEIGHT + 8 + off}, required={"thread_showing": 8})
    told(report, "rod projection", hold)


@SHORT
def test_a_welded_bar_reaches_the_top_of_its_plate(off: float, hold: bool) -> None:
    anchors = {"bar": "No. 8", "diameter": None, "end": "plain", "thread": None, "projection": 65 + off}
    seat = {"level_on": "shims", "shim": {"square": 76}, "nuts": False, "washer": None}
    found = told(on_plate(seat, rods=anchors), "rod projection", hold)
    if found is not None:
        assert found.limit == "most"
        assert "ends 0.5 mm below the top of plate PL1" in found.says
    deep = on_plate(seat, rods=anchors | {"projection": 59 + off}, required={"bar_recess": 6})
    told(deep, "rod projection", hold)


# --- against the concrete


@SHORT
def test_a_leveling_nut_has_its_height_under_the_plate(off: float, hold: bool) -> None:
    report = on_plate({"template": None}, plate={"above": NUT_HEIGHT + off})
    found = told(report, "above concrete", hold)
    if found is not None:
        assert found.parts == ("P1/leveling-nut/1", "P1/concrete/top")
        assert found.measured_mm == pytest.approx(-0.5)
        assert "reaches 0.5 mm down into the concrete" in found.says


@SHORT
def test_a_nut_below_the_template_has_its_height_there(off: float, hold: bool) -> None:
    template = plate_seat()["template"] | {"above": NUT_HEIGHT + off, "nuts": "both"}
    found = told(on_plate({"template": template}), "above concrete", hold)
    if found is not None:
        assert found.parts[0] == "P1/template-nut/1-below"


def test_a_template_that_lies_on_the_concrete_has_nuts_above_it_only() -> None:
    """Nobody who leaves both fields out means nuts inside the concrete; who writes them is told."""
    template = {"thickness": 19, "outline": {"square": 600}, "holes": {"diameter": 27}}
    report = on_plate({"template": template})
    assert holds(report, "above concrete") == []
    nuts = [
        p.id for p in site(pier(seat=plate_seat(template=template))).piers[0].parts if "template-nut" in p.id
    ]
    assert nuts == [f"P1/template-nut/{k}-above" for k in (1, 2, 3, 4)]
    exact = template | {"above": NUT_HEIGHT}
    nuts = [
        p.id for p in site(pier(seat=plate_seat(template=exact))).piers[0].parts if "template-nut" in p.id
    ]
    assert len(nuts) == 8
    (found,) = holds(on_plate({"template": template | {"nuts": "both"}}), "above concrete")
    assert found.measured_mm == pytest.approx(-NUT_HEIGHT)


def test_what_stands_beside_the_pier_may_reach_below_its_top() -> None:
    """A plate beside a pier of 500 mm, and one whose corner reaches over it."""
    for x, hold in ((400.0, False), (350.0, True)):
        plate = tiny.slab("P1/plate/1", Role.PLATE, rectangle(250.0, 250.0, (x, 0.0)), -20.0, -5.0)
        report = tiny.judged(tiny.site([plate, tiny.vertical(1)], pier=tiny.STATED))
        assert bool(holds(report, "above concrete")) is hold


@SHORT
def test_the_grout_is_as_thick_as_its_least(off: float, hold: bool) -> None:
    report = on_plate({"grout": {"least": 40}, "template": None}, plate={"above": 40 + off})
    told(report, "grout bed", hold)


@LONG
def test_and_no_thicker_than_its_most(off: float, hold: bool) -> None:
    seat = {"grout": {"least": 20, "most": 50}}
    found = told(on_plate(seat, plate={"above": 50 + off}, rods={"projection": 140}), "grout bed", hold)
    assert found is None or found.limit == "most"


@SHORT
def test_a_plate_lies_inside_the_chamfer(off: float, hold: bool) -> None:
    """A pier of 420 mm with a 19 mm chamfer all round has a flat top of 382 mm; plate 380, moved."""
    outline = {"square": 380, "center": [1.0 - off, 0]}
    given = {"outline": {"square": 420}, "concrete": STATED["concrete"] | {"chamfer": {"top": 19}}}
    template = plate_seat()["template"] | {"outline": {"square": 420}}
    report = on_plate({"grout": {"least": 25}, "template": template}, plate={"outline": outline}, **given)
    found = told(report, "plate on concrete", hold)  # the plate with its grout, once
    if found is not None:
        assert found.parts == ("P1/plate/1", "P1/concrete/top")
        assert "hangs 0.5 mm over the flat of the top of concrete" in found.says


@SHORT
def test_the_corner_of_a_square_plate_on_a_round_pier(off: float, hold: bool) -> None:
    """A square of side s reaches s / sqrt 2 from its center; the flat top of a 560 mm round one 280 - 10."""
    given = {"outline": {"round": 560}, "concrete": STATED["concrete"] | {"chamfer": {"top": 10}}}
    side = (270.0 - off) * sqrt(2.0)
    template = plate_seat()["template"] | {"outline": {"round": 560}}
    report = on_plate({"template": template}, plate={"outline": {"square": side}}, **given)
    told(report, "plate on concrete", hold)


@SHORT
def test_grout_wider_than_its_plate_is_told_where_it_hangs_over(off: float, hold: bool) -> None:
    seat = {"grout": {"least": 25, "outline": {"round": 600 - 2 * off}}}
    found = told(on_plate(seat), "plate on concrete", hold)
    if found is not None:
        assert found.parts[0] == "P1/grout/1"


# --- washers


@SHORT
@pytest.mark.parametrize("shape", ["round", "square"])
def test_a_washer_covers_its_hole(off: float, hold: bool, shape: str) -> None:
    """A hole of 46 mm under a washer of 46 mm is just covered, round or square."""
    washer = {"size": 46 + 2 * off, "thickness": 9.5, "shape": shape}
    found = told(on_plate({"washer": washer}), "washer over hole", hold)
    if found is not None:
        assert found.measured_mm == pytest.approx(-0.5)
        assert "leaves 0.5 mm of its hole in plate PL1 open" in found.says


@SHORT
def test_a_washer_over_a_hole_that_is_off_its_rod_covers_less(off: float, hold: bool) -> None:
    """All holes 7 mm to the east: 23 + 7 = 30 mm from the washer's center to the far rim."""
    holes = {"diameter": 46, "pattern": {"grid": [2, 2], "spacing": [240, 200], "offset": [7, 0]}}
    washer = {"size": 60 + 2 * off, "thickness": 9.5}
    told(on_plate({"washer": washer, "level_on": "none"}, plate={"holes": holes}), "washer over hole", hold)


@SHORT
def test_a_nut_without_a_washer_covers_its_hole_by_its_flats(off: float, hold: bool) -> None:
    report = on_plate({"washer": None}, plate={"holes": {"diameter": NUT_FLATS - 2 * off}})
    found = told(report, "washer over hole", hold)
    assert found is None or found.parts == ("P1/nut/1", "P1/plate/1")


@SHORT
def test_a_leveling_nut_with_a_washer_of_its_own(off: float, hold: bool) -> None:
    """The washer covers the hole; it takes its thickness from the room under the plate."""
    washer = {"size": 60 + 2 * off, "thickness": 5}
    holes = {"diameter": 60}
    seat = {"leveling_washer": washer, "washer": {"size": 76, "thickness": 9.5}, "template": None}
    found = told(on_plate(seat, plate={"holes": holes}), "washer over hole", hold)
    assert found is None or found.parts == ("P1/leveling-washer/1", "P1/plate/1")
    room = {"above": NUT_HEIGHT + 5 + off}
    low = told(
        on_plate(seat | {"leveling_washer": {"size": 76, "thickness": 5}}, plate=room), "above concrete", hold
    )
    assert low is None or low.parts[0] == "P1/leveling-nut/1"


@SHORT
def test_a_leveling_nut_carries_the_plate_on_its_corners(off: float, hold: bool) -> None:
    report = on_plate(plate={"holes": {"diameter": NUT_CORNERS - 2 * off}})
    found = told(report, "washer over hole", hold)
    assert found is None or found.parts == ("P1/leveling-nut/1", "P1/plate/1")


def test_a_washer_over_a_hole_that_its_rod_fouls_is_told_as_that_alone() -> None:
    holes = {"diameter": 46, "pattern": {"grid": [2, 2], "spacing": [240, 200], "offset": [12, 0]}}
    report = on_plate({"washer": {"size": 60, "thickness": 9.5}}, plate={"holes": holes})
    assert len(holds(report, "rod in hole")) == 4
    assert {f.rule for f in report.findings} == {"rod in hole"}


@SHORT
@pytest.mark.parametrize("shape", ["round", "square"])
def test_a_washer_lies_wholly_on_its_plate(off: float, hold: bool, shape: str) -> None:
    """Rods at x = +-120: a plate 240 + 76 wide just carries washers of 76."""
    plate = {"outline": {"rectangle": [316 + 2 * off, 380]}}
    washer = {"size": 76, "thickness": 9.5, "shape": shape}
    found = told(on_plate({"washer": washer}, plate=plate), "washer on seat", hold)
    if found is not None:
        assert found.measured_mm == pytest.approx(-0.5)
        assert "hangs 0.5 mm off plate PL1" in found.says


@SHORT
@pytest.mark.parametrize("shape", ["round", "square"])
def test_a_washer_does_not_lie_over_an_opening_of_its_plate(off: float, hold: bool, shape: str) -> None:
    """An opening of 60 by 2 x (100 - 38) mm between the rods of one side, beside washers of 76 on them."""
    cutouts = [{"rectangle": [60, 2 * (62 - off)], "center": [-120, 0]}]
    washer = {"size": 76, "thickness": 9.5, "shape": shape}
    found = told(on_plate({"washer": washer}, plate={"cutouts": cutouts}), "washer on seat", hold)
    assert found is None or found.measured_mm == pytest.approx(-0.5)


@SHORT
def test_a_washer_lies_wholly_on_its_beam_however_the_pier_is_turned(off: float, hold: bool) -> None:
    for turn in (0.0, 30.0):
        beam = {"width": 76 + 2 * off, "direction": turn}
        report = under_beam({"washer": {"size": 76, "thickness": 6, "shape": "square"}}, beam=beam, turn=turn)
        told(report, "washer on seat", hold)


@SHORT
def test_washers_keep_off_each_other_and_off_what_stands_on_the_plate(off: float, hold: bool) -> None:
    """Square washers as wide as rods are apart, 200; a stiffener up to y = 62 beside washers of 76 at 100."""
    wide = on_plate({"washer": {"size": 200 - off, "thickness": 9.5, "shape": "square"}},
                    plate={"outline": {"square": 500}})  # fmt: skip
    assert len([f for f in holds(wide, "overlap") if "washer" in f.id]) == (2 if hold else 0)
    into = [{"name": "stiffener", "outline": {"rectangle": [300, 124 - 2 * off]}, "height": 100}]
    square = {"size": 76, "thickness": 9.5, "shape": "square"}
    beside = on_plate({"washer": square}, plate={"carries": into})
    assert len([f for f in holds(beside, "overlap") if "standing" in f.id]) == (4 if hold else 0)


# --- seats are one thing at each pier, however they are turned


@pytest.mark.parametrize("turn", [0.0, 17.0, 45.0, 90.0])
def test_turned_piers_say_the_same(turn: float) -> None:
    outline = {"rectangle": [315, 380]}
    report = on_plate({"washer": {"size": 76, "thickness": 9.5}, "template": None},
                      plate={"outline": outline, "above": 25}, turn=turn, x=6.0e8, y=4.5e9)  # fmt: skip
    assert sorted(f.id for f in report.findings if f.level is Level.HOLD) == [
        "above concrete:P1/leveling-nut/1:P1/concrete/top",
        "washer on seat:P1/plate/1:P1/washer/1",
    ]


def test_a_cage_changes_nothing_of_it() -> None:
    for cage in ({}, {"cage": CAGE}):
        report = on_plate({"template": None}, plate={"above": 25}, **cage)
        assert len(holds(report, "above concrete")) == 1
        assert report.clear["washer on seat"] == report.clear["rod projection"] == 1
