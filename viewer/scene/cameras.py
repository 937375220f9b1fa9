"""Where one stands to look: the top with north up, square before each of the four faces, and free.

A turned pier is still looked at square to its faces; a face is named by the wind that it really looks to.
"""

from __future__ import annotations

from enum import StrEnum
from math import cos, degrees, floor, hypot, radians, sin

import numpy as np
from msgspec import Struct

from models.motion import Array, Motion
from models.winds import wind


class View(StrEnum):
    """A place to look from. The four faces are those that look nearest to each wind."""

    TOP = "top"
    NORTH = "north"
    EAST = "east"
    SOUTH = "south"
    WEST = "west"
    FREE = "free"


FACES = (View.NORTH, View.EAST, View.SOUTH, View.WEST)
FIXED = (View.TOP, *FACES)
_QUARTER = {View.EAST: 0, View.NORTH: 1, View.WEST: 2, View.SOUTH: 3}
_FREE_ROUND, _FREE_UP = radians(-62.0), radians(24.0)
_ROOM = 1.08
"""How much larger than what it shows a picture is."""


class Camera(Struct, frozen=True):
    """A parallel camera: site directions, mm. half: half of the height that it shows."""

    position: tuple[float, float, float]
    focal: tuple[float, float, float]
    up: tuple[float, float, float]
    half: float


def turn_of(frame: Motion) -> float:
    """Degrees counterclockwise that a frame is turned about z, from -180 to 180."""
    return degrees(float(np.arctan2(frame.rotation[1, 0], frame.rotation[0, 0])))


def toward(view: View, turn: float = 0.0) -> Array:
    """(3,) unit, site directions: from what is looked at to the eye. turn: of the pier, degrees.

    A face halfway between two winds (a turn of 45 degrees) counts as the one farther clockwise.
    """
    if view is View.TOP:
        return np.array([0.0, 0.0, 1.0])
    if view is View.FREE:
        flat = cos(_FREE_UP)
        return np.array([flat * cos(_FREE_ROUND), flat * sin(_FREE_ROUND), sin(_FREE_UP)])
    own = turn - 90.0 * floor(turn / 90.0 + 0.5 + 1e-9)
    angle = radians(own + 90.0 * _QUARTER[view])
    return np.array([cos(angle), sin(angle), 0.0])


def up(view: View) -> Array:
    """(3,) unit: what is up in the picture; north in a view from the top."""
    return np.array([0.0, 1.0, 0.0]) if view is View.TOP else np.array([0.0, 0.0, 1.0])


def view_words(view: View, turn: float = 0.0) -> str:
    """`the top`, `the NE face`, or `free`."""
    if view is View.TOP:
        return "the top"
    if view is View.FREE:
        return "free"
    x, y, _ = toward(view, turn).tolist()
    return f"the {wind(Motion.identity(), x, y)} face"


def face_of(normal: Array, turn: float = 0.0) -> View:
    """The face (or the top) that a direction points out of; site directions."""
    x, y, z = normal.tolist()
    if abs(z) > hypot(x, y):
        return View.TOP
    return max(FACES, key=lambda face: float(toward(face, turn) @ normal))


def at(view: View, turn: float, focal: Array, half: float, back: float = 20_000.0) -> Camera:
    """A camera that looks at `focal` (3,) from `back` mm away."""
    eye = focal + back * toward(view, turn)
    return Camera(_three(eye), _three(focal), _three(up(view)), half)


def fitted(view: View, turn: float, points: Array, aspect: float) -> Camera:
    """A camera that shows all of `points` (n, 3) in a picture `aspect` times as wide as it is high."""
    out, high = toward(view, turn), up(view)
    right = np.cross(high, out)
    right /= np.linalg.norm(right)
    upward = np.cross(out, right)
    across, rise, deep = points @ right, points @ upward, points @ out
    middle = [(float(v.min()) + float(v.max())) / 2.0 for v in (across, rise, deep)]
    half = max(float(np.ptp(rise)) / 2.0, float(np.ptp(across)) / 2.0 / aspect, 1.0) * _ROOM
    focal = middle[0] * right + middle[1] * upward + middle[2] * out
    return at(view, turn, focal, half, 20_000.0 + float(np.ptp(deep)))


def _three(v: Array) -> tuple[float, float, float]:
    x, y, z = v.tolist()
    return x, y, z
