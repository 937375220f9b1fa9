"""Prisms tilted against each other: the edges of each against the other, as bars of no thickness."""

from __future__ import annotations

import numpy as np

from clash.kernel.nearest import Nearest
from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.bar_sides import Pieces, offer_probes, offer_sides
from clash.kernel.prisms.best import Best
from clash.kernel.prisms.depth import Reach, deepest
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.prisms.walls import Curves
from clash.kernel.tables import Index
from models.motion import Array

_CHUNK = 1024
_CONTACT = 1e-3
"""mm: gaps less than this are looked at for an overlap: a search for a crossing ends near zero, not at it."""


def tilted(prisms: PrismTable, i: Index, j: Index) -> Nearest:
    """Gaps between prisms i and j (n,) whose axes are not parallel.

    The nearest points of two such prisms lie on an edge of the one at least, or on two round walls that pass
    each other askew; those are closed form. (Round a hole the nearest point is on the hole's rim, an edge.)
    Depth of an overlap: how deep the deepest point of an edge of either lies inside the other, or by how
    much two round walls overlap.
    """
    parts = [_chunk(prisms, i[k : k + _CHUNK], j[k : k + _CHUNK]) for k in range(0, len(i), _CHUNK)]
    return Nearest(
        np.concatenate([p.gap for p in parts]),
        np.concatenate([p.at_a for p in parts]),
        np.concatenate([p.at_b for p in parts]),
    )


def _chunk(prisms: PrismTable, i: Index, j: Index) -> Nearest:
    one, two = _edges_against(prisms, j, i), _edges_against(prisms, i, j)
    # `one` has the edges of j as its first side
    best = Best(len(i))
    every = np.arange(len(i))
    best.offer(every, one.gap, one.at_b.T, one.at_a.T)
    best.offer(every, two.gap, two.at_a.T, two.at_b.T)
    _offer_round_walls(best, prisms, i, j)
    return Nearest(best.gap, best.at_a, best.at_b)


def _edges_against(prisms: PrismTable, own: Index, other: Index) -> Nearest:
    """The edges of prisms `own` (n,) against prisms `other` (n,); at_a on an edge, pier's frame."""
    best = Best(len(own))
    pieces = _edges(prisms, own, other)
    offer_probes(best, prisms, pieces)
    offer_sides(best, prisms, pieces)
    k = np.flatnonzero((best.gap < _CONTACT)[pieces.pair])
    if len(k):
        depth, at = np.full(len(own), -np.inf), np.zeros((3, len(own)))
        some = pieces.take(k)
        deepest(depth, at, prisms, Reach(some, some.curve, np.zeros(len(k)), np.full(len(k), -np.inf)))
        m = np.flatnonzero(depth > 1e-9)
        best.gap[m] = -depth[m]
        best.at_a[m] = best.at_b[m] = at[:, m].T
    return Nearest(best.gap, prisms.from_own(other, best.at_a), prisms.from_own(other, best.at_b))


