"""Gaps between bars and prisms, exact: flat ends, bends, holes and rounded outlines included.

The least distance between a bar and a prism is the least over a few kinds of pairs of points: the bar's side
square to its centerline against a wall or a face, a flat end's disk or rim against a wall, a face, an edge
or a corner. Each kind is found in closed form or by a bounded search, and each is a real pair of points, so
the least of them is the distance. Boxes and the best so far leave only a few candidates per pair to look at.
"""

from __future__ import annotations

import numpy as np

from clash.kernel.bars.vec import dot, norm
from clash.kernel.nearest import Nearest
from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.bar_sides import CLOSER, Pieces, offer_probes, offer_sides
from clash.kernel.prisms.best import Best
from clash.kernel.prisms.depth import depths
from clash.kernel.prisms.flat_ends import Disks, offer_ends
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.prisms.upright import offer_upright, upright
from clash.kernel.tables import Index, SweptTable
from models.motion import Array

_CHUNK = 16384
_CONTACT = 1e-3
"""mm: gaps less than this are looked at for an overlap: a search for a crossing ends near zero, not at it."""


def swept_prism(swept: SweptTable, prisms: PrismTable, i: Index, j: Index) -> Nearest:
    """Gaps between bars i (n,) of one table and prisms j (n,) of another, in the frame that both are given
    in.

    at_a lies on the bar, at_b on the prism. A gap is negative exactly where the two share space. Its depth
    is then the greatest, along the centerline, of the radius (or the distance to a free flat end, where that
    is less) plus how deep the centerline lies inside the prism, or how deep the rim of a flat end lies
    inside, where that is more: a shallow overlap of a bar's side or end with a plane face is told as it is.
    """
    i, j = np.asarray(i, dtype=np.intp), np.asarray(j, dtype=np.intp)
    used = np.zeros(len(swept.first) - 1, dtype=bool)
    used[i] = True
    lo, hi = _boxes(swept, used)
    parts = [
        _chunk(swept, prisms, lo, hi, i[k : k + _CHUNK], j[k : k + _CHUNK]) for k in range(0, len(i), _CHUNK)
    ]
    if not parts:
        return Nearest.unmeasured(0)
    return Nearest(
        np.concatenate([p.gap for p in parts]),
        np.concatenate([p.at_a for p in parts]),
        np.concatenate([p.at_b for p in parts]),
    )


def _boxes(swept: SweptTable, used: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> tuple[Array, Array]:
    """Boxes (3, m) of the pieces of the solids in use: straight ones exact, bends by their whole circle at
    most.
    """
    radius = np.repeat(swept.radius, np.diff(swept.first))
    lo, hi = np.full((3, len(radius)), np.inf), np.full((3, len(radius)), -np.inf)
    k = np.flatnonzero(np.repeat(used, np.diff(swept.first)))
    start, end = swept.start[k].T, swept.end[k].T
    low, high = np.minimum(start, end), np.maximum(start, end)
    along = end - start
    bent = swept.angle[k] > 0.0
    tangent2 = along * along / dot(along, along)
    swell = radius[k] * np.where(bent, 1.0, np.sqrt(np.maximum(1.0 - tangent2, 0.0)))
    b = np.flatnonzero(bent)
    if len(b):
        # an arc lies within its sagitta of its chord: a box that is safe, and small for bends of up to 90
        # degrees
        angle = swept.angle[k[b]]
        bend = np.sqrt(np.sum((swept.start[k[b]] - swept.center[k[b]]) ** 2, axis=1))
        sagitta = bend * (1.0 - np.cos(angle / 2.0))
        to_crest = (start[:, b] + end[:, b]) / 2.0 - swept.center[k[b]].T
        size = norm(to_crest)
        side = np.cross(swept.axis[k[b]], swept.start[k[b]] - swept.center[k[b]]).T
        # half a circle has no chord's foot to point along: there the crest lies square to the arm
        crest = (
            np.where(size > 1e-9 * bend, to_crest / np.where(size > 0.0, size, 1.0), side / bend) * sagitta
        )
        low[:, b] += np.minimum(crest, 0.0)
        high[:, b] += np.maximum(crest, 0.0)
    lo[:, k], hi[:, k] = low - swell, high + swell
    return lo, hi


def _chunk(swept: SweptTable, prisms: PrismTable, lo: Array, hi: Array, i: Index, j: Index) -> Nearest:
    """One chunk of pairs: first the piece whose box is nearest, then whatever could still be nearer."""
    best = Best(len(i))
    spread = Ragged.of(swept.first, i)
    row, piece = spread.row, spread.item
    box_lo, box_hi = prisms.box_lo.T, prisms.box_hi.T
    prism = j[row]
    apart2 = np.zeros(len(row))
    for axis in range(3):
        out = np.maximum(box_lo[axis][prism] - hi[axis][piece], lo[axis][piece] - box_hi[axis][prism])
        out = np.maximum(out, 0.0)
        apart2 += out * out
    apart = np.sqrt(apart2)
    _, first = spread.least(apart)
    _measure(best, swept, prisms, i, j, row[first], piece[first])
    apart[first] = np.inf
    rest = np.flatnonzero(apart < best.gap[row] - CLOSER)
    if len(rest):
        _measure(best, swept, prisms, i, j, row[rest], piece[rest])
    _settle(best, swept, prisms, i, j)
    moved = [prisms.from_own(j, at) for at in (best.at_a, best.at_b)]
    return Nearest(best.gap, moved[0], moved[1])


def _measure(
    best: Best, swept: SweptTable, prisms: PrismTable, i: Index, j: Index, pair: Index, piece: Index
) -> None:
    """Look at some pieces of some pairs."""
    pieces = Pieces.of(swept, prisms, pair, piece, j[pair], swept.radius[i[pair]])
    stands = upright(pieces)
    if stands.any():
        offer_upright(best, prisms, pieces.take(np.flatnonzero(stands)))
    rest = np.flatnonzero(~stands)
    if len(rest) == 0:
        return
    pieces = pieces.take(rest)
    offer_probes(best, prisms, pieces)
    offer_sides(best, prisms, pieces)
    offer_ends(best, prisms, Disks.of(pieces))


def _settle(best: Best, swept: SweptTable, prisms: PrismTable, i: Index, j: Index) -> None:
    """Measure the depth of overlaps, and of contacts too close to tell from one."""
    k = np.flatnonzero((best.gap < _CONTACT) & ~best.settled)
    if len(k) == 0:
        return
    depth, at = depths(swept, prisms, i[k], j[k])
    deep = np.flatnonzero(depth > CLOSER)
    best.gap[k[deep]] = -depth[deep]
    best.at_a[k[deep]] = best.at_b[k[deep]] = at[deep]
