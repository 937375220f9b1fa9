"""Bars cut off at the height range of the concrete that they are measured in."""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from clash.kernel.bars.vec import norm
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.tables import Index, SweptTable
from models.motion import Array

Flags = NDArray[np.bool_]


class Clipped(Struct, frozen=True, eq=False):
    """Pieces of bars within a range of heights; vectors are components first, (3, n).

    row: (n,) which bar in which range; radius: (n,) mm. start, end; bent: (n,) bool; center, w, v: a bend
    runs from center + w toward center + v through `angle`; from_tangent, to_tangent: unit tangents.
    cut_start, cut_end: the end is where the piece leaves the range (cut level); free_start, free_end: it is
    the bar's own flat end.
    """

    row: Index
    radius: Array
    start: Array
    end: Array
    bent: Flags
    angle: Array
    center: Array
    w: Array
    v: Array
    from_tangent: Array
    to_tangent: Array
    cut_start: Flags
    cut_end: Flags
    free_start: Flags
    free_end: Flags

    def take(self, k: Index) -> Clipped:
        """Some of the pieces."""
        return Clipped(
            self.row[k],
            self.radius[k],
            self.start.take(k, axis=1),
            self.end.take(k, axis=1),
            self.bent[k],
            self.angle[k],
            self.center.take(k, axis=1),
            self.w.take(k, axis=1),
            self.v.take(k, axis=1),
            self.from_tangent.take(k, axis=1),
            self.to_tangent.take(k, axis=1),
            self.cut_start[k],
            self.cut_end[k],
            self.free_start[k],
            self.free_end[k],
        )


def clipped(swept: SweptTable, solid: Index, low: Array, high: Array) -> Clipped:
    """The pieces of bars `solid` (n,) between heights low and high (n,) mm.

    A piece is cut where its centerline leaves the range. A bend that leaves the range and comes back is kept
    whole, so that its reach is never understated.
    """
    spread = Ragged.of(swept.first, solid)
    row, piece = spread.row, spread.item
    low, high = low[row], high[row]
    z0, z1 = swept.start[piece, 2], swept.end[piece, 2]
    bent = swept.angle[piece] > 0.0
    bend = np.where(bent, np.sqrt(np.sum((swept.start[piece] - swept.center[piece]) ** 2, axis=1)), 0.0)
    middle = np.where(bent, swept.center[piece, 2], 0.0)
    least = np.where(bent, np.maximum(middle - bend, np.minimum(z0, z1) - bend), np.minimum(z0, z1))
    most = np.where(bent, np.minimum(middle + bend, np.maximum(z0, z1) + bend), np.maximum(z0, z1))
    inside0, inside1 = (z0 >= low) & (z0 <= high), (z1 >= low) & (z1 <= high)
    k = np.flatnonzero(inside0 | inside1 | ((least < high) & (most > low)))
    row, piece, low, high, bent = row[k], piece[k], low[k], high[k], bent[k]
    start, end = swept.start[piece].T.copy(), swept.end[piece].T.copy()
    center, axis = swept.center[piece].T, swept.axis[piece].T
    n = len(row)
    t0, t1 = np.zeros(n), np.where(bent, swept.angle[piece], 1.0)
    along = end - start
    w, v = np.zeros((3, n)), np.zeros((3, n))
    b = np.flatnonzero(bent)
    w[:, b] = start[:, b] - center[:, b]
    v[:, b] = np.cross(axis[:, b], w[:, b], axis=0)

    rise = along[2]
    s = np.flatnonzero(~bent & (rise != 0.0))
    at_low, at_high = (low[s] - start[2, s]) / rise[s], (high[s] - start[2, s]) / rise[s]
    t0[s] = np.clip(np.minimum(at_low, at_high), 0.0, 1.0)
    t1[s] = np.clip(np.maximum(at_low, at_high), 0.0, 1.0)
    one = b[inside0[k][b] != inside1[k][b]]
    if len(one):
        outside = np.where(inside0[k][one], end[2, one], start[2, one])
        level = np.where(outside > high[one], high[one], low[one]) - center[2, one]
        size = np.hypot(w[2, one], v[2, one])
        crest = np.arctan2(v[2, one], w[2, one])
        half = np.arccos(np.clip(level / np.where(size > 0.0, size, 1.0), -1.0, 1.0))
        options = np.mod(np.array([crest + half, crest - half]), 2 * np.pi)
        options = np.where(options <= t1[one], options, np.nan)
        # inside at the start: cut at the first crossing; inside at the end: at the last
        first, last = np.fmin(options[0], options[1]), np.fmax(options[0], options[1])
        leaves = inside0[k][one]
        t1[one] = np.where(leaves & np.isfinite(first), first, t1[one])
        t0[one] = np.where(~leaves & np.isfinite(last), last, t0[one])
    full = np.where(bent, swept.angle[piece], 1.0)
    cut_start, cut_end = t0 > 0.0, t1 < full
    length = norm(along)
    tangent0 = along / np.where(length > 0.0, length, 1.0)
    tangent1 = tangent0.copy()
    new_start = np.where(cut_start, start + along * t0, start)
    new_end = np.where(cut_end, start + along * t1, end)
    if len(b):
        c0, s0, c1, s1 = np.cos(t0[b]), np.sin(t0[b]), np.cos(t1[b]), np.sin(t1[b])
        wb, vb = w[:, b].copy(), v[:, b].copy()
        size = norm(wb)
        tangent0[:, b], tangent1[:, b] = (vb * c0 - wb * s0) / size, (vb * c1 - wb * s1) / size
        w[:, b], v[:, b] = wb * c0 + vb * s0, vb * c0 - wb * s0
        new_start[:, b] = np.where(cut_start[b], center[:, b] + w[:, b], start[:, b])
        new_end[:, b] = np.where(cut_end[b], center[:, b] + wb * c1 + vb * s1, end[:, b])
    return Clipped(
        row=row,
        radius=swept.radius[solid[row]],
        start=new_start,
        end=new_end,
        bent=bent,
        angle=np.where(bent, t1 - t0, 0.0),
        center=np.where(bent, center, 0.0),
        w=w,
        v=v,
        from_tangent=tangent0,
        to_tangent=tangent1,
        cut_start=cut_start,
        cut_end=cut_end,
        free_start=swept.free_start[piece] & ~cut_start,
        free_end=swept.free_end[piece] & ~cut_end,
    )
