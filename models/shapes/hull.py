"""The convex hull of points of the plan."""

from __future__ import annotations

import numpy as np

from models.motion import Array


def convex_hull(points: Array) -> Array:
    """(m, 2) corners of the hull of points (n, 2), counterclockwise from the lowest x (Andrew's chain).

    Points on a side are no corners.
    """
    order = sorted({(x, y) for x, y in points.tolist()})
    halves: list[tuple[float, float]] = []
    for run in (order, order[::-1]):
        chain: list[tuple[float, float]] = []
        for p in run:
            while len(chain) > 1 and _left(chain[-2], chain[-1], p) <= 0.0:
                chain.pop()
            chain.append(p)
        halves += chain[:-1]
    return np.array(halves).reshape(-1, 2)


def _left(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    """Twice the signed area of a triangle: positive where c lies to the left of a to b."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
