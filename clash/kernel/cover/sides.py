"""Parts against the formed sides of their containers, whatever the shape."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from clash.kernel.cover.clip import clipped
from clash.kernel.cover.containers import Containers
from clash.kernel.cover.planes import Planes, Reach, bars_to_planes, prisms_to_planes
from clash.kernel.cover.rings import bars_to_rings, prisms_to_rings
from clash.kernel.cover.round import bars_to_cones, prisms_to_cones
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
        # under a chamfer each piece by itself: how near it comes to the side, and how high it reaches
        row, m = pieces.row[edged], len(edged)
        alone = pieces.take(edged).renumbered()
        near = bars_to_rings(alone, containers.rings(), place[k][row])
        up = np.zeros(m, dtype=np.intp)
        crest = -bars_to_planes(alone, m, _LEVEL, up).gap
        return _under_chamfer(whole, row, near, np.minimum(crest, high[k][row]), chamfer[k][row])

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
        near = Reach(whole.gap[edged], whole.at[:, edged], whole.foot[:, edged])
        crest = np.minimum(prisms.box_hi[solid[k][edged], 2], high[k][edged])
        return _under_chamfer(whole, edged, near, crest, chamfer[k][edged])

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


def _under_chamfer(whole: Reach, row: Index, near: Reach, crest: Array, leg: Array) -> Reach:
    """The sides of a ring with the chamfer above them, for pieces (m,) of rows `row`.

    A piece at least `near` from the side and nowhere higher than `crest` (m,) mm is at least this far from
    the chamfer's slope; exactly so where its nearest point is its highest as well.
    """
    gap = (near.gap - leg - crest) * _DIAGONAL
    order = np.argsort(-gap, kind="stable")
    order = order[gap[order] < whole.gap[row[order]]]
    at = near.at[:, order].copy()
    at[2] = crest[order]
    toward = near.foot[:, order] - near.at[:, order]
    toward[2] = 0.0
    size = np.sqrt(np.sum(toward**2, axis=0))
    step = toward / np.where(size > 0.0, size, 1.0) * np.where(near.gap[order] < 0.0, -1.0, 1.0)
    step[2] = 1.0
    target = row[order]
    whole.gap[target], whole.at[:, target] = gap[order], at
    whole.foot[:, target] = at + step * (_DIAGONAL * gap[order])
    return whole
