"""Distances from bars to plates with round holes, by branch and bound over the bar's surface.

Nothing is shared with the kernel: a point's distance to the plate is plain arithmetic, and distance is
1-Lipschitz, so that a patch of the bar's surface can come no nearer than its middle's distance less its
size. Patches that could are cut in four until the bracket closes.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np

from models.motion import Array, Motion
from models.outline import Outline, circle, rectangle
from models.solids import Prism, Swept


@dataclass(frozen=True)
class Holed:
    """A plate: a rectangle (half sizes) or a disk (radius, 0), round holes (radius, x, y) well inside it,
    apart.
    """

    half: tuple[float, float]
    holes: tuple[tuple[float, float, float], ...]
    bottom: float
    top: float
    motion: Motion

    @property
    def prism(self) -> Prism:
        """As the kernel's solid."""
        a, b = self.half
        outer = rectangle(2 * a, 2 * b) if b else circle(2 * a)
        holes = [circle(2 * r, (x, y)) for r, x, y in self.holes]
        return Prism(Outline(outer).with_holes(holes), self.bottom, self.top, self.motion)

    def distance(self, points: Array) -> Array:
        """(n,) from points (n, 3) to the plate, minus the depth inside it."""
        p = self.motion.inverse().points(points)
        x, y = p[:, 0], p[:, 1]
        a, b = self.half
        if b:
            dx, dy = np.abs(x) - a, np.abs(y) - b
            plan = np.where(
                np.maximum(dx, dy) > 0, np.hypot(np.maximum(dx, 0), np.maximum(dy, 0)), np.maximum(dx, dy)
            )
        else:
            plan = np.hypot(x, y) - a
        for r, hx, hy in self.holes:
            plan = np.maximum(plan, r - np.hypot(x - hx, y - hy))
        rise = np.maximum(self.bottom - p[:, 2], p[:, 2] - self.top)
        out = np.hypot(np.maximum(plan, 0.0), np.maximum(rise, 0.0))
        return np.where((plan < 0) & (rise < 0), np.maximum(plan, rise), out)


def bracket(bar: Swept, plate: Holed, width: float) -> tuple[float, float]:
    """(lower, upper) bounds of the distance of the bar's surface to the plate, at most `width` mm apart if
    it can be.

    upper is negative where a point of the surface lies inside the plate.
    """
    lower, upper = np.inf, np.inf
    jobs = [(k, cells, size) for k in range(len(bar.angles)) for cells, size in [_barrel()]]
    jobs += [(-1, *_cells(np.array([[0, 1], [0, 2 * pi]]))), (-2, *_cells(np.array([[0, 1], [0, 2 * pi]])))]
    for k, cells, size in jobs:
        for _ in range(26):
            points, reach = _points(bar, k, cells, size)
            value = plate.distance(points)
            upper = min(upper, float(value.min(initial=np.inf)))
            low = value - reach
            if upper < -1e-3:
                return -np.inf, upper
            near = low < upper - width
            lower = min(lower, float(low[~near].min(initial=np.inf)), upper)
            if not near.any() or len(cells) > 400_000:
                lower = min(lower, float(low.min(initial=np.inf))) if near.any() else lower
                break
            cells, size = cells[near], size / 2.0
            cells = np.concatenate(
                [cells + size / 2.0 * np.array(s) for s in ((1, 1), (1, -1), (-1, 1), (-1, -1))]
            )
        else:
            lower = min(lower, float(low.min(initial=np.inf)))
    return lower, upper


def _cells(box: Array, n: int = 12) -> tuple[Array, Array]:
    size = (box[:, 1] - box[:, 0]) / n
    u, v = (box[k, 0] + size[k] * (np.arange(n) + 0.5) for k in (0, 1))
    return np.stack(np.meshgrid(u, v, indexing="ij"), axis=-1).reshape(-1, 2), size


def _barrel() -> tuple[Array, Array]:
    return _cells(np.array([[0.0, 1.0], [0.0, 2 * pi]]))


def _frame(bar: Swept, k: int, t: Array) -> tuple[Array, Array, float]:
    """Center (n, 3), tangent (n, 3) and length of piece k at t of its length."""
    if bar.angles[k] == 0.0:
        along = bar.knots[k + 1] - bar.knots[k]
        length = float(np.linalg.norm(along))
        return bar.knots[k] + t[:, None] * along, np.tile(along / length, (len(t), 1)), length
    arm = bar.knots[k] - bar.centers[k]
    side = np.cross(bar.axes[k], arm)
    turn = (t * bar.angles[k])[:, None]
    radius = float(np.linalg.norm(arm))
    center = bar.centers[k] + arm * np.cos(turn) + side * np.sin(turn)
    return center, (side * np.cos(turn) - arm * np.sin(turn)) / radius, radius * float(bar.angles[k])


def _points(bar: Swept, k: int, cells: Array, size: Array) -> tuple[Array, Array]:
    """Points (n, 3) of cells, and how far (n,) any point of the cell can be from them."""
    if k >= 0:
        center, tangent, length = _frame(bar, k, cells[:, 0])
        first = bar.axes[k] if bar.angles[k] else np.eye(3)[np.argmin(np.abs(tangent[0]))]
        w = np.cross(tangent, first)
        w /= np.linalg.norm(w, axis=1)[:, None]
        v = np.cross(tangent, w)
        c, s = np.cos(cells[:, 1])[:, None], np.sin(cells[:, 1])[:, None]
        # outside of a bend the surface runs longer than the centerline
        bend = 1.0 if not bar.angles[k] else 1.0 + bar.radius * bar.angles[k] / length
        reach = 0.5 * np.hypot(size[0] * length * bend, size[1] * bar.radius)
        return center + bar.radius * (c * w + s * v), np.full(len(cells), reach)
    piece, t = (0, 0.0) if k == -1 else (len(bar.angles) - 1, 1.0)
    center, tangent, _ = _frame(bar, piece, np.array([t]))
    w = np.cross(tangent[0], np.eye(3)[np.argmin(np.abs(tangent[0]))])
    w /= np.linalg.norm(w)
    v = np.cross(tangent[0], w)
    r = bar.radius * cells[:, :1]
    points = center + r * (np.cos(cells[:, 1:]) * w + np.sin(cells[:, 1:]) * v)
    return points, 0.5 * np.hypot(
        size[0] * bar.radius, size[1] * bar.radius * np.minimum(cells[:, 0] + size[0], 1.0)
    )
