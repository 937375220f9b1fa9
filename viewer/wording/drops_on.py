"""Whether a plate or beam drops on, in words."""

from __future__ import annotations

from math import degrees
from typing import TYPE_CHECKING

from models.lengths import Units, show_gap
from viewer.wording.ways import way

if TYPE_CHECKING:
    from clash.fits.seats import SeatFit


def drops_on(fit: SeatFit, units: Units) -> str:
    """What is known of it, with its room and where it comes to lie; else `not checked`, and why."""
    if fit.missing:
        return f"not checked: {fit.missing}"
    turn = f", turned {degrees(fit.turn):+.2f} degrees" if abs(degrees(fit.turn)) >= 0.005 else ""
    x, y = fit.move.tolist()
    where = f"moved {way(x, y, units)}{turn}"
    room = show_gap(fit.room, units, "measured least")
    if fit.drops_on:
        return f"drops on with {room} of room, {where}"
    if fit.drops_on is None:
        return f"too close to tell: {room} of room at its best place ({where})"
    return f"does not drop on: {room} at its best place ({where})"
