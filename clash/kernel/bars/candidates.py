"""Candidates for the gap of a pair: which are real, which are only lower bounds, and the least so far."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from clash.gap_table import Index
from clash.kernel.bars.feet import Place
from clash.kernel.bars.pieces import Mask, Pieces
from clash.kernel.bars.vec import dot, minus, norm
from clash.kernel.nearest import Nearest
from models.motion import Array

SQUARE = 1e-8
"""How far (as a cosine) a line may lean at a free end and still count as square to the bar."""
LEAN = 1e-2
"""The same at a knot between two pieces.

One that leans more is no minimum, the next piece has a nearer point.
"""

ROOM = 1e-6
"""mm above a proven ceiling that a candidate may still lie, so that rounding cannot lose the one that reaches
it."""


class Best(Struct, frozen=True, eq=False):
    """The least valid gap of n pairs so far: gap (n,) mm, on_a, on_b (3, n) mm; changed in place.

    ceiling: (n,) mm, no gap is more, whether or not it was found yet.
    within: mm; what is certainly farther need not be found.
    """

    gap: Array
    ceiling: Array
    on_a: Array
    on_b: Array
    within: float

    @staticmethod
    def none_yet(n: int, within: float) -> Best:
        """Infinite gaps, to be bettered."""
        nowhere = np.full((3, n), np.nan)
        return Best(np.full(n, np.inf), np.full(n, np.inf), nowhere, nowhere.copy(), within)

    def limit(self, pair: Index) -> Array:
        """(k,) mm: what a candidate of these pairs has to be less than."""
        return np.minimum(self.gap[pair], np.minimum(self.ceiling[pair], self.within) + ROOM)

    def offer(self, pair: Index, gap: Array, on_a: Array, on_b: Array) -> None:
        """Keep what is less than the least so far; pair (k,) may name a pair many times."""
        better = np.flatnonzero(gap < self.gap[pair])
        if not len(better):
            return
        pair, gap = pair[better], gap[better]
        np.minimum.at(self.gap, pair, gap)
        wins = gap == self.gap[pair]
        pair, better = pair[wins], better[wins]
        self.on_a[:, pair] = on_a.take(better, axis=1)
        self.on_b[:, pair] = on_b.take(better, axis=1)

    def nearest(self) -> Nearest:
        """As a measurement."""
        return Nearest(self.gap, self.on_a.T.copy(), self.on_b.T.copy())


def leaning(pieces: Pieces, which: Index, place: Place, line: Array, distance: Array) -> tuple[Mask, Mask]:
    """How a line (3, k) from or to a point of a piece stands at the piece's end.

    Two (k,) masks: the point is a free end and the line is not square there; it is a knot and the line leans
    so much that the next piece is nearer.
    """
    open_, dropped = (np.zeros(len(which), dtype=bool) for _ in range(2))
    ends = np.flatnonzero(place)
    if len(ends):
        piece = which[ends]
        last = place[ends] > 0
        loose = np.where(last, pieces.free_end[piece], pieces.free_start[piece])
        tangent = np.where(
            last, pieces.tangent_end.take(piece, axis=1), pieces.tangent_start.take(piece, axis=1)
        )
        lean = np.abs(dot(line.take(ends, axis=1), tangent))
        open_[ends] = loose & (lean > SQUARE * distance[ends])
        dropped[ends] = ~loose & (lean > LEAN * distance[ends])
    return open_, dropped


def offer_barrels(
    best: Best,
    pieces: Pieces,
    pair: Index,
    a: Index,
    b: Index,
    on_a: Array,
    on_b: Array,
    at_a: Place,
    at_b: Place,
) -> tuple[Array, Mask]:
    """Offer what centerlines say; on_a, on_b (3, k) points of pieces a, b (k,), at_a, at_b their places.

    Returns (k,) distance less radii, mm, and (k,) where that is only a lower bound for ends to decide.
    """
    line = minus(on_b, on_a)
    distance = norm(line)
    radius_a, radius_b = pieces.radius[a], pieces.radius[b]
    gap = distance - radius_a - radius_b
    open_a, drop_a = leaning(pieces, a, at_a, line, distance)
    open_b, drop_b = leaning(pieces, b, at_b, line, distance)
    undecided = open_a | open_b
    # even then the line between the centerlines ends in both bars, and at a barrel where it stands square
    ceiling = gap + np.where(open_a | drop_a, radius_a, 0.0) + np.where(open_b | drop_b, radius_b, 0.0)
    np.minimum.at(best.ceiling, pair[undecided], np.maximum(ceiling[undecided], 0.0))
    good = np.flatnonzero(~(undecided | drop_a | drop_b) & (gap < best.gap[pair]))
    if len(good):
        away = line.take(good, axis=1) / np.where(distance[good] > 0.0, distance[good], 1.0)
        reach_a, reach_b = radius_a[good], distance[good] - radius_b[good]
        # where they overlap: the middle of what both hold of the line between the centerlines
        shared = (np.maximum(-reach_a, reach_b) + np.minimum(reach_a, distance[good] + radius_b[good])) / 2.0
        over = gap[good] < 0.0
        best.offer(
            pair[good],
            capped(pieces, a[good], b[good], gap[good]),
            on_a.take(good, axis=1) + np.where(over, shared, reach_a) * away,
            on_a.take(good, axis=1) + np.where(over, shared, reach_b) * away,
        )
    return gap, undecided


def capped(pieces: Pieces, a: Index, b: Index, gap: Array) -> Array:
    """(k,) mm.

    Negative gaps made no deeper than the two pieces overlap along the axis of any free end of theirs.
    """
    over = np.flatnonzero(gap < 0.0)
    if not len(over):
        return gap
    out = gap.copy()
    one, other = (
        np.tile(np.array([a[over], b[over]]), 2).ravel(),
        np.tile(np.array([b[over], a[over]]), 2).ravel(),
    )
    at_end = np.tile(np.repeat([False, True], len(over)), 2)
    row = np.tile(over, 4)
    loose = np.flatnonzero(pieces.is_free(one, at_end))
    ends = pieces.ends(one[loose], at_end[loose])
    apart = pieces.least_along(other[loose], ends.normal) - dot(ends.normal, ends.center)
    np.maximum.at(out, row[loose], apart)
    return out
