"""Gaps between prisms: plates, nuts, washers, templates, beams."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from clash.kernel.nearest import Nearest
from clash.kernel.prism_table import Edges, PrismTable
from clash.kernel.prisms.edge_pairs import edge_to_edge
from clash.kernel.prisms.plan import Flags, boundary, inside
from clash.kernel.prisms.plan_depth import plan_depth
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.prisms.tilted import tilted
from clash.kernel.tables import Index
from models.motion import Array

PARALLEL = 1e-10
"""Largest sine between two axes that are taken to be parallel: 1e-7 mm over a meter."""
TOUCH = 1e-9
"""mm: an overlap in height of less than this is contact."""
_CHUNK = 8192


def prism_prism(prisms: PrismTable, i: Index, j: Index) -> Nearest:
    """Gaps between prisms i and j (n,) of one table, in the frame that all are given in.

    at_a lies on prism i, at_b on prism j. Negative exactly where they share space; the depth of prisms whose
    axes are parallel is the lesser of their overlap in height, and of how deep the deepest point of either
    outline lies inside the other outline. Prisms tilted against each other: see `tilted`.
    """
    i, j = np.asarray(i, dtype=np.intp), np.asarray(j, dtype=np.intp)
    out = Nearest.unmeasured(len(i))
    axis_i, axis_j = prisms.rotation[i, :, 2], prisms.rotation[j, :, 2]
    lean = np.sum(np.cross(axis_i, axis_j) ** 2, axis=1)
    level = np.flatnonzero(lean <= PARALLEL**2)
    for k in range(0, len(level), _CHUNK):
        _write(
            out, level[k : k + _CHUNK], _parallel(prisms, i[level[k : k + _CHUNK]], j[level[k : k + _CHUNK]])
        )
    leaning = np.flatnonzero(lean > PARALLEL**2)
    if len(leaning):
        _write(out, leaning, tilted(prisms, i[leaning], j[leaning]))
    return out


def _write(out: Nearest, rows: Index, found: Nearest) -> None:
    out.gap[rows], out.at_a[rows], out.at_b[rows] = found.gap, found.at_a, found.at_b


@dataclass(frozen=True, slots=True, eq=False)
class Plans:
    """Pairs of prisms with parallel axes, the second seen in the frame of the first.

    i, j: (n,) prisms. turn: (n, 2, 2) and move: (n, 2) carry plan points of j into i's plan; a mirror where
    the axes are opposed. bottom, top: (n,) mm, of j, in i's frame.
    """

    i: Index
    j: Index
    turn: Array
    move: Array
    bottom: Array
    top: Array

    @staticmethod
    def of(prisms: PrismTable, i: Index, j: Index) -> Plans:
        """See j from i."""
        own = prisms.rotation[i].transpose(0, 2, 1)
        turn = own @ prisms.rotation[j]
        move = np.einsum("nij,nj->ni", own, prisms.shift[j] - prisms.shift[i])
        up = turn[:, 2, 2] > 0.0
        low, high = prisms.bottom[j], prisms.top[j]
        return Plans(
            i,
            j,
            turn[:, :2, :2],
            move[:, :2],
            np.where(up, low, -high) + move[:, 2],
            np.where(up, high, -low) + move[:, 2],
        )

    def swapped(self, prisms: PrismTable) -> Plans:
        """See i from j."""
        return Plans.of(prisms, self.j, self.i)

    def take(self, k: Index) -> Plans:
        """Some of the pairs."""
        return Plans(self.i[k], self.j[k], self.turn[k], self.move[k], self.bottom[k], self.top[k])

    def to_j(self, row: Index, x: Array, y: Array) -> tuple[Array, Array]:
        """Plan points in i's frame, of pairs `row`, in j's frame."""
        t = self.turn[row]
        x, y = x - self.move[row, 0], y - self.move[row, 1]
        return t[:, 0, 0] * x + t[:, 1, 0] * y, t[:, 0, 1] * x + t[:, 1, 1] * y

    def to_i(self, row: Index, x: Array, y: Array) -> tuple[Array, Array]:
        """Plan points in j's frame, of pairs `row`, in i's frame."""
        t = self.turn[row]
        m = self.move[row]
        return t[:, 0, 0] * x + t[:, 0, 1] * y + m[:, 0], t[:, 1, 0] * x + t[:, 1, 1] * y + m[:, 1]

    def edges_of_j(self, row: Index, edges: Edges) -> Edges:
        """Edges in j's frame, of pairs `row`, in i's frame."""
        sx, sy = self.to_i(row, edges.sx, edges.sy)
        ex, ey = self.to_i(row, edges.ex, edges.ey)
        cx, cy = self.to_i(row, edges.cx, edges.cy)
        t = self.turn[row]
        mx = t[:, 0, 0] * edges.mx + t[:, 0, 1] * edges.my
        my = t[:, 1, 0] * edges.mx + t[:, 1, 1] * edges.my
        mirrored = t[:, 0, 0] * t[:, 1, 1] - t[:, 0, 1] * t[:, 1, 0] < 0.0
        return Edges(
            sx, sy, ex, ey, edges.arc, cx, cy, edges.radius, mx, my, edges.reach, edges.ccw ^ mirrored
        )


def _parallel(prisms: PrismTable, i: Index, j: Index) -> Nearest:
    """Prisms with parallel axes: plan distance and vertical distance decide, each exact."""
    plans = Plans.of(prisms, i, j)
    apart = np.maximum(plans.bottom - prisms.top[i], prisms.bottom[i] - plans.top)
    flat, a, b, shared = _plan_distance(prisms, plans)
    gap = np.hypot(flat, np.maximum(apart, 0.0))
    k = np.flatnonzero(apart <= 0.0)
    gap[k] = np.where(shared[k] | (flat[k] == 0.0), apart[k], flat[k])
    deep = k[(apart[k] < -TOUCH) & (shared[k] | (flat[k] <= TOUCH))]
    if len(deep):
        depth, x, y = plan_depth(prisms, plans.take(deep), shared[deep])
        over = np.flatnonzero(depth > TOUCH)
        gap[deep] = np.where(depth > TOUCH, -np.minimum(depth, -apart[deep]), flat[deep])
        a[:, deep[over]] = b[:, deep[over]] = np.stack([x, y])[:, over]
    above = plans.bottom > prisms.top[i]
    middle = (np.maximum(prisms.bottom[i], plans.bottom) + np.minimum(prisms.top[i], plans.top)) / 2.0
    z_a = np.where(apart > 0.0, np.where(above, prisms.top[i], prisms.bottom[i]), middle)
    z_b = np.where(apart > 0.0, np.where(above, plans.bottom, plans.top), middle)
    return Nearest(gap, prisms.from_own(i, np.stack([*a, z_a]).T), prisms.from_own(i, np.stack([*b, z_b]).T))


def _plan_distance(prisms: PrismTable, plans: Plans) -> tuple[Array, Array, Array, Flags]:
    """Plan distance (n,) of the outlines, its points (2, n) in i's frame, and where one surely lies on the
    other.
    """
    n = len(plans.i)
    everything = np.arange(n)
    first_i, first_j = prisms.first[plans.i], prisms.first[plans.j]
    e = prisms.edges
    xi, yi = e.sx[first_i], e.sy[first_i]
    xj, yj = plans.to_i(everything, e.sx[first_j], e.sy[first_j])
    seen_x, seen_y = plans.to_j(everything, xi, yi)
    mine = inside(prisms, plans.j, seen_x, seen_y)
    theirs = inside(prisms, plans.i, xj, yj)
    shared = mine | theirs
    flat = np.zeros(n)
    a = np.where(mine, np.stack([xi, yi]), np.stack([xj, yj]))
    b = a.copy()
    k = np.flatnonzero(~shared)
    if len(k) == 0:
        return flat, a, b, shared
    some = plans.take(k)
    away, fx, fy = boundary(prisms, some.j, seen_x[k], seen_y[k])
    flat[k] = np.abs(away)
    a[:, k] = np.stack([xi, yi])[:, k]
    b[:, k] = np.stack(some.to_i(np.arange(len(k)), fx, fy))
    _over_edges(prisms, some, k, flat, a, b)
    return flat, a, b, shared


def _over_edges(prisms: PrismTable, plans: Plans, where: Index, flat: Array, a: Array, b: Array) -> None:
    """Lower flat[where] to the least distance over all pairs of edges whose boxes come near enough."""
    theirs = Ragged.of(prisms.first, plans.j)
    moved = plans.edges_of_j(theirs.row, prisms.edges.take(theirs.item))
    lo, hi = moved.boxes
    all_lo = np.minimum.reduceat(lo, theirs.offset)
    all_hi = np.maximum.reduceat(hi, theirs.offset)
    best = flat[where]
    # edges of j near the whole of i, and edges of i near the whole of j
    near_j = _box_gap2(lo, hi, prisms.plan_lo[plans.i][theirs.row], prisms.plan_hi[plans.i][theirs.row])
    keep_j = np.flatnonzero(near_j < best[theirs.row] ** 2)
    mine = Ragged.of(prisms.first, plans.i)
    lo_i, hi_i = prisms.lo[mine.item], prisms.hi[mine.item]
    keep_i = np.flatnonzero(_box_gap2(lo_i, hi_i, all_lo[mine.row], all_hi[mine.row]) < best[mine.row] ** 2)
    # every kept edge of i with every kept edge of j of the same pair
    counts = np.bincount(theirs.row[keep_j], minlength=len(where))
    begin = np.cumsum(counts) - counts
    row_i = mine.row[keep_i]
    times = counts[row_i]
    p = np.repeat(np.arange(len(keep_i)), times)
    q = keep_j[np.arange(len(p)) + np.repeat(begin[row_i] - (np.cumsum(times) - times), times)]
    row = row_i[p]
    close = np.flatnonzero(_box_gap2(lo_i[keep_i[p]], hi_i[keep_i[p]], lo[q], hi[q]) < best[row] ** 2)
    p, q, row = p[close], q[close], row[close]
    if len(row) == 0:
        return
    d, at_i, at_j = edge_to_edge(prisms.edges.take(mine.item[keep_i[p]]), moved.take(q))
    order = np.argsort(-d, kind="stable")
    order = order[d[order] < best[row[order]]]
    target = where[row[order]]
    flat[target], a[:, target], b[:, target] = d[order], at_i[:, order], at_j[:, order]


def _box_gap2(lo: Array, hi: Array, other_lo: Array, other_hi: Array) -> Array:
    """Squared distance (n,) between boxes (n, 2)."""
    out = np.maximum(np.maximum(lo - other_hi, other_lo - hi), 0.0)
    return np.asarray(out[:, 0] ** 2 + out[:, 1] ** 2)
