"""How far bars reach toward the slope of a top chamfer that follows an outline of any shape."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from clash.kernel.bars.vec import norm
from clash.kernel.cover.clip import Clipped, Flags
from clash.kernel.cover.planes import Reach
from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.flat_ends import rims_of
from clash.kernel.prisms.plan import boundary
from clash.kernel.prisms.walls import Curves
from clash.kernel.tables import Index
from models.motion import Array

_DIAGONAL = np.sqrt(0.5)
_STEPS = 33
_ROUNDS = 7
_FINER = np.linspace(-1.0, 1.0, 9)[:, None]

Gap = Callable[[Index, Array], tuple[Array, Array, Array]]


def bars_to_slopes(pieces: Clipped, rings: PrismTable, container: Index, leg: Array) -> Reach:
    """Gap (n,) of each piece to the slope of its container's chamfer, its leg (n,) mm.

    A point as deep inside the outline as d, at height z, is (d - leg - z) / sqrt(2) from the slope. Pieces
    are looked along (33 points, refined about the best): the side where it is least between the piece's
    ends, the rims at flat and cut ends; an upright piece in closed form.
    """
    n = len(pieces.row)
    every = np.arange(n)
    curve = Curves(
        np.where(pieces.bent, pieces.center, pieces.start),
        np.where(pieces.bent, 0.0, pieces.end - pieces.start),
        pieces.w,
        pieces.v,
        np.where(pieces.bent, pieces.angle, 1.0),
    )

    def gap_on(curves: Curves) -> Gap:
        def gap(k: Index, t: Array) -> tuple[Array, Array, Array]:
            point = curves.take(k).at(t)[0]
            own = rings.to_own(container[k], point.T)
            flat, fx, fy = boundary(rings, container[k], own[:, 0], own[:, 1])
            out = np.where(flat > 0.0, -1.0, 1.0) / np.where(flat != 0.0, np.abs(flat), 1.0)
            toward = np.stack([(fx - own[:, 0]) * out, (fy - own[:, 1]) * out, np.ones(len(k))])
            turned = np.einsum("kij,jk->ik", rings.rotation[container[k]], toward)
            return (-flat - leg[k] - point[2]) * _DIAGONAL, point, turned * _DIAGONAL

        return gap

    # an upright piece reaches out by its radius at its top, whatever the way to the side
    upright = ~pieces.bent & (np.hypot(pieces.from_tangent[0], pieces.from_tangent[1]) <= 1e-10)
    high = np.where(pieces.end[2] > pieces.start[2], 1.0, 0.0)
    value, point, toward = gap_on(curve)(every, high)
    level = toward * [[1.0], [1.0], [0.0]]
    arm = level * (pieces.radius / np.maximum(norm(level), 1e-300))
    gap = np.where(upright, value - pieces.radius * _DIAGONAL, np.inf)
    at, way = point + arm, toward

    def offer(k: Index, value: Array, point: Array, toward: Array) -> None:
        m = np.flatnonzero(value < gap[k])
        gap[k[m]], at[:, k[m]], way[:, k[m]] = value[m], point[:, m], toward[:, m]

    k = np.flatnonzero(~upright)
    if len(k):
        t, inner = _least_along(gap_on(curve), k, curve.span[k], closed=False)
        value, point, toward = gap_on(curve)(k, t)
        radius = pieces.radius[k]
        offer(k, np.where(inner, value - radius, np.inf), point + toward * radius, toward)
        for end, tangent, cut in (
            (pieces.start, pieces.from_tangent, pieces.cut_start),
            (pieces.end, pieces.to_tangent, pieces.cut_end),
        ):
            rims = rims_of(end, tangent, pieces.radius, cut & ~pieces.bent)
            t, _ = _least_along(gap_on(rims), k, rims.span[k], closed=True)
            offer(k, *gap_on(rims)(k, t))
    return Reach(gap, at, at + way * gap)


def _least_along(gap: Gap, k: Index, span: Array, closed: bool) -> tuple[Array, Flags]:
    """t (n,) of the least value on curves k that lies between their ends, and whether there is one."""
    m = np.arange(len(k))
    nodes = np.linspace(0.0, 1.0, _STEPS)[:, None] * span
    value = gap(np.tile(k, _STEPS), nodes.ravel())[0].reshape(nodes.shape)
    if not closed:
        # a least value at an end is the rim's business; look for one between the ends
        before = np.concatenate([np.full((1, len(k)), -np.inf), value[:-1]])
        after = np.concatenate([value[1:], np.full((1, len(k)), -np.inf)])
        value = np.where((value <= before) & (value <= after), value, np.inf)
    top = np.argmin(value, axis=0)
    inner = np.isfinite(value[top, m])
    t, step = nodes[top, m], span / (_STEPS - 1)
    for _ in range(_ROUNDS):
        finer = t + step * _FINER
        if not closed:
            finer = np.clip(finer, 0.0, span)
        value = gap(np.tile(k, len(_FINER)), finer.ravel())[0].reshape(finer.shape)
        t, step = finer[np.argmin(value, axis=0), m], step / 4.0
    return t, inner
