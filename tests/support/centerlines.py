"""A second way to measure bars: points every millimeter along each centerline, and the nearest two."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations, pairwise

import numpy as np
from scipy.spatial import cKDTree

from models.motion import Array
from models.part import Part
from models.solids import Swept

STEP = 1.0
"""mm between points. Centerlines D apart come out at most STEP**2 / (4 D) farther: 0.03 mm at D = 10 mm."""


def centerline(bar: Swept, step: float = STEP) -> Array:
    """(n, 3) points along a bar, each bend walked by the rotation formula (Rodrigues), ends included."""
    rows = []
    for k, angle in enumerate(bar.angles):
        a, b = bar.knots[k], bar.knots[k + 1]
        if angle == 0.0:
            n = int(np.linalg.norm(b - a) / step) + 2
            rows.append(a + np.linspace(0.0, 1.0, n)[:, None] * (b - a))
            continue
        axis, arm = bar.axes[k], a - bar.centers[k]
        n = int(np.linalg.norm(arm) * angle / step) + 2
        t = np.linspace(0.0, angle, n)[:, None]
        turned = arm * np.cos(t) + np.cross(axis, arm) * np.sin(t) + axis * (axis @ arm) * (1.0 - np.cos(t))
        rows.append(bar.centers[k] + turned)
    return np.concatenate(rows)


def sampled_gaps(parts: Iterable[Part], within: float) -> dict[tuple[str, str], float]:
    """Gap (mm) of every two bars closer than `within`, as if their ends were round, by part ids."""
    bars = [(p.id, p.solid.radius, centerline(p.solid)) for p in parts if isinstance(p.solid, Swept)]
    trees = [cKDTree(points) for _, _, points in bars]
    found = {}
    for i, j in combinations(range(len(bars)), 2):
        reach = within + bars[i][1] + bars[j][1]
        low_i, high_i = bars[i][2].min(axis=0), bars[i][2].max(axis=0)
        low_j, high_j = bars[j][2].min(axis=0), bars[j][2].max(axis=0)
        if np.any(low_i - reach > high_j) or np.any(low_j - reach > high_i):
            continue
        least = trees[i].query(bars[j][2], distance_upper_bound=reach)[0].min()
        if np.isfinite(least):
            found[bars[i][0], bars[j][0]] = float(least) - bars[i][1] - bars[j][1]
    return found


def assert_smooth(bar: Swept, within: float = 1e-9) -> None:
    """Every bend lies on its circle, and the tangent is continuous to `within`."""
    ends = []
    for k, angle in enumerate(bar.angles):
        a, b = bar.knots[k], bar.knots[k + 1]
        if angle == 0.0:
            t = (b - a) / np.linalg.norm(b - a)
            ends.append((t, t))
            continue
        axis, arm = bar.axes[k], a - bar.centers[k]
        assert abs(np.linalg.norm(axis) - 1.0) < within
        assert abs(axis @ arm) < 1e-7
        turned = arm * np.cos(angle) + np.cross(axis, arm) * np.sin(angle)
        assert np.allclose(bar.centers[k] + turned, b, rtol=0.0, atol=1e-7)
        r = np.linalg.norm(arm)
        ends.append((np.cross(axis, arm) / r, np.cross(axis, turned) / r))
    for (_, leaving), (arriving, _) in pairwise(ends):
        assert np.linalg.norm(leaving - arriving) < within
