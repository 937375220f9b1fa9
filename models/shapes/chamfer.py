"""The 45 degree chamfer round the top edge of a pier: the ring that it ends on, the volume that it leaves."""

from __future__ import annotations

from math import atan2, copysign, hypot, sqrt, tau

import numpy as np

from models.motion import Array
from models.outline import Loop
from models.pier import Concrete

_SMOOTH = 1e-9
"""Sine of the turn below which two edges that follow each other count as tangent."""


def set_back(loop: Loop, leg: float) -> Loop:
    """The ring with every edge moved `leg` mm to its left (inward when counterclockwise), corners mitered.

    Edge i of the result is edge i of the ring moved; an arc keeps its center. Raises ValueError with one
    sentence when an edge vanishes.
    """
    n = len(loop.starts)
    radii = np.full(n, np.nan)
    for i in range(n):
        if loop.sweeps[i] != 0.0:
            arm = hypot(*(loop.starts[i] - loop.centers[i]))
            radii[i] = arm - copysign(leg, loop.sweeps[i])
            if radii[i] <= 0.0:
                raise ValueError("the chamfer round the top edge is larger than a rounded corner of the pier")
    if n == 1:
        unit = (loop.starts[0] - loop.centers[0]) / hypot(*(loop.starts[0] - loop.centers[0]))
        return Loop((loop.centers[0] + radii[0] * unit)[None, :], loop.sweeps, loop.centers)
    starts = np.array([_corner(loop, i, leg, radii) for i in range(n)])
    sweeps = np.zeros(n)
    for i in range(n):
        start, end = starts[i], starts[(i + 1) % n]
        if loop.sweeps[i] == 0.0:
            vanished = float((end - start) @ (loop.ends[i] - loop.starts[i])) <= 0.0
        else:
            sweeps[i] = _sweep(start - loop.centers[i], end - loop.centers[i], float(loop.sweeps[i]))
            vanished = abs(sweeps[i] - loop.sweeps[i]) > tau / 2.0
        if vanished:
            raise ValueError("the chamfer round the top edge leaves nothing of a side of the pier")
    return Loop(starts, sweeps, loop.centers)


def concrete_volume(concrete: Concrete) -> float:
    """mm3 of a pier's concrete, top chamfer cut.

    Area of the outline up to the chamfer, then the integral of the area of the set-back outline over its
    height: 8-point Gauss-Legendre, exact where that area is a polynomial in the height (straight sides,
    circles, tangent arcs: A - P t + K t2, Steiner's formula).
    """
    leg = concrete.top_chamfer
    volume = concrete.outline.area * (concrete.height - leg)
    if leg > 0.0:
        nodes, weights = np.polynomial.legendre.leggauss(8)
        holes = concrete.outline.area - concrete.outline.outer.area
        for t, weight in zip(leg * (nodes + 1.0) / 2.0, weights * leg / 2.0, strict=True):
            volume += float(weight) * (set_back(concrete.outline.outer, float(t)).area + holes)
    return volume


def _tangents(loop: Loop, i: int) -> tuple[Array, Array]:
    """Unit tangents (2,) at corner i: of the edge that arrives, of the edge that leaves."""
    out: list[Array] = []
    for edge in (i - 1, i):
        if loop.sweeps[edge] == 0.0:
            along = loop.ends[edge] - loop.starts[edge]
        else:
            arm = loop.starts[i] - loop.centers[edge]
            along = np.array([-arm[1], arm[0]]) * np.sign(loop.sweeps[edge])
        out.append(along / hypot(*along))
    return out[0], out[1]


def _corner(loop: Loop, i: int, leg: float, radii: Array) -> Array:
    """(2,): where the moved edges i - 1 and i meet, nearest to where they met."""
    arriving, leaving = _tangents(loop, i)
    corner = loop.starts[i]
    moved_in: Array = corner + leg * np.array([-arriving[1], arriving[0]])
    turn = arriving[0] * leaving[1] - arriving[1] * leaving[0]
    if abs(turn) < _SMOOTH:
        return moved_in
    moved_out = corner + leg * np.array([-leaving[1], leaving[0]])
    straight = loop.sweeps[i - 1] == 0.0, loop.sweeps[i] == 0.0
    if all(straight):
        step = moved_out - moved_in
        point: Array = moved_in + arriving * (step[0] * leaving[1] - step[1] * leaving[0]) / turn
        return point
    if straight[0]:
        found = _line_circle(moved_in, arriving, loop.centers[i], float(radii[i]))
    elif straight[1]:
        found = _line_circle(moved_out, leaving, loop.centers[i - 1], float(radii[i - 1]))
    else:
        # Where two circles meet, they meet on their radical line.
        between = loop.centers[i] - loop.centers[i - 1]
        apart = hypot(*between)
        foot = (apart**2 + float(radii[i - 1]) ** 2 - float(radii[i]) ** 2) / (2.0 * apart)
        along = np.array([-between[1], between[0]]) / apart
        base = loop.centers[i - 1] + between / apart * foot
        found = _line_circle(base, along, loop.centers[i - 1], float(radii[i - 1]))
    return min(found, key=lambda p: hypot(*(p - corner)))


def _line_circle(point: Array, along: Array, center: Array, radius: float) -> tuple[Array, Array]:
    """Where the line through `point` along a unit vector meets a circle; ValueError where it misses."""
    foot = point + along * float((center - point) @ along)
    reach2 = radius**2 - float((foot - center) @ (foot - center))
    if reach2 < 0.0:
        raise ValueError("the chamfer round the top edge leaves nothing of a side of the pier")
    reach = sqrt(reach2)
    return foot - reach * along, foot + reach * along


def _sweep(start: Array, end: Array, like: float) -> float:
    """Signed angle from arm `start` to arm `end` in the sense of `like`."""
    angle = atan2(end[1], end[0]) - atan2(start[1], start[0])
    return angle % tau if like > 0.0 else -(-angle % tau)
