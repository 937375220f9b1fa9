"""Centerlines: a polyline in space with every corner rounded by a tangent circular bend."""

from __future__ import annotations

from collections.abc import Sequence
from math import acos, pi, tan

import numpy as np

from models.motion import Array
from models.solids import Swept

SHORTEST = 1e-7
"""mm: a straight piece shorter than this is float noise between two bends that meet."""
STRAIGHT = 1e-9
"""rad: a corner that turns by less than this is no corner."""

Spine = tuple[Array, Array, Array, Array]
"""knots (n + 1, 3) mm, angles (n,) rad, centers (n, 3) mm, axes (n, 3) unit: the columns of a Swept."""


def rounded(points: Array | Sequence[Sequence[float]], radii: float | Sequence[float] | Array) -> Spine:
    """The spine along a polyline whose inner corners are rounded, each in the plane of its two legs.

    points: (n, 3) mm, n >= 2; radii: centerline bend radius (mm) of each of the n - 2 inner corners, or
    one for all.
    A corner of turn t takes r tan(t / 2) from each of its legs, where the bend then begins and ends tangent.
    A half-turn hook is two corners of 90 degrees, 2 r apart.
    Raises ValueError with one plain sentence where a bend does not fit its legs or a corner turns right back.
    """
    p = np.asarray(points, dtype=float)
    leg = np.diff(p, axis=0)
    length = np.sqrt(np.einsum("ij,ij->i", leg, leg))
    if len(p) < 2 or not np.all(length > SHORTEST):
        raise ValueError("two points of a bar's line lie on each other")
    unit = leg / length[:, None]
    r = np.broadcast_to(np.asarray(radii, dtype=float), (len(p) - 2,))
    if np.any(r <= 0.0):
        raise ValueError("a bend needs a radius greater than zero")

    u, v = unit[:-1], unit[1:]
    axis = cross(u, v)
    sine = np.sqrt(np.einsum("ij,ij->i", axis, axis))
    turn = np.arctan2(sine, np.einsum("ij,ij->i", u, v))
    bends = turn > STRAIGHT
    if np.any(turn > pi - 1e-6):
        raise ValueError("a bar's line turns right back on itself; a half-turn hook needs two corners")
    half = np.where(bends, np.tan(turn / 2.0), 0.0)
    taken = r * half
    room = length.copy()
    room[:-1] -= taken
    room[1:] -= taken
    if np.any(room < -SHORTEST):
        worst = int(np.argmin(room))
        raise ValueError(
            f"a bend does not fit: the leg is {length[worst]:.1f} mm long and its bends need "
            f"{length[worst] - room[worst]:.1f} mm of it"
        )
    safe = np.where(bends, sine, 1.0)[:, None]
    axis = axis / safe
    start = p[1:-1] - taken[:, None] * u
    end = p[1:-1] + taken[:, None] * v
    center = start + r[:, None] * cross(axis, u)
    return _laced(p, room, bends, turn, start, end, center, axis)


def turns(points: Array | Sequence[Sequence[float]]) -> bool:
    """Whether a polyline (n, 3), mm, has a corner that turns, or two points on each other, by `rounded`."""
    p = np.asarray(points, dtype=float)
    leg = np.diff(p, axis=0)
    length = np.sqrt(np.einsum("ij,ij->i", leg, leg))
    if len(p) > 2 and not np.all(length > SHORTEST):
        return True
    unit = leg / np.maximum(length, SHORTEST)[:, None]
    axis = cross(unit[:-1], unit[1:])
    sine = np.sqrt(np.einsum("ij,ij->i", axis, axis))
    return bool(np.any(np.arctan2(sine, np.einsum("ij,ij->i", unit[:-1], unit[1:])) > STRAIGHT))


def cross(a: Array, b: Array) -> Array:
    """(n, 3): cross products of (n, 3) rows; numpy's own takes several times as long on a few rows."""
    out = np.empty_like(a)
    out[:, 0] = a[:, 1] * b[:, 2] - a[:, 2] * b[:, 1]
    out[:, 1] = a[:, 2] * b[:, 0] - a[:, 0] * b[:, 2]
    out[:, 2] = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return out


def _laced(
    p: Array,
    room: Array,
    bends: Array,
    turn: Array,
    start: Array,
    end: Array,
    center: Array,
    axis: Array,
) -> Spine:
    """Straight pieces and bends in turn, without straight pieces of no length and bends of no turn."""
    n = len(room)
    knots = np.empty((2 * n, 3))
    knots[0], knots[-1] = p[0], p[-1]
    knots[1:-1:2], knots[2:-1:2] = start, end
    angles = np.zeros(2 * n - 1)
    angles[1::2] = np.where(bends, turn, 0.0)
    centers = np.full((2 * n - 1, 3), np.nan)
    axes = np.full((2 * n - 1, 3), np.nan)
    centers[1::2] = np.where(bends[:, None], center, np.nan)
    axes[1::2] = np.where(bends[:, None], axis, np.nan)
    keep = np.ones(2 * n - 1, dtype=bool)
    keep[0::2] = room > SHORTEST
    keep[1::2] = bends
    if not keep.all():
        if not keep.any():
            raise ValueError("a bar's line has no length")
        knots = np.concatenate([knots[:1], knots[1:][keep]])
        angles, centers, axes = angles[keep], centers[keep], axes[keep]
    return knots, angles, centers, axes


def swept(
    points: Array | Sequence[Sequence[float]], radii: float | Sequence[float] | Array, radius: float
) -> Swept:
    """A round bar of `radius` (mm) along a rounded polyline; see `rounded` for points and radii."""
    return Swept(*rounded(points, radii), radius)


def straight(start: Sequence[float], end: Sequence[float], radius: float) -> Swept:
    """A straight round bar of `radius` (mm) between two points (mm)."""
    return Swept(np.array([start, end], dtype=float), _ZERO, _NONE, _NONE, radius)


_ZERO = np.zeros(1)
_NONE = np.full((1, 3), np.nan)


def shifted(bar: Swept, by: Sequence[float] | Array) -> Swept:
    """The same bar moved by `by` (3,) mm without a turn."""
    shift = np.asarray(by, dtype=float)
    return Swept(bar.knots + shift, bar.angles, bar.centers + shift, bar.axes, bar.radius)


def hook_corner(start: Array, along: Array, into: Array, radius: float, tail: float) -> tuple[Array, Array]:
    """The corner and the end of a hook that begins to bend at `start`, for `rounded`.

    start: (3,) mm, where the bend begins; along: (3,) unit, the bar's direction there; into: (3,) unit, the
    direction of the tail; radius: centerline bend radius, mm; tail: straight length past the bend, mm.
    """
    reach = radius * tan(acos(max(-1.0, min(1.0, float(along @ into)))) / 2.0)
    corner = start + reach * along
    return corner, corner + (reach + tail) * into
