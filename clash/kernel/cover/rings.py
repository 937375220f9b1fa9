"""Parts inside outlines of any shape: exact distances to the formed side, by its edges."""

from __future__ import annotations

import numpy as np

from clash.kernel.bars.vec import norm
from clash.kernel.cover.clip import Clipped
from clash.kernel.cover.planes import Reach
from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.bar_sides import Pieces, offer_sides
from clash.kernel.prisms.best import Best
from clash.kernel.prisms.flat_ends import Disks, offer_ends_to_walls
from clash.kernel.prisms.plan import boundary
from clash.kernel.prisms.plan_depth import outline_points
from clash.kernel.prisms.plans import Plans, lower_over_edges
from clash.kernel.prisms.upright import upright
from clash.kernel.prisms.walls import Curves
from clash.kernel.tables import Index
from models.motion import Array

_STATIONS = 33
_ROUND = 32


def bars_to_rings(pieces: Clipped, rings: PrismTable, container: Index) -> Reach:
    """Gap of each row's bar (rows of `pieces`, n of them) to the outline of its container (n,).

    rings: containers as prisms, long enough upward and downward that only their walls matter. Exact inside.
    Where the bar reaches out, the gap is minus the farthest reach out of its surface, found by sampling (33
    stations, 32 directions): its sign is sure, its size is good to some hundredths of a diameter.
    """
    n = len(container)
    best = Best(n)
    if len(pieces.row):
        rows = _in_containers(pieces, rings, container[pieces.row])
        stands = upright(rows)
        k = np.flatnonzero(stands)
        if len(k):
            x, y = rows.start[0, k], rows.start[1, k]
            flat, fx, fy = boundary(rings, rows.prism[k], x, y)
            z = (rows.start[2, k] + rows.end[2, k]) / 2.0
            size = np.where(flat != 0.0, np.abs(flat), 1.0)
            out = np.where(flat <= 0.0, 1.0, -1.0) * rows.radius[k] / size
            bar = np.stack([x + (fx - x) * out, y + (fy - y) * out, z])
            best.offer(rows.pair[k], -flat - rows.radius[k], bar, np.stack([fx, fy, z]))
        k = np.flatnonzero(~stands)
        if len(k):
            rest = rows.take(k)
            offer_sides(best, rings, rest)
            offer_ends_to_walls(best, rings, Disks.of(rest))
            _reach_out(best, rings, rest)
    at, foot = (
        np.where(np.isfinite(best.gap), rings.from_own(container, p).T, np.nan)
        for p in (best.at_a, best.at_b)
    )
    return Reach(best.gap, at, foot)


def _in_containers(pieces: Clipped, rings: PrismTable, container: Index) -> Pieces:
    """Clipped pieces in the frames of their containers; cut ends count as flat ends."""

    def points(p: Array) -> Array:
        return np.ascontiguousarray(rings.to_own(container, p.T).T)

    def vectors(v: Array) -> Array:
        return np.ascontiguousarray(rings.turn_to_own(container, v.T).T)

    start, end = points(pieces.start), points(pieces.end)
    bent = pieces.bent
    curve = Curves(
        np.where(bent, points(pieces.center), start),
        np.where(bent, 0.0, end - start),
        vectors(pieces.w),
        vectors(pieces.v),
        np.where(bent, pieces.angle, 1.0),
    )
    bend = norm(pieces.w)
    # a box that is safe for any bend: its chord widened by its sagitta
    swell = pieces.radius + bend * (1.0 - np.cos(np.minimum(pieces.angle, np.pi) / 2.0))
    swell = np.where(pieces.angle > np.pi, pieces.radius + 2.0 * bend, swell)
    return Pieces(
        pair=pieces.row,
        prism=container,
        radius=pieces.radius,
        start=start,
        end=end,
        curve=curve,
        bent=bent,
        at_start=vectors(pieces.from_tangent),
        at_end=vectors(pieces.to_tangent),
        free_start=pieces.free_start | pieces.cut_start,
        free_end=pieces.free_end | pieces.cut_end,
        lo=np.minimum(start, end) - swell,
        hi=np.maximum(start, end) + swell,
    )


