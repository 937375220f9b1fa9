"""The walk: piers in the order in which one walks a site, along one row and back along the next."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, cos, degrees, radians, sin

import numpy as np

from models.motion import Array

_SAME_ROW = 0.35
"""Piers are in one row that step aside by less than this share of the usual distance to a neighbor."""


def walk(points: Array) -> list[int]:
    """Indices of (n, 2) points in the order of the walk."""
    return [i for row in walked_rows(points) for i in row]


def walked_rows(points: Array) -> list[list[int]]:
    """Indices of (n, 2) points row by row, each row in the order in which it is walked.

    Rows run along the direction that gives the fewest straight ones, east-west among equals. The walk begins
    at the end of a row that is nearest to the first point, and turns round at the end of each row.
    """
    if len(points) < 3:
        return [list(range(len(points)))]
    options = [(_rows(points, angle), angle) for angle in _directions(points)]
    rows, _ = min(options, key=lambda option: (_bent(points, *option), len(option[0])))
    if abs(_place(rows, 0) - (len(rows) - 1)) < _place(rows, 0):
        rows = rows[::-1]
    if rows[0].index(0) > (len(rows[0]) - 1) / 2.0 if 0 in rows[0] else _far_end(points, rows[0]):
        rows = [row[::-1] for row in rows]
    return [row if k % 2 == 0 else row[::-1] for k, row in enumerate(rows)]


def _rows(points: Array, angle: float) -> list[list[int]]:
    """Rows along `angle` (rad), each in order along it; the rows in order across it."""
    c, s = cos(angle), sin(angle)
    along, across = points @ np.array([c, s]), points @ np.array([-s, c])
    order = np.argsort(across, kind="stable")
    steps = np.diff(across[order]) > _SAME_ROW * usual_spacing(points)
    starts = [0, *(np.flatnonzero(steps) + 1).tolist(), len(order)]
    return [
        sorted(order[low:high].tolist(), key=lambda i: (float(along[i]), i)) for low, high in pairwise(starts)
    ]


def _bent(points: Array, rows: list[list[int]], angle: float) -> bool:
    """Whether some row is wider than one pier may step aside: piers that follow each other by small steps."""
    across = points @ np.array([-sin(angle), cos(angle)])
    return max(float(np.ptp(across[row])) for row in rows) > 2.0 * _SAME_ROW * usual_spacing(points)


def _nearest(points: Array) -> tuple[Array, Array]:
    """(n,) distance to the nearest other point that is not the same place, and (n, 2) the way to it."""
    apart = points[None] - points[:, None]
    far = np.linalg.norm(apart, axis=2)
    far[far < 1e-6] = np.inf
    which = np.argmin(far, axis=1)
    rows = np.arange(len(points))
    return far[rows, which], apart[rows, which]


def usual_spacing(points: Array, share: float = 0.5) -> float:
    """The distance of (n, 2) points to their nearest neighbors that this share of them keep below.

    The median where left out; 0 where there is one place only.
    """
    distance, _ = _nearest(points)
    known = distance[np.isfinite(distance)]
    return float(np.quantile(known, share)) if len(known) else 0.0


def _directions(points: Array) -> list[float]:
    """Angles to try, rad: east, north, and the directions to neighbors, seldom ones left out."""
    distance, way = _nearest(points)
    angles = [round(degrees(atan2(y, x)) % 90.0) % 90 for x, y in way[np.isfinite(distance)].tolist()]
    often = [a for a in dict.fromkeys(angles) if angles.count(a) >= max(2, len(angles) // 5)]
    return [0.0, radians(90.0), *(radians(a + k) for a in often for k in (0.0, 90.0))]


def _place(rows: list[list[int]], point: int) -> int:
    return next(k for k, row in enumerate(rows) if point in row)


def _far_end(points: Array, row: list[int]) -> bool:
    first = points[0]
    ends = [float(np.linalg.norm(points[i] - first)) for i in (row[0], row[-1])]
    return ends[1] < ends[0]