def _edges(prisms: PrismTable, own: Index, other: Index) -> Pieces:
    """Edges of prisms `own`, top, bottom and upright, in the frames of prisms `other`, as bars of no
    thickness.
    """
    spread = Ragged.of(prisms.first, own)
    e = prisms.edges.take(spread.item)
    source = own[spread.row]
    low, high = prisms.bottom[source], prisms.top[source]
    zero = np.zeros(len(e))
    turn = np.where(e.ccw, 1.0, -1.0)
    half = np.arccos(np.clip(e.reach, -1.0, 1.0))

    def level(z: Array) -> tuple[Array, Array, Array, Array, Array]:
        w = np.stack([e.sx - e.cx, e.sy - e.cy, zero])
        v = np.stack([-w[1], w[0], zero]) * turn
        base = np.where(e.arc, np.stack([e.cx, e.cy, z]), np.stack([e.sx, e.sy, z]))
        along = np.where(e.arc, 0.0, np.stack([e.ex - e.sx, e.ey - e.sy, zero]))
        span = np.where(e.arc, 2.0 * half, 1.0)
        return base, along, np.where(e.arc, w, 0.0), np.where(e.arc, v, 0.0), span

    nothing = np.zeros((3, len(e)))
    upright = (
        np.stack([e.sx, e.sy, low]),
        np.stack([zero, zero, high - low]),
        nothing,
        nothing,
        np.ones(len(e)),
    )
    base, u, w, v, span = (
        np.concatenate(columns, axis=-1) for columns in zip(level(low), level(high), upright, strict=True)
    )
    bent = np.concatenate([e.arc, e.arc, np.zeros(len(e), dtype=bool)])
    source, pair = np.tile(source, 3), np.tile(spread.row, 3)
    prism = other[pair]
    base = prisms.to_own(prism, prisms.from_own(source, base.T)).T
    u, w, v = (
        prisms.turn_to_own(prism, np.einsum("kij,jk->ki", prisms.rotation[source], vectors)).T
        for vectors in (u, w, v)
    )
    curve = Curves(base, u, w, v, span)
    start, speed_start = curve.at(np.zeros(len(span)))
    end, speed_end = curve.at(span)
    # a full or large arc may reach past its ends by its whole width
    swell = np.where(bent, 2.0 * np.sqrt(np.sum(w**2, axis=0)), 0.0)
    size = np.sqrt(np.sum(speed_start**2, axis=0))
    no = np.zeros(len(span), dtype=bool)
    return Pieces(
        pair=pair,
        prism=prism,
        radius=np.zeros(len(span)),
        start=start,
        end=end,
        curve=curve,
        bent=bent,
        at_start=speed_start / size,
        at_end=speed_end / size,
        free_start=no,
        free_end=no,
        lo=np.minimum(start, end) - swell,
        hi=np.maximum(start, end) + swell,
    )


def _offer_round_walls(best: Best, prisms: PrismTable, i: Index, j: Index) -> None:
    """Round outer walls that pass each other askew: nearest along the common square to their two axes."""
    mine, theirs = Ragged.of(prisms.first, i), Ragged.of(prisms.first, j)
    counts = np.diff(np.append(theirs.offset, len(theirs.row)))
    times = counts[mine.row]
    p = np.repeat(np.arange(len(mine.row)), times)
    q = np.arange(len(p)) + np.repeat(theirs.offset[mine.row] - (np.cumsum(times) - times), times)
    pair, a, b = mine.row[p], mine.item[p], theirs.item[q]
    e = prisms.edges
    k = np.flatnonzero(e.arc[a] & e.arc[b] & e.ccw[a] & e.ccw[b])
    if len(k) == 0:
        return
    pair, a, b = pair[k], a[k], b[k]
    first, second = i[pair], j[pair]
    hub_a = prisms.from_own(first, np.stack([e.cx[a], e.cy[a], np.zeros(len(a))], axis=1))
    hub_b = prisms.from_own(second, np.stack([e.cx[b], e.cy[b], np.zeros(len(b))], axis=1))
    axis_a, axis_b = prisms.rotation[first, :, 2], prisms.rotation[second, :, 2]
    square = np.cross(axis_a, axis_b)
    sine2 = np.sum(square**2, axis=1)
    apart = hub_b - hub_a
    along_a = np.sum(np.cross(apart, axis_b) * square, axis=1) / sine2
    along_b = np.sum(np.cross(apart, axis_a) * square, axis=1) / sine2
    normal = square / np.sqrt(sine2)[:, None]
    across = np.sum(apart * normal, axis=1)
    normal *= np.where(across < 0.0, -1.0, 1.0)[:, None]
    gap = np.abs(across) - e.radius[a] - e.radius[b]
    to_a, to_b = prisms.turn_to_own(first, normal), prisms.turn_to_own(second, -normal)
    on = (along_a >= prisms.bottom[first]) & (along_a <= prisms.top[first])
    on &= (along_b >= prisms.bottom[second]) & (along_b <= prisms.top[second])
    on &= to_a[:, 0] * e.mx[a] + to_a[:, 1] * e.my[a] >= e.reach[a]
    on &= to_b[:, 0] * e.mx[b] + to_b[:, 1] * e.my[b] >= e.reach[b]
    m = np.flatnonzero(on)
    at_a = hub_a + axis_a * along_a[:, None] + normal * e.radius[a][:, None]
    at_b = hub_b + axis_b * along_b[:, None] - normal * e.radius[b][:, None]
    best.offer(pair[m], gap[m], at_a[m].T, at_b[m].T)
