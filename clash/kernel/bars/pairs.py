"""Which pieces of two bars can hold the nearest points: lower bounds that leave few to be measured."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from clash.gap_table import Index
from clash.kernel.bars.pieces import Mask, Pieces
from clash.kernel.bars.segments import nearest_on_segments
from clash.kernel.bars.vec import along, cross, dot, minus, norm
from models.motion import Array


class PiecePairs(Struct, frozen=True, eq=False):
    """k pairs of pieces: pair (k,) of which two bars; a, b (k,) pieces; floor (k,) mm, no gap is less."""

    pair: Index
    a: Index
    b: Index
    floor: Array

    def take(self, which: Index | Mask) -> PiecePairs:
        """Some of them."""
        return PiecePairs(self.pair[which], self.a[which], self.b[which], self.floor[which])

    @staticmethod
    def join(parts: list[PiecePairs]) -> PiecePairs:
        """End to end; `parts` may be empty."""
        if not parts:
            none = np.zeros(0, np.intp)
            return PiecePairs(none, none, none, np.zeros(0))
        return PiecePairs(
            np.concatenate([p.pair for p in parts]),
            np.concatenate([p.a for p in parts]),
            np.concatenate([p.b for p in parts]),
            np.concatenate([p.floor for p in parts]),
        )


class Block(Struct, frozen=True, eq=False):
    """Pairs of bars of the same piece counts.

    Floors (k, count_a, count_b) mm between the boxes of their pieces.
    """

    pair: Index
    first_a: Index
    first_b: Index
    floor: Array

    def least_straight(self, pieces: Pieces) -> PiecePairs:
        """For each pair of bars its most promising pair of straight pieces.

        None where a bar has no straight one.
        """
        k, na, nb = self.floor.shape
        bent_a = pieces.bent[self.first_a[:, None] + np.arange(na)]
        bent_b = pieces.bent[self.first_b[:, None] + np.arange(nb)]
        floor = np.where(bent_a[:, :, None] | bent_b[:, None, :], np.inf, self.floor).reshape(k, -1)
        flat = np.argmin(floor, axis=1)
        least = floor[np.arange(k), flat]
        found = PiecePairs(self.pair, self.first_a + flat // nb, self.first_b + flat % nb, least)
        return found.take(np.isfinite(least))

    def below(self, limit: Array) -> PiecePairs:
        """Pairs of pieces whose floor is less than the limit (k,) mm of their bars."""
        k, ia, ib = np.nonzero(self.floor < limit[:, None, None])
        return PiecePairs(self.pair[k], self.first_a[k] + ia, self.first_b[k] + ib, self.floor[k, ia, ib])


def blocks(pieces: Pieces, i: Index, j: Index) -> Iterator[Block]:
    """Bars i against bars j (n,), gathered by how many pieces they have."""
    counts = np.diff(pieces.first)
    na, nb = counts[i], counts[j]
    key = na * (counts.max(initial=0) + 1) + nb
    order = np.argsort(key, kind="stable")
    starts = np.flatnonzero(np.diff(key[order], prepend=-1))
    for pair in np.split(order, starts[1:]):
        if not len(pair):
            continue
        first_a, first_b = pieces.first[i[pair]], pieces.first[j[pair]]
        rows_a = first_a[:, None] + np.arange(na[pair[0]])
        rows_b = first_b[:, None] + np.arange(nb[pair[0]])
        square: Array = np.zeros((len(pair), rows_a.shape[1], rows_b.shape[1]))
        for axis in range(3):
            low, high = pieces.low[axis], pieces.high[axis]
            apart = np.maximum(
                low[rows_b][:, None, :] - high[rows_a][:, :, None],
                low[rows_a][:, :, None] - high[rows_b][:, None, :],
            )
            np.maximum(apart, 0.0, out=apart)
            apart *= apart
            square += apart
        np.sqrt(square, out=square)
        square -= (pieces.radius[first_a] + pieces.radius[first_b])[:, None, None]
        yield Block(pair, first_a, first_b, square)


def floor_of_bends(pieces: Pieces, near: PiecePairs) -> Array:
    """(k,) mm: better lower bounds where a piece is a bend.

    Off its plane, and chord to chord less the sagittas.
    """
    a, b = near.a, near.b
    chord_a, chord_b = pieces.segments(a), pieces.segments(b)
    s, t = nearest_on_segments(chord_a, chord_b)
    apart = norm(
        minus(along(chord_a.start, s, chord_a.direction), along(chord_b.start, t, chord_b.direction))
    )
    sagitta = pieces.bend_radius * (1.0 - np.cos(pieces.half))
    floor = apart - sagitta[a] - sagitta[b]
    for one, other in ((a, b), (b, a)):
        floor = np.maximum(floor, _off_plane(pieces, one, other))
    return np.maximum(near.floor, floor - pieces.radius[a] - pieces.radius[b])


def _off_plane(pieces: Pieces, bend: Index, other: Index) -> Array:
    """(k,) mm: how far the centerline of `other` stays off the plane of `bend`.

    0 where it does not, or no bend.
    """
    axis = cross(pieces.middle.take(bend, axis=1), pieces.across.take(bend, axis=1))  # zero where straight
    level = dot(axis, pieces.center.take(bend, axis=1))
    start, end = (
        dot(axis, pieces.start.take(other, axis=1)) - level,
        dot(axis, pieces.end.take(other, axis=1)) - level,
    )
    low, high = np.minimum(start, end), np.maximum(start, end)
    u, v = dot(axis, pieces.middle.take(other, axis=1)), dot(axis, pieces.across.take(other, axis=1))
    reach = np.sqrt(u * u + v * v)
    inside = np.cos(pieces.half[other]) * reach
    middle, swing = dot(axis, pieces.center.take(other, axis=1)) - level, pieces.bend_radius[other] * reach
    bent = pieces.bent[other]
    low = np.where(bent & (-u >= inside), np.minimum(low, middle - swing), low)
    high = np.where(bent & (u >= inside), np.maximum(high, middle + swing), high)
    return np.maximum(np.maximum(low, -high), 0.0)
