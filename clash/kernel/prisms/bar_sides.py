"""Pieces of swept solids against prisms: what can be the nearest point of a bar's side, candidate by
candidate.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from clash.kernel.bars.vec import dot, norm
from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.best import Best
from clash.kernel.prisms.plan import inside
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.prisms.walls import (
    SQUARE,
    Curves,
    Walls,
    even_nodes,
    line_nodes,
    search,
    segment_to_flat_wall,
)
from clash.kernel.tables import Index, SweptTable
from models.motion import Array

Flags = NDArray[np.bool_]
CLOSER = 1e-9
"""mm: a candidate is looked at only where it can be closer than the best by more than this."""


_SHORT = 1.7
"""rad: bends up to here (a right angle and a little) begin with fewer nodes."""
_FEW = 512
"""So few bends are searched in one go, whatever their angle."""


class Pieces(Struct, frozen=True, eq=False):
    """Pieces against one prism each, in that prism's own frame; vectors are components first.

    pair: (n,) which pair a row belongs to; prism: (n,) which prism; radius: (n,) mm.
    start, end: (3, n); curve: the centerline; bent: (n,) bool; at_start, at_end: (3, n) unit tangents.
    free_start, free_end: (n,) bool. lo, hi: (3, n) mm, box of the solid piece.
    """

    pair: Index
    prism: Index
    radius: Array
    start: Array
    end: Array
    curve: Curves
    bent: Flags
    at_start: Array
    at_end: Array
    free_start: Flags
    free_end: Flags
    lo: Array
    hi: Array

    def take(self, k: Index) -> Pieces:
        """Some of the rows."""
        return Pieces(
            self.pair[k],
            self.prism[k],
            self.radius[k],
            self.start.take(k, axis=1),
            self.end.take(k, axis=1),
            self.curve.take(k),
            self.bent[k],
            self.at_start.take(k, axis=1),
            self.at_end.take(k, axis=1),
            self.free_start[k],
            self.free_end[k],
            self.lo.take(k, axis=1),
            self.hi.take(k, axis=1),
        )

    @staticmethod
    def of(
        swept: SweptTable, prisms: PrismTable, pair: Index, piece: Index, prism: Index, radius: Array
    ) -> Pieces:
        """Bring pieces into the frames of the prisms that they are measured to."""
        start = np.ascontiguousarray(prisms.to_own(prism, swept.start[piece]).T)
        end = np.ascontiguousarray(prisms.to_own(prism, swept.end[piece]).T)
        along = end - start
        span = swept.angle[piece]
        bent = span > 0.0
        nothing = np.zeros_like(start)
        base, u, w, v = start.copy(), along.copy(), nothing.copy(), nothing.copy()
        length = norm(along)
        tangent = along / np.where(bent, 1.0, length)
        at_start, at_end = tangent, tangent.copy()
        k = np.flatnonzero(bent)
        lo, hi = np.minimum(start, end), np.maximum(start, end)
        if len(k):
            center = prisms.to_own(prism[k], swept.center[piece[k]]).T
            axis = prisms.turn_to_own(prism[k], swept.axis[piece[k]]).T
            arm = start[:, k] - center
            side = np.cross(axis, arm, axis=0)
            base[:, k], u[:, k], w[:, k], v[:, k] = center, 0.0, arm, side
            bend = norm(arm)
            c, s = np.cos(span[k]), np.sin(span[k])
            at_start[:, k], at_end[:, k] = side / bend, (side * c - arm * s) / bend
            for axis_no in range(3):
                amplitude = np.hypot(arm[axis_no], side[axis_no])
                crest = np.arctan2(side[axis_no], arm[axis_no])
                over = np.mod(crest, 2 * np.pi) < span[k]
                under = np.mod(crest + np.pi, 2 * np.pi) < span[k]
                hi[axis_no, k] = np.where(over, center[axis_no] + amplitude, hi[axis_no, k])
                lo[axis_no, k] = np.where(under, center[axis_no] - amplitude, lo[axis_no, k])
        swell = radius * np.where(bent, 1.0, np.sqrt(np.maximum(1.0 - tangent * tangent, 0.0)))
        return Pieces(
            pair=pair,
            prism=prism,
            radius=radius,
            start=start,
            end=end,
            curve=Curves(base, u, w, v, np.where(bent, span, 1.0)),
            bent=bent,
            at_start=at_start,
            at_end=at_end,
            free_start=swept.free_start[piece],
            free_end=swept.free_end[piece],
            lo=lo - swell,
            hi=hi + swell,
        )


def walls_near(
    prisms: PrismTable, prism: Index, lo: Array, hi: Array, cut: Array
) -> tuple[Index, Walls, Array]:
    """Row and wall of every wall whose box comes within `cut` (n,) of the box lo, hi (3, n) of its row.

    And how far (m,) apart the two boxes are, mm.
    """
    spread = Ragged.of(prisms.first, prism)
    row, item = spread.row, spread.item
    gap2 = np.maximum(np.maximum(prisms.bottom[prism] - hi[2], lo[2] - prisms.top[prism]), 0.0) ** 2
    dx = np.maximum(np.maximum(prisms.lo[item, 0] - hi[0][row], lo[0][row] - prisms.hi[item, 0]), 0.0)
    dy = np.maximum(np.maximum(prisms.lo[item, 1] - hi[1][row], lo[1][row] - prisms.hi[item, 1]), 0.0)
    reach = np.maximum(cut - CLOSER, 0.0)
    apart2 = dx * dx + dy * dy + gap2[row]
    near = np.flatnonzero(apart2 < (reach * reach)[row])
    row, item = row[near], item[near]
    which = prism[row]
    walls = Walls(prisms.edges.take(item), prisms.bottom[which], prisms.top[which])
    return row, walls, np.sqrt(apart2[near])


def offer_probes(best: Best, prisms: PrismTable, pieces: Pieces) -> None:
    """Points of the centerline above, below or inside a prism: knots, where a bend is highest and lowest, and
    where the centerline runs through at half height.

    Where the centerline runs level, the bar's side is nearer than the point by the radius.
    """
    points: list[tuple[Index, Array, Flags]] = []
    everywhere = np.arange(len(pieces.pair))
    for point, tangent in ((pieces.start, pieces.at_start), (pieces.end, pieces.at_end)):
        points.append((everywhere, point, np.abs(tangent[2]) <= SQUARE))
    k = np.flatnonzero(pieces.bent)
    if len(k):
        curve = pieces.curve.take(k)
        crest = np.arctan2(curve.v[2], curve.w[2])
        for turn in (0.0, np.pi):
            t = np.mod(crest + turn, 2 * np.pi)
            on = np.flatnonzero((t < curve.span) & (np.abs(curve.v[2]) + np.abs(curve.w[2]) > 0.0))
            at = curve.take(on).at(t[on])[0]
            points.append((k[on], at, np.ones(len(on), dtype=bool)))
    middle = (prisms.bottom[pieces.prism] + prisms.top[pieces.prism]) / 2.0
    k = np.flatnonzero((pieces.lo[2] < middle) & (pieces.hi[2] > middle))
    if len(k):
        for t, on in _through(pieces.curve.take(k), pieces.bent[k], middle[k]):
            at = pieces.curve.take(k[on]).at(t[on])[0]
            points.append((k[on], at, np.zeros(len(on), dtype=bool)))
    row = np.concatenate([p[0] for p in points])
    at = np.concatenate([p[1] for p in points], axis=1)
    level = np.concatenate([p[2] for p in points])
    offer_points(
        best, prisms, pieces.pair[row], pieces.prism[row], at, np.where(level, pieces.radius[row], 0.0)
    )


def _through(curve: Curves, bent: Flags, height: Array) -> list[tuple[Array, Index]]:
    """Where curves run through heights (n,): t (n,), and the rows of which it is so."""
    rise = curve.u[2]
    t = (height - curve.base[2]) / np.where(rise != 0.0, rise, np.inf)
    out = [(t, np.flatnonzero(~bent & (rise != 0.0) & (t >= 0.0) & (t <= 1.0)))]
    k = np.flatnonzero(bent)
    if len(k):
        level = height[k] - curve.base[2, k]
        size = np.hypot(curve.w[2, k], curve.v[2, k])
        crest = np.arctan2(curve.v[2, k], curve.w[2, k])
        half = np.arccos(np.clip(level / np.where(size > 0.0, size, np.inf), -1.0, 1.0))
        for turn in (half, -half):
            t = np.zeros(len(rise))
            t[k] = np.mod(crest + turn, 2 * np.pi)
            out.append((t, k[(np.abs(level) <= size) & (t[k] <= curve.span[k])]))
    return out


def offer_points(best: Best, prisms: PrismTable, pair: Index, prism: Index, at: Array, shrink: Array) -> None:
    """Points (3, k) of bars against the faces above or below them; a point inside a prism is an overlap.

    shrink: (k,) mm, how much nearer than the point the bar's surface is, straight up and down.
    """
    over = np.maximum(prisms.bottom[prism] - at[2], at[2] - prisms.top[prism])
    value = over - shrink
    k = np.flatnonzero(value < np.maximum(best.gap[pair] - CLOSER, -CLOSER))
    k = k[inside(prisms, prism[k], at[0, k], at[1, k])]
    if len(k) == 0:
        return
    own, side = at[:, k].copy(), at[:, k].copy()
    side[2] = np.clip(side[2], prisms.bottom[prism[k]], prisms.top[prism[k]])
    own[2] += np.clip(side[2] - own[2], -shrink[k], shrink[k])
    best.offer(pair[k], value[k], own, side)


def offer_sides(best: Best, prisms: PrismTable, pieces: Pieces) -> None:
    """The bar's side against the walls: of each piece the nearest wall first, then what can be nearer
    still.
    """
    row, walls, apart = walls_near(prisms, pieces.prism, pieces.lo, pieces.hi, best.gap[pieces.pair])
    if len(row) == 0:
        return
    begin = np.flatnonzero(np.diff(row, prepend=-1))
    least = np.minimum.reduceat(apart, begin)
    hits = np.flatnonzero(apart == np.repeat(least, np.diff(np.append(begin, len(row)))))
    first = hits[np.flatnonzero(np.diff(row[hits], prepend=-1))]
    _offer_walls(best, pieces, row[first], walls.take(first))
    apart[first] = np.inf
    rest = np.flatnonzero(apart < best.gap[pieces.pair[row]] - CLOSER)
    _offer_walls(best, pieces, row[rest], walls.take(rest), apart[rest])


def _offer_walls(best: Best, pieces: Pieces, row: Index, walls: Walls, apart: Array | None = None) -> None:
    """Pieces `row` against a wall each: straight ones in closed form, the others by a bounded search."""
    bent, arc = pieces.bent[row], walls.edges.arc
    k = np.flatnonzero(~bent & ~arc)
    if len(k):
        some, side, rows = pieces.curve.take(row[k]), walls.take(k), row[k]
        t = segment_to_flat_wall(some.base, some.u, side)
        point = some.base + some.u * t
        foot = side.feet(point)
        off = point - foot
        dist = norm(off)
        slope = dot(off, some.u)
        # a centerline that only just ends on a wall says nothing of directions: its depth decides (`depths`)
        square = ((t > 0.0) & (t < 1.0)) | ((np.abs(slope) <= SQUARE * some.speed * dist) & (dist > 0.0))
        _offer_side(best, pieces.take(rows), dist, point, foot, square)
    long = (pieces.curve.span[row] > _SHORT) | (np.count_nonzero(bent) <= _FEW)
    for chosen, count in ((~bent & arc, 0), (bent & ~long, 4), (bent & long, 7)):
        if apart is not None:
            # what was found by now may rule out more
            chosen = chosen & (apart < best.gap[pieces.pair[row]] - CLOSER)
        k = np.flatnonzero(chosen)
        for bound in (_circle_to_walls, _chord_to_walls) if count else ():
            if len(k):
                low = bound(pieces.take(row[k]), walls.take(k))
                k = k[low < best.gap[pieces.pair[row[k]]] - CLOSER]
        if len(k):
            _search_walls(best, pieces.take(row[k]), walls.take(k), count)


def _search_walls(best: Best, pieces: Pieces, walls: Walls, count: int) -> None:
    """Pieces against a wall each, from `count` evenly spaced nodes (0: the nodes of lines)."""
    curve, radius = pieces.curve, pieces.radius
    nodes = even_nodes(curve.span, count) if count else line_nodes(curve, walls)
    cut = best.gap[pieces.pair] + radius - CLOSER
    # the centerline is in the bar: no gap is more than its distance
    for knot in (pieces.start, pieces.end):
        cut = np.minimum(cut, norm(knot - walls.feet(knot)) + radius)
    dist, t = search(curve, walls, nodes, cut, radius == 0.0)
    found = np.flatnonzero(np.isfinite(dist))
    point = curve.take(found).at(t[found])[0]
    foot = walls.take(found).feet(point)
    _offer_side(best, pieces.take(found), dist[found], point, foot, np.ones(len(found), dtype=bool))


def _circle_to_walls(bends: Pieces, walls: Walls) -> Array:
    """(n,) what bends are from walls at least: their whole circle from the wall's middle, less the wall's
    size.
    """
    lo, hi = walls.edges.boxes
    low, high = np.array([*lo.T, walls.bottom]), np.array([*hi.T, walls.top])
    curve = bends.curve
    size = norm(high - low) / 2.0
    bend = curve.speed
    rel = (low + high) / 2.0 - curve.base
    a, b = dot(rel, curve.w) / bend, dot(rel, curve.v) / bend
    rise2 = np.maximum(dot(rel, rel) - a * a - b * b, 0.0)
    return np.asarray(np.sqrt((np.hypot(a, b) - bend) ** 2 + rise2) - size - bends.radius)


def _chord_to_walls(bends: Pieces, walls: Walls) -> Array:
    """(n,) what bends are from straight walls at least: the chord's distance, less the sagitta and the
    radius. Nothing is said of round walls, or of more than half a circle.
    """
    low = np.full(len(bends.pair), -np.inf)
    k = np.flatnonzero(~walls.edges.arc & (bends.curve.span <= np.pi + 1e-9))
    if len(k):
        bends, walls = bends.take(k), walls.take(k)
        along = bends.end - bends.start
        point = bends.start + along * segment_to_flat_wall(bends.start, along, walls)
        dist = norm(point - walls.feet(point))
        sagitta = bends.curve.speed * (1.0 - np.cos(np.minimum(bends.curve.span, np.pi) / 2.0))
        low[k] = dist - sagitta - bends.radius
    return low


def _offer_side(best: Best, pieces: Pieces, dist: Array, point: Array, foot: Array, square: Flags) -> None:
    """Offer dist - radius where the direction is square to the centerline, else the centerline point
    itself.
    """
    shrink = np.where(square, pieces.radius, 0.0)
    share = np.minimum(shrink / np.where(dist > 0.0, dist, 1.0), 1.0)
    best.offer(pieces.pair, dist - shrink, point + (foot - point) * share, foot)
