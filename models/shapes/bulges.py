"""Edges as drawing files write them: two points and a bulge, the tangent of a quarter of the arc's sweep."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, hypot

import numpy as np

from models.outline import Loop

Point = tuple[float, float]


def arc_of(start: Point, end: Point, bulge: float) -> tuple[Point, float, float, float]:
    """Center, radius, angle of the start and signed sweep (rad) of a bulged edge; bulge is not 0."""
    sweep = 4.0 * atan2(bulge, 1.0)
    dx, dy = end[0] - start[0], end[1] - start[1]
    # From the middle of the chord to its left: half the chord over the tangent of half the sweep.
    off = (1.0 - bulge * bulge) / (4.0 * bulge)
    center = ((start[0] + end[0]) / 2.0 - off * dy, (start[1] + end[1]) / 2.0 + off * dx)
    radius = hypot(start[0] - center[0], start[1] - center[1])
    return center, radius, atan2(start[1] - center[1], start[0] - center[0]), sweep


def loop_of_bulges(points: Sequence[Point], bulges: Sequence[float]) -> Loop:
    """The ring through points, edge i from points[i] with bulges[i]; turned counterclockwise."""
    starts = np.array(points, dtype=float)
    sweeps = np.zeros(len(starts))
    centers = np.full((len(starts), 2), np.nan)
    for i, bulge in enumerate(bulges):
        if abs(bulge) > 1e-9:
            centers[i], _, _, sweeps[i] = arc_of(points[i], points[(i + 1) % len(points)], bulge)
    loop = Loop(starts, sweeps, centers)
    return loop if loop.area >= 0.0 else loop.reversed()
