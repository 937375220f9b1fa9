"""Whether it drops on, in words: yes, no, too close to tell, and not checked are four things."""

from __future__ import annotations

from math import radians

import numpy as np
import pytest

from clash.fits.seats import SeatFit
from models.lengths import Units
from models.motion import Motion
from viewer.wording.drops_on import drops_on


def fit(drops: bool | None, room: float, turn: float = 0.0) -> SeatFit:
    """A plate that lies 1 in west of where it was drawn."""
    return SeatFit(
        "P1/plate/1",
        (0,),
        Motion.identity(),
        drops_on=drops,
        room=room,
        move=np.array([-25.4, 0.0]),
        turn=radians(turn),
    )


@pytest.mark.parametrize(
    ("drops", "room", "said"),
    [
        (True, 2.54, "drops on with 0.10 in of room, moved 1.00 in W"),
        (None, 0.0, "too close to tell: 0.00 in of room at its best place (moved 1.00 in W)"),
        (False, -2.54, "does not drop on: -0.10 in at its best place (moved 1.00 in W)"),
    ],
)
def test_what_is_known_is_told_with_its_room(drops: bool | None, room: float, said: str) -> None:
    assert drops_on(fit(drops, room), Units.FT_IN) == said


def test_room_is_never_rounded_up() -> None:
    assert "0.09 in" in drops_on(fit(True, 0.0999 * 25.4), Units.FT_IN)
    assert "-0.11 in" in drops_on(fit(False, -0.1001 * 25.4), Units.FT_IN)


def test_a_turn_is_told_from_where_it_shows() -> None:
    assert drops_on(fit(True, 2.54, 0.004), Units.FT_IN).endswith("moved 1.00 in W")
    assert drops_on(fit(True, 2.54, -0.25), Units.FT_IN).endswith("turned -0.25 degrees")


def test_what_was_not_measured_is_not_checked() -> None:
    missing = SeatFit("P1/plate/1", (0,), Motion.identity(), missing="rod 2 was not shot")
    assert drops_on(missing, Units.MM) == "not checked: rod 2 was not shot"