def _reach_out(best: Best, rings: PrismTable, rows: Pieces) -> None:
    """Bars that cross the outline or lie outside it: minus how far they reach out."""
    outside = boundary(rings, rows.prism, rows.start[0], rows.start[1])[0] > 0.0
    k = np.flatnonzero(outside | (best.gap[rows.pair] < 1e-6))
    if len(k) == 0:
        return
    rows = rows.take(k)
    for share in np.linspace(0.0, 1.0, _STATIONS):
        at, velocity = rows.curve.at(rows.curve.span * share)
        tangent = velocity / norm(velocity)
        disks = Disks(rows.pair, rows.prism, rows.radius, at, tangent)
        rim = disks.rims
        for angle in np.arange(_ROUND) * (2 * np.pi / _ROUND):
            point = rim.at(np.full(len(k), angle))[0]
            flat, fx, fy = boundary(rings, rows.prism, point[0], point[1])
            m = np.flatnonzero(flat > 1e-9)
            best.offer(rows.pair[m], -flat[m], point[:, m], np.stack([fx, fy, point[2]])[:, m])


def prisms_to_rings(
    prisms: PrismTable, which: Index, low: Array, high: Array, rings: PrismTable, container: Index
) -> Reach:
    """Gap of prisms `which` (n,) to the outlines of their containers (n,), where they stand between the
    heights.

    Exact inside. Where a prism reaches out, minus the farthest reach out of the points looked at (corners,
    evenly spaced points of every edge). NaN for a prism that leans in its container.
    """
    n = len(which)
    gap, at, foot = np.full(n, np.nan), np.full((3, n), np.nan), np.full((3, n), np.nan)
    if n == 0:
        return Reach(gap, at, foot)
    axis = np.sum(prisms.rotation[which, :, 2] * rings.rotation[container, :, 2], axis=1)
    up = prisms.rotation[which, 2, 2]
    ends = prisms.shift[which, 2] + np.stack([prisms.bottom[which] * up, prisms.top[which] * up])
    z_low, z_high = np.maximum(ends.min(axis=0), low), np.minimum(ends.max(axis=0), high)
    gap[z_low > z_high] = np.inf
    k = np.flatnonzero((np.abs(axis) > 1.0 - 1e-12) & (z_low <= z_high))
    if len(k) == 0:
        return Reach(gap, at, foot)
    plans = Plans.of(rings, container[k], prisms, which[k])
    row, x, y = outline_points(prisms, plans)
    out, fx, fy = boundary(rings, plans.i[row], x, y)
    nearest = np.zeros(len(k), dtype=np.intp)
    inward = np.argsort(-np.abs(out), kind="stable")
    nearest[row[inward]] = inward
    flat = np.abs(out[nearest])
    a, b = np.stack([fx, fy])[:, nearest], np.stack([x, y])[:, nearest]
    lower_over_edges(rings, plans, prisms, np.arange(len(k)), flat, a, b)
    order = np.argsort(out, kind="stable")
    worst = np.zeros(len(k), dtype=np.intp)
    worst[row[order]] = order
    beyond = out[worst] > 1e-9
    gap[k] = np.where(beyond, -out[worst], flat)
    z = (z_low + z_high)[k] / 2.0
    own = np.where(beyond, np.stack([x, y])[:, worst], b)
    edge = np.where(beyond, np.stack([fx, fy])[:, worst], a)
    middle = z - rings.shift[container[k], 2]
    at[:, k] = rings.from_own(container[k], np.stack([*own, middle]).T).T
    foot[:, k] = rings.from_own(container[k], np.stack([*edge, middle]).T).T
    return Reach(gap, at, foot)
