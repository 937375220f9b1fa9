"""Parts against the formed sides of their containers, whatever the shape."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from clash.kernel.cover.clip import clipped
from clash.kernel.cover.containers import Containers
from clash.kernel.cover.planes import Planes, Reach, bars_to_planes, prisms_to_planes
from clash.kernel.cover.rings import bars_to_rings, prisms_to_rings
from clash.kernel.cover.round import bars_to_cones, prisms_to_cones
from clash.kernel.cover.slopes import bars_to_slopes
from clash.kernel.prism_table import PrismTable
from clash.kernel.tables import Index, SweptTable
from models.motion import Array

_DIAGONAL = np.sqrt(0.5)
_LEVEL = Planes(np.array([0, 1], dtype=np.intp), np.array([[0.0], [0.0], [1.0]]), np.zeros(1))

Measure = Callable[[Index], Reach]


def bars_to_sides(swept: SweptTable, solid: Index, containers: Containers, container: Index) -> Reach:
    """Gaps from bars `solid` (n,) to the sides and chamfers of containers (n,), between their heights."""
    low, high, chamfer, place = _columns(containers, container)

    def between_planes(k: Index) -> Reach:
        pieces = clipped(swept, solid[k], low[k], high[k])
        return bars_to_planes(pieces, len(k), containers.planes(), place[k])

    def round_side(k: Index) -> Reach:
        pieces = clipped(swept, solid[k], low[k], high[k])
        return bars_to_cones(pieces, containers.cones(place[k], None))

    def round_chamfer(k: Index) -> Reach:
        pieces = clipped(swept, solid[k], low[k], high[k])
        return bars_to_cones(pieces, containers.cones(place[k], chamfer[k]))

    def ring(k: Index) -> Reach:
        pieces = clipped(swept, solid[k], low[k], high[k])
        whole = bars_to_rings(pieces, containers.rings(), place[k])
        edged = np.flatnonzero(chamfer[k[pieces.row]] > 0.0)
        if len(edged) == 0:
            return whole
        # a piece no nearer to the side than the bar, and no higher than its own crest, may be out of question
        row = pieces.row[edged]
        alone = pieces.take(edged).renumbered()
        crest = -bars_to_planes(alone, len(edged), _LEVEL, np.zeros(len(edged), dtype=np.intp)).gap
        near = (whole.gap[row] - chamfer[k[row]] - np.minimum(crest, high[k[row]])) * _DIAGONAL < whole.gap[
            row
        ]
        m = np.flatnonzero(near)
        if len(m):
            slopes = bars_to_slopes(alone.take(m), containers.rings(), place[k[row[m]]], chamfer[k[row[m]]])
            _lower(whole, row[m], slopes)
        return whole

    return _by_shape(containers, container, chamfer, between_planes, round_side, round_chamfer, ring)


def prisms_to_sides(prisms: PrismTable, solid: Index, containers: Containers, container: Index) -> Reach:
    """Gaps from prisms `solid` (n,) to the sides and chamfers of containers (n,), between their heights."""
    low, high, chamfer, place = _columns(containers, container)

    def between_planes(k: Index) -> Reach:
        return prisms_to_planes(prisms, solid[k], low[k], high[k], containers.planes(), place[k])

    def round_side(k: Index) -> Reach:
        return prisms_to_cones(prisms, solid[k], low[k], high[k], containers.cones(place[k], None))

    def round_chamfer(k: Index) -> Reach:
        return prisms_to_cones(prisms, solid[k], low[k], high[k], containers.cones(place[k], chamfer[k]))

    def ring(k: Index) -> Reach:
        whole = prisms_to_rings(prisms, solid[k], low[k], high[k], containers.rings(), place[k])
        edged = np.flatnonzero(chamfer[k] > 0.0)
        if len(edged) == 0:
            return whole
        crest = np.minimum(prisms.box_hi[solid[k][edged], 2], high[k][edged])
        gap = (whole.gap[edged] - chamfer[k][edged] - crest) * _DIAGONAL
        at, way = whole.at[:, edged].copy(), whole.foot[:, edged] - whole.at[:, edged]
        way[2] = 0.0
        size = np.sqrt(np.sum(way**2, axis=0)) * np.where(whole.gap[edged] < 0.0, -1.0, 1.0)
        way /= np.where(size != 0.0, size, 1.0)
        at[2], way[2] = crest, 1.0
        _lower(whole, edged, Reach(gap, at, at + way * _DIAGONAL * gap))
        return whole

    return _by_shape(containers, container, chamfer, between_planes, round_side, round_chamfer, ring)


def _columns(containers: Containers, container: Index) -> tuple[Array, Array, Array, Index]:
    low, high, chamfer = (
        np.array(column, dtype=float)[container]
        for column in (containers.low, containers.high, containers.chamfer)
    )
    return low, high, chamfer, np.array(containers.place, dtype=np.intp)[container]


def _by_shape(
    containers: Containers,
    container: Index,
    chamfer: Array,
    between_planes: Measure,
    round_side: Measure,
    round_chamfer: Measure,
    ring: Measure,
) -> Reach:
    """Measure each row by the shape of its container."""
    n = len(container)
    out = Reach(np.full(n, np.inf), np.full((3, n), np.nan), np.full((3, n), np.nan))
    shape = np.array(containers.shape, dtype="U6")[container]
    for name, measure in (("planes", between_planes), ("round", round_side), ("ring", ring)):
        k = np.flatnonzero(shape == name)
        if len(k):
            _keep(out, k, measure(k), always=True)
    k = np.flatnonzero((shape == "round") & (chamfer > 0.0))
    if len(k):
        _keep(out, k, round_chamfer(k), always=False)
    return out


def _keep(out: Reach, k: Index, found: Reach, always: bool) -> None:
    """Write rows k where they are less, or always."""
    m = np.flatnonzero((found.gap < out.gap[k]) | always)
    out.gap[k[m]], out.at[:, k[m]], out.foot[:, k[m]] = found.gap[m], found.at[:, m], found.foot[:, m]


def _lower(whole: Reach, row: Index, found: Reach) -> None:
    """Lower rows (m,) of `whole` to what was found, where that is less; rows may repeat."""
    order = np.argsort(-found.gap, kind="stable")
    order = order[found.gap[order] < whole.gap[row[order]]]
    target = row[order]
    whole.gap[target], whole.at[:, target] = found.gap[order], found.at[:, order]
    whole.foot[:, target] = found.foot[:, order]
