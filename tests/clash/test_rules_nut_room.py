"""Room to turn a nut: just under what a wrench needs, exactly that, and just over."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from clash.judge import judge
from models.part import Role
from models.solids import Swept
from tests.support import tiny
from tests.support.hardware import pier, plate_seat, site
from tests.support.seats import NUT_CORNERS, STATED, THREADED, holds, on_plate, told

INCH = 25.4
SHORT = pytest.mark.parametrize(("off", "hold"), [(-0.5, True), (0.0, False), (0.5, False)])


@SHORT
def test_two_nuts_turn_beside_each_other(off: float, hold: bool) -> None:
    """Each on the circle of its corners, with 1/4 in (practice) between them."""
    apart = NUT_CORNERS + INCH / 4.0 + off
    rods = {"pattern": {"at": [[-apart / 2, 0], [apart / 2, 0], [0, 150], [0, -150]]}}
    small = {"template": None, "level_on": "none", "washer": None}
    report = on_plate(small, rods=rods, plate={"holes": {"diameter": 27}})
    found = told(report, "nut room", hold)
    if found is not None:
        assert found.parts == ("P1/nut/1", "P1/nut/2")
        assert found.measured_mm == pytest.approx(INCH / 4.0 - 0.5)


@SHORT
def test_a_nut_turns_beside_what_stands_on_the_plate(off: float, hold: bool) -> None:
    """Rods at y = +-100, a wall of a stiffener whose face lies 100 - corners / 2 - 10 from the middle."""
    face = 100.0 - NUT_CORNERS / 2.0 - 10.0 - off
    stands = [
        {"name": "stiffener", "outline": {"rectangle": [20, 2 * face], "center": [120, 0]}, "height": 100}
    ]
    seat = {"washer": {"size": 50, "thickness": 4}, "level_on": "none"}
    report = on_plate(seat, plate={"carries": stands, "holes": {"diameter": 40}}, required={"nut_room": 10})
    found = holds(report, "nut room")
    assert len(found) == (2 if hold else 0)
    assert all("stiffener" in f.says for f in found)


def test_a_post_shorter_than_the_washers_hinders_no_wrench() -> None:
    stands = [{"name": "weld", "outline": {"rectangle": [20, 140], "center": [120, 0]}, "height": 5}]
    seat = {"washer": {"size": 50, "thickness": 6}, "level_on": "none"}
    report = on_plate(seat, plate={"carries": stands, "holes": {"diameter": 40}})
    assert holds(report, "nut room") == []


@SHORT
@pytest.mark.parametrize("lean", [0.0, 0.3])
def test_a_conduit_beside_a_nut_leaves_room_for_the_wrench(off: float, hold: bool, lean: float) -> None:
    """A conduit of 20 mm that passes the nut on rod 4 at (120, 100), straight up or leaning away along x.

    The nut stands from 74.5 to 100.2; where it leans, the conduit is nearest at the nut's underside.
    """
    near = 120.0 + NUT_CORNERS / 2.0 + 6.35 + 10.0 + off
    points = [[near - lean * 274.5, 100, -200], [near + lean * 125.5, 100, 200]]
    radius = 10.0
    embeds = [{"name": "conduit", "diameter": 2 * radius, "points": points, "exits": ["top"]}]
    plate = {"outline": {"rectangle": [300, 380]}, "holes": {"diameter": 40}}
    seat = {"template": None, "washer": {"size": 50, "thickness": 9.5}, "level_on": "none", "grout": None}
    found = told(on_plate(seat, plate=plate, embeds=embeds), "nut room", hold)
    assert found is None or "conduit" in found.says


def test_a_conduit_that_ends_below_the_nuts_is_in_nobodys_way() -> None:
    near = 120.0 + NUT_CORNERS / 2.0 + 12.0
    embeds = [
        {"name": "conduit", "diameter": 20, "points": [[near, 100, -200], [near, 100, 40]], "exits": ["top"]}
    ]
    plate = {"outline": {"rectangle": [300, 380]}, "holes": {"diameter": 40}}
    seat = {"template": None, "washer": {"size": 50, "thickness": 9.5}, "level_on": "none", "grout": None}
    assert holds(on_plate(seat, plate=plate, embeds=embeds), "nut room") == []


@SHORT
def test_a_bent_conduit_is_followed_round_its_bend(off: float, hold: bool) -> None:
    """A level half circle at the nut's height whose nearest point lies on its bend.

    Its center line is a half circle of radius 60 about (120 + near + 60, 100), nearest in the middle of it.
    """
    near = NUT_CORNERS / 2.0 + 6.35 + 10.0 + off
    x = 120.0 + near + 60.0
    bend = tiny.bar("P1/embed/conduit", Role.EMBED)
    solid = _half_circle(x, 100.0, 60.0, 85.0, 10.0)
    built = site(pier(seat=plate_seat(rods=THREADED, template=None, level_on="none", grout=None), **STATED))
    parts = (*built.piers[0].parts, replace(bend, solid=solid, inside=False, label="conduit"))
    report = judge(replace(built, piers=(replace(built.piers[0], parts=parts),)))
    found = holds(report, "nut room")
    assert len(found) == int(hold)


def _half_circle(x: float, y: float, radius: float, z: float, thick: float) -> Swept:
    """A level half circle that opens to +x."""
    knots = np.array([[x, y + radius, z], [x, y - radius, z]])
    return Swept(knots, np.array([np.pi]), np.array([[x, y, z]]), np.array([[0.0, 0.0, 1.0]]), thick)


def test_nuts_that_overlap_are_told_as_an_overlap_alone() -> None:
    rods = {"pattern": {"at": [[-19, 0], [19, 0]]}}
    small = {"template": None, "level_on": "none", "washer": None}
    report = on_plate(small, rods=rods, plate={"holes": {"diameter": 27}})
    assert any("nut" in f.id for f in holds(report, "overlap"))
    assert holds(report, "nut room") == []
