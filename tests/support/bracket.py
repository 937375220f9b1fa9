"""Brackets for the gap of two bent bars, closed by refinement and independent of the kernel.

From above: two points, each shown to lie in its bar. From below: every bend is cut into short arcs, and the
solid of each lies within a straight cylinder round its chord, wider by the sagitta and longer by what its
tilted ends stick out; straight pieces are cylinders already. Distances of cylinders have lower bounds:
centerline to centerline less the radii, or, where that is not enough, the separation of their support
functions (duality).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, sin

import numpy as np

from models.motion import Array
from models.solids import Swept
from tests.support.certified import ConvexCylinder, certified_distance


@dataclass(frozen=True)
class Cylinders:
    """n straight flat-ended cylinders and what each holds.

    start, end: (n, 3) mm; radius: (n,) mm; holds: the short bar within each.
    """

    start: Array
    end: Array
    radius: Array
    holds: list[Swept]


def outer_cylinders(bar: Swept, sagitta: float) -> Cylinders:
    """Cylinders that hold the bar, no cut of a bend rising above its chord by more than `sagitta` mm."""
    starts, ends, radii, holds = [], [], [], []
    pieces = zip(bar.knots[:-1], bar.knots[1:], bar.angles, bar.centers, bar.axes, strict=True)
    for start, end, angle, center, axis in pieces:
        if angle == 0.0:
            starts.append(start[None])
            ends.append(end[None])
            radii.append(np.array([bar.radius]))
            holds.append(_piece(start, end, 0.0, center, axis, bar.radius))
            continue
        arm = start - center
        radius = float(np.linalg.norm(arm))
        n = int(np.ceil(angle / (2.0 * np.arccos(1.0 - min(sagitta / radius, 1.0)))))
        turn = np.linspace(0.0, angle, n + 1)
        points = center + np.outer(np.cos(turn), arm) + np.outer(np.sin(turn), np.cross(axis, arm))
        half = angle / n / 2.0
        chord = np.diff(points, axis=0) / (2.0 * radius * sin(half))
        rise = radius * (1.0 - cos(half))
        out = (bar.radius + rise) * sin(half)
        starts.append(points[:-1] - out * chord)
        ends.append(points[1:] + out * chord)
        radii.append(np.full(n, bar.radius + rise))
        holds += [_piece(points[k], points[k + 1], angle / n, center, axis, bar.radius) for k in range(n)]
    return Cylinders(np.concatenate(starts), np.concatenate(ends), np.concatenate(radii), holds)


def _piece(start: Array, end: Array, angle: float, center: Array, axis: Array, radius: float) -> Swept:
    return Swept(np.array([start, end]), np.array([angle]), center[None], axis[None], radius)


def lower_bound(a: Swept, b: Swept, enough: float, sagitta: float = 0.004) -> float:
    """A proven lower bound of the distance, mm: `enough` where that much is proven, else the least found."""
    first, second = outer_cylinders(a, sagitta), outer_cylinders(b, sagitta)
    floor = _centerlines(first, second) - first.radius[:, None] - second.radius[None, :]
    for i, j in np.argwhere(floor < enough):
        one = ConvexCylinder(first.start[i], first.end[i], float(first.radius[i]))
        two = ConvexCylinder(second.start[j], second.end[j], float(second.radius[j]))
        certified = certified_distance(one, two)
        bound = float(floor[i, j]) if certified is None else max(float(floor[i, j]), certified.lower)
        if bound < enough and sagitta > 1e-6:
            bound = lower_bound(first.holds[i], second.holds[j], enough, sagitta / 16.0)
        if bound < enough:
            return bound
    return enough


def _centerlines(a: Cylinders, b: Cylinders) -> Array:
    """(n, m) mm: distances between segments.

    The crossing of their lines where both hold it, and the four ends.
    """
    p, d = a.start[:, None], (a.end - a.start)[:, None]
    q, e = b.start[None], (b.end - b.start)[None]
    least = np.minimum(
        np.minimum(_to_segment(p, q, e), _to_segment(p + d, q, e)),
        np.minimum(_to_segment(q, p, d), _to_segment(q + e, p, d)),
    )
    normal = np.cross(d, e)
    size2 = np.sum(normal * normal, axis=-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        s = np.sum(np.cross(q - p, e) * normal, axis=-1) / size2
        t = np.sum(np.cross(q - p, d) * normal, axis=-1) / size2
        apart = np.abs(np.sum((q - p) * normal, axis=-1)) / np.sqrt(size2)
    crosses = (s >= 0) & (s <= 1) & (t >= 0) & (t <= 1)
    return np.where(crosses, np.minimum(apart, least), least)


def _to_segment(point: Array, start: Array, along: Array) -> Array:
    t = np.sum((point - start) * along, axis=-1) / np.sum(along * along, axis=-1)
    foot = start + np.clip(t, 0.0, 1.0)[..., None] * along
    return np.asarray(np.linalg.norm(point - foot, axis=-1))
