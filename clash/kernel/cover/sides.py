"""Parts against the formed sides of their containers, whatever the shape."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec.structs import replace

from clash.kernel.bars.vec import norm
from clash.kernel.cover.clip import Clipped, clipped
from clash.kernel.cover.containers import Containers
from clash.kernel.cover.crest import bars_to_crests, crest_from_side, prisms_to_crests, through
from clash.kernel.cover.planes import Reach, bars_to_planes, prisms_to_planes
from clash.kernel.cover.rings import bars_to_rings, prisms_to_rings
from clash.kernel.cover.round import bars_to_cones, prisms_to_cones
from clash.kernel.cover.slopes import bars_to_slopes
from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.tables import Index, SweptTable
from models.motion import Array

_DIAGONAL = np.sqrt(0.5)
_LEVEL = 1e-9
"""mm: a foot no higher than this above the top of concrete is on the slope."""
Measure = Callable[[Index], Reach]


def bars_to_sides(swept: SweptTable, solid: Index, containers: Containers, container: Index) -> Reach:
    """Gaps from bars `solid` (n,) to the sides and chamfers of containers (n,), between their heights."""
    low, high, chamfer, place = _columns(containers, container)

    def crest(k: Index) -> Reach:
        return bars_to_crests(swept, solid[k], containers, container[k])

    def lower_by_slope(whole: Reach, row: Index, found: Reach, k: Index) -> None:
        """The same for convex and round outlines, where what stands through the top is told from its side."""
        out = np.flatnonzero(through(swept, solid[k]) & (chamfer[k] > 0.0) & (whole.gap > chamfer[k]))
        _lower(whole, out, crest_from_side(whole.take(out), chamfer[k[out]]))
        rest = np.flatnonzero(~np.isin(row, out))
        _lower_by_slope(whole, row[rest], found.take(rest), k, crest)

    def between_planes(k: Index) -> Reach:
        pieces = clipped(swept, solid[k], low[k], high[k])
        whole = bars_to_planes(pieces, len(k), containers.planes(), place[k])
        near = _near_slope(pieces, whole, chamfer[k])
        slopes = containers.slopes()
        spread = Ragged.of(slopes.first, place[k[near.row]])
        row, n = near.row[spread.row], len(spread.row)
        each = replace(near.take(spread.row), row=np.arange(n))
        lower_by_slope(whole, row, bars_to_planes(each, n, slopes.apart(), spread.item), k)
        return whole

    def round_side(k: Index) -> Reach:
        pieces = clipped(swept, solid[k], low[k], high[k])
        whole = bars_to_cones(pieces, containers.cones(place[k], None))
        near = _near_slope(pieces, whole, chamfer[k])
        row = k[near.row]
        each = replace(near, row=np.arange(len(row)))
        found = bars_to_cones(each, containers.cones(place[row], chamfer[row]))
        lower_by_slope(whole, near.row, found, k)
        return whole

    def ring(k: Index) -> Reach:
        pieces = clipped(swept, solid[k], low[k], high[k])
        whole = bars_to_rings(pieces, containers.rings(), place[k])
        near = _near_slope(pieces, whole, chamfer[k])
        if len(near.row):
            found = bars_to_slopes(near, containers.rings(), place[k[near.row]], chamfer[k[near.row]])
            _lower_by_slope(whole, near.row, found, k, crest)
        return whole

    return _by_shape(containers, container, between_planes, round_side, ring)


def prisms_to_sides(prisms: PrismTable, solid: Index, containers: Containers, container: Index) -> Reach:
    """Gaps from prisms `solid` (n,) to the sides and chamfers of containers (n,), between their heights."""
    low, high, chamfer, place = _columns(containers, container)

    def crest(k: Index) -> Reach:
        return prisms_to_crests(prisms, solid[k], containers, container[k])

    def between_planes(k: Index) -> Reach:
        whole = prisms_to_planes(prisms, solid[k], low[k], high[k], containers.planes(), place[k])
        m = np.flatnonzero(chamfer[k] > 0.0)
        if len(m):
            slopes = containers.slopes()
            spread = Ragged.of(slopes.first, place[k[m]])
            row = m[spread.row]
            under = k[row]
            found = prisms_to_planes(
                prisms, solid[under], low[under], high[under], slopes.apart(), spread.item
            )
            _lower_by_slope(whole, row, found, k, crest)
        return whole

    def round_side(k: Index) -> Reach:
        whole = prisms_to_cones(prisms, solid[k], low[k], high[k], containers.cones(place[k], None))
        m = np.flatnonzero(chamfer[k] > 0.0)
        if len(m):
            under = k[m]
            cones = containers.cones(place[under], chamfer[under])
            found = prisms_to_cones(prisms, solid[under], low[under], high[under], cones)
            _lower_by_slope(whole, m, found, k, crest)
        return whole

    def ring(k: Index) -> Reach:
        whole = prisms_to_rings(prisms, solid[k], low[k], high[k], containers.rings(), place[k])
        edged = np.flatnonzero(chamfer[k] > 0.0)
        if len(edged) == 0:
            return whole
        crest = np.minimum(prisms.box_hi[solid[k][edged], 2], high[k][edged])
        gap = (whole.gap[edged] - chamfer[k][edged] - crest) * _DIAGONAL
        at, way = whole.at[:, edged].copy(), whole.foot[:, edged] - whole.at[:, edged]
        way[2] = 0.0
        size = norm(way) * np.where(whole.gap[edged] < 0.0, -1.0, 1.0)
        way /= np.where(size != 0.0, size, 1.0)
        at[2], way[2] = crest, 1.0
        _lower_by_slope(whole, edged, Reach(gap, at, at + way * _DIAGONAL * gap), k, crest)
        return whole

    return _by_shape(containers, container, between_planes, round_side, ring)


def _columns(containers: Containers, container: Index) -> tuple[Array, Array, Array, Index]:
    low, high, chamfer = (
        np.array(column, dtype=float)[container]
        for column in (containers.low, containers.high, containers.chamfer)
    )
    form = np.array(containers.form, dtype=np.intp)[container]
    return low, high, chamfer, np.array(containers.place, dtype=np.intp)[form]


def _by_shape(
    containers: Containers, container: Index, between_planes: Measure, round_side: Measure, ring: Measure
) -> Reach:
    """Measure each row by the shape of its container."""
    n = len(container)
    out = Reach(np.full(n, np.inf), np.full((3, n), np.nan), np.full((3, n), np.nan))
    shape = np.array(containers.shape, dtype="U6")[np.array(containers.form, dtype=np.intp)[container]]
    for name, measure in (("planes", between_planes), ("round", round_side), ("ring", ring)):
        k = np.flatnonzero(shape == name)
        if len(k):
            found = measure(k)
            out.gap[k], out.at[:, k], out.foot[:, k] = found.gap, found.at, found.foot
    return out


def _near_slope(pieces: Clipped, whole: Reach, leg: Array) -> Clipped:
    """The pieces that can be nearer to their container's chamfer (leg (n,) mm, 0 for none) than to its side.

    A piece no nearer to the side than its bar is, and nowhere higher than its crest, is at least
    (gap - leg - crest) / sqrt(2) from the slope.
    """
    bend = norm(pieces.w)
    crest = np.minimum(np.maximum(pieces.start[2], pieces.end[2]) + bend + pieces.radius, 0.0)
    gap, leg = whole.gap[pieces.row], leg[pieces.row]
    return pieces.take(np.flatnonzero((leg > 0.0) & ((gap - leg - crest) * _DIAGONAL < gap)))


def _lower_by_slope(whole: Reach, row: Index, found: Reach, k: Index, crest: Measure) -> None:
    """Lower rows (m,) of `whole` to what was found at the chamfer's slope, where the slope has that foot.

    Where the foot lies above the top of concrete the slope is not there any more, and its crest is nearest
    (`crest` measures rows k of the caller to it): a straight piece and a flat slope are convex, so a nearest
    point that is not on the slope is on its edge.
    """
    above = (found.foot[2] > _LEVEL) & (found.gap > 0.0)
    slope = np.flatnonzero(~above)
    _lower(whole, row[slope], found.take(slope))
    beyond = np.unique(row[above & (found.gap < whole.gap[row])])
    if len(beyond):
        _lower(whole, beyond, crest(k[beyond]))


def _lower(whole: Reach, row: Index, found: Reach) -> None:
    """Lower rows (m,) of `whole` to what was found, where that is less; rows may repeat."""
    order = np.argsort(-found.gap, kind="stable")
    order = order[found.gap[order] < whole.gap[row[order]]]
    target = row[order]
    whole.gap[target], whole.at[:, target] = found.gap[order], found.at[:, order]
    whole.foot[:, target] = found.foot[:, order]
