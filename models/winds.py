"""Winds: where something lies, in the words of a compass held level on the site."""

from __future__ import annotations

from math import atan2, degrees, floor, hypot

from models.motion import Motion

WINDS = ("E", "NE", "N", "NW", "W", "SW", "S", "SE")


def wind(frame: Motion, x: float, y: float) -> str:
    """The wind in which the direction (x, y) of a pier's plan points; "center" where it points nowhere.

    Site y is north, and frame carries the pier's axes to the site's: a pier turned 45 degrees has an "E"
    corner.
    """
    if hypot(x, y) < 1e-6:
        return "center"
    (a, b, _), (c, d, _) = frame.rotation[0].tolist(), frame.rotation[1].tolist()
    angle = degrees(atan2(c * x + d * y, a * x + b * y))
    # A direction halfway between two winds takes the one farther round, whatever the float noise.
    return WINDS[floor(angle / 45.0 + 0.5 + 1e-9) % 8]
