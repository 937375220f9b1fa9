"""How large an outline is, however it is turned."""

from __future__ import annotations

import numpy as np

from models.outline import Loop


def least_rectangle(loop: Loop) -> tuple[float, float]:
    """Length and width of the least rectangle round a ring that has a side along one of its edges."""
    points = loop.polyline(max(1e-4 * loop.perimeter, 1e-9))
    steps = np.roll(points, -1, axis=0) - points
    steps = steps[np.hypot(*steps.T) > 1e-9]
    best = (float("inf"), float("inf"))
    for angle in np.unique(np.round(np.mod(np.arctan2(steps[:, 1], steps[:, 0]), np.pi / 2.0), 6)):
        c, s = np.cos(angle), np.sin(angle)
        spread = np.ptp(points @ np.array([[c, -s], [s, c]]), axis=0)
        size = (float(spread.max()), float(spread.min()))
        best = min(best, size, key=lambda v: v[0] * v[1])
    return best
