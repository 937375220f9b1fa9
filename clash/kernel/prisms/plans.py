"""Prisms with parallel axes, the one seen from the other in plan."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from clash.kernel.prism_table import Edges, PrismTable
from clash.kernel.prisms.edge_pairs import edge_to_edge
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.tables import Index
from models.motion import Array


class Plans(Struct, frozen=True, eq=False):
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
    def of(here: PrismTable, i: Index, there: PrismTable, j: Index) -> Plans:
        """See prisms j of the table `there` from prisms i of the table `here`."""
        own = here.rotation[i].transpose(0, 2, 1)
        turn = own @ there.rotation[j]
        move = np.einsum("nij,nj->ni", own, there.shift[j] - here.shift[i])
        up = turn[:, 2, 2] > 0.0
        low, high = there.bottom[j], there.top[j]
        return Plans(
            i,
            j,
            turn[:, :2, :2],
            move[:, :2],
            np.where(up, low, -high) + move[:, 2],
            np.where(up, high, -low) + move[:, 2],
        )

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


def lower_over_edges(
    here: PrismTable, plans: Plans, there: PrismTable, where: Index, flat: Array, a: Array, b: Array
) -> None:
    """Lower flat[where] to the least distance over all pairs of edges whose boxes come near enough.

    a, b: (2, n) the points, in i's frame; where: (k,) the rows of the pairs in `plans`.
    """
    best = flat[where]
    every = np.arange(len(where))
    # edges of j near the whole of i, in j's frame
    middle, half = (here.plan_lo[plans.i] + here.plan_hi[plans.i]) / 2.0, _half(here, plans.i)
    spin = np.abs(plans.turn)
    seen = np.stack(plans.to_j(every, middle[:, 0], middle[:, 1]), axis=1)
    reach = np.einsum("nij,ni->nj", spin, half)
    theirs = Ragged.of(there.first, plans.j)
    item, row_j = theirs.item, theirs.row
    near = _box_gap2(there.lo[item], there.hi[item], (seen - reach)[row_j], (seen + reach)[row_j])
    keep = np.flatnonzero(near < best[row_j] ** 2)
    row_j = row_j[keep]
    moved = plans.edges_of_j(row_j, there.edges.take(item[keep]))
    lo, hi = moved.boxes
    # edges of i near the whole of j, in i's frame
    middle, half = (there.plan_lo[plans.j] + there.plan_hi[plans.j]) / 2.0, _half(there, plans.j)
    seen = np.stack(plans.to_i(every, middle[:, 0], middle[:, 1]), axis=1)
    reach = np.einsum("nij,nj->ni", spin, half)
    mine = Ragged.of(here.first, plans.i)
    lo_i, hi_i = here.lo[mine.item], here.hi[mine.item]
    near = _box_gap2(lo_i, hi_i, (seen - reach)[mine.row], (seen + reach)[mine.row])
    keep_i = np.flatnonzero(near < best[mine.row] ** 2)
    # every kept edge of i with every kept edge of j of the same pair
    counts = np.bincount(row_j, minlength=len(where))
    begin = np.cumsum(counts) - counts
    row_i = mine.row[keep_i]
    times = counts[row_i]
    p = np.repeat(np.arange(len(keep_i)), times)
    q = np.arange(len(p)) + np.repeat(begin[row_i] - (np.cumsum(times) - times), times)
    row = row_i[p]
    close = np.flatnonzero(_box_gap2(lo_i[keep_i[p]], hi_i[keep_i[p]], lo[q], hi[q]) < best[row] ** 2)
    p, q, row = p[close], q[close], row[close]
    if len(row) == 0:
        return
    d, at_i, at_j = edge_to_edge(here.edges.take(mine.item[keep_i[p]]), moved.take(q))
    order = np.argsort(-d, kind="stable")
    order = order[d[order] < best[row[order]]]
    target = where[row[order]]
    flat[target], a[:, target], b[:, target] = d[order], at_i[:, order], at_j[:, order]


def _half(prisms: PrismTable, which: Index) -> Array:
    """(n, 2): half the size of the plan boxes."""
    return (prisms.plan_hi[which] - prisms.plan_lo[which]) / 2.0


def _box_gap2(lo: Array, hi: Array, other_lo: Array, other_hi: Array) -> Array:
    """Squared distance (n,) between boxes (n, 2)."""
    out = np.maximum(np.maximum(lo - other_hi, other_lo - hi), 0.0)
    return np.asarray(out[:, 0] ** 2 + out[:, 1] ** 2)
