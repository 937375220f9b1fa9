"""How deep two overlapping outlines lie in each other."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from clash.kernel.prism_table import Edges, PrismTable
from clash.kernel.prisms.edge_pairs import arc_points_toward, edge_to_edge
from clash.kernel.prisms.plan import boundary, feet
from clash.kernel.prisms.plans import Plans
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.tables import Index
from models.motion import Array

_SHALLOW = 0.5
"""mm: overlaps less deep than this are looked at again, more closely."""
_NOTHING = 1e-9
"""mm: a depth of no more than this is contact."""
_GRAZING = 1e-6
"""Sine of the angle below which edges that meet touch and do not cross."""
_INWARD = (0.01, 1.0, 10.0, 50.0)
"""mm: how far inside an outline one looks, where outlines lie on each other."""


def plan_depth(prisms: PrismTable, plans: Plans, shared: NDArray[np.bool_]) -> tuple[Array, Array, Array]:
    """Depth (n,) of the deepest outline point inside the other outline, and that point (x, y) in i's frame.

    Looked at: corners, middles of straight edges and quarter points of circular ones. Where that finds
    little, also, for every two edges, the points of one that can be deepest in the other's region (toward a
    center, square to a straight edge). Where edges cross but no such point lies inside (two narrow strips
    across each other), how far the crossing is from the edges' ends stands in, so that the sign is right.
    Where nothing of either outline lies inside the other, one may still lie on the other (the same beam
    entered twice): then points a little inside one tell, by how deep they lie in both.
    """
    n = len(plans.i)
    depth, x, y = np.zeros(n), np.full(n, np.nan), np.full(n, np.nan)
    mine, theirs = Ragged.of(prisms.first, plans.i), Ragged.of(prisms.first, plans.j)
    edges_i = prisms.edges.take(mine.item)
    edges_j = plans.edges_of_j(theirs.row, prisms.edges.take(theirs.item))
    _look(prisms, plans, (depth, x, y), _along(mine.row, edges_i), into_j=True)
    _look(prisms, plans, (depth, x, y), _along(theirs.row, edges_j), into_j=False)
    k = np.flatnonzero(depth < _SHALLOW)
    if len(k):
        found = _closely(prisms, plans.take(k), shared[k])
        better = found[0] > depth[k]
        for column, value in zip((depth, x, y), found, strict=True):
            column[k[better]] = value[better]
    k = np.flatnonzero(depth <= _NOTHING)
    if len(k):
        inner = _inner_points(prisms, plans.take(k))
        for column, value in zip((depth, x, y), inner, strict=True):
            column[k] = np.where(inner[0] > depth[k], value, column[k])
    return depth, x, y


def _inner_points(prisms: PrismTable, plans: Plans) -> tuple[Array, Array, Array]:
    """Depth (n,) in both outlines of the deepest of some points inside outline i, and that point.

    The points stand at several distances left of the middle of each edge, where the region is.
    """
    n = len(plans.i)
    best = np.zeros(n), np.full(n, np.nan), np.full(n, np.nan)
    mine = Ragged.of(prisms.first, plans.i)
    edges = prisms.edges.take(mine.item)
    dx, dy = edges.ex - edges.sx, edges.ey - edges.sy
    length = np.where(edges.arc, 1.0, np.hypot(dx, dy))
    side = np.where(edges.ccw, -1.0, 1.0)
    left_x, left_y = (np.where(edges.arc, side * m, w / length) for m, w in ((edges.mx, -dy), (edges.my, dx)))
    middle_x = np.where(edges.arc, edges.cx + edges.radius * edges.mx, (edges.sx + edges.ex) / 2.0)
    middle_y = np.where(edges.arc, edges.cy + edges.radius * edges.my, (edges.sy + edges.ey) / 2.0)
    for step in _INWARD:
        x, y = middle_x + step * left_x, middle_y + step * left_y
        in_i = -boundary(prisms, plans.i[mine.row], x, y)[0]
        in_j = -boundary(prisms, plans.j[mine.row], *plans.to_j(mine.row, x, y))[0]
        _deepest(best, mine.row, np.minimum(in_i, in_j), x, y)
    return best


def _closely(prisms: PrismTable, plans: Plans, shared: NDArray[np.bool_]) -> tuple[Array, Array, Array]:
    """The same by every two edges."""
    n = len(plans.i)
    mine, theirs = Ragged.of(prisms.first, plans.i), Ragged.of(prisms.first, plans.j)
    edges_i = prisms.edges.take(mine.item)
    edges_j = plans.edges_of_j(theirs.row, prisms.edges.take(theirs.item))
    counts = np.diff(np.append(theirs.offset, len(theirs.row)))
    times = counts[mine.row]
    p = np.repeat(np.arange(len(mine.row)), times)
    q = np.arange(len(p)) + np.repeat(theirs.offset[mine.row] - (np.cumsum(times) - times), times)
    row = mine.row[p]
    one, two = edges_i.take(p), edges_j.take(q)
    depth, x, y = np.zeros(n), np.full(n, np.nan), np.full(n, np.nan)
    _look(prisms, plans, (depth, x, y), _special(row, one, two), into_j=True)
    _look(prisms, plans, (depth, x, y), _special(row, two, one), into_j=False)

    d, at, _ = edge_to_edge(one, two)
    ends = [(a, b, e) for e, f in ((one, two), (two, one)) for a, b in ((f.sx, f.sy), (f.ex, f.ey))]
    reach = np.min([np.hypot(u - fx, v - fy) for u, v, e in ends for fx, fy in (feet(e, u, v),)], axis=0)
    across = np.abs(_turn_between(one, two, at)) > _GRAZING
    crossing = np.where((d <= 1e-12) & across & ~shared[row] & (depth[row] <= _NOTHING), reach, 0.0)
    _deepest((depth, x, y), row, crossing, at[0], at[1])
    return depth, x, y


def _turn_between(one: Edges, two: Edges, at: Array) -> Array:
    """Sine (n,) of the angle between edges that meet at points (2, n)."""
    ways = []
    for edges in (one, two):
        x = np.where(edges.arc, edges.cy - at[1], edges.ex - edges.sx)
        y = np.where(edges.arc, at[0] - edges.cx, edges.ey - edges.sy)
        size = np.hypot(x, y)
        ways.append((x / size, y / size))
    (ax, ay), (bx, by) = ways
    return np.asarray(ax * by - ay * bx)


def outline_points(there: PrismTable, plans: Plans) -> tuple[Index, Array, Array]:
    """Points of the outlines of prisms j, in i's frame: which pair (m,), and x, y (m,).

    Corners, middles of straight edges, quarter points of circular ones.
    """
    theirs = Ragged.of(there.first, plans.j)
    return _along(theirs.row, plans.edges_of_j(theirs.row, there.edges.take(theirs.item)))


Columns = tuple[Array, Array, Array]


def _look(
    prisms: PrismTable, plans: Plans, best: Columns, points: tuple[Index, Array, Array], into_j: bool
) -> None:
    """Keep points (row, x, y), in i's frame, that lie deeper inside the other outline."""
    row, x, y = points
    seen = plans.to_j(row, x, y) if into_j else (x, y)
    inside = -boundary(prisms, (plans.j if into_j else plans.i)[row], *seen)[0]
    _deepest(best, row, inside, x, y)


def _deepest(best: Columns, row: Index, value: Array, px: Array, py: Array) -> None:
    """Keep what is deeper; rows may repeat."""
    depth, x, y = best
    order = np.argsort(value, kind="stable")
    order = order[value[order] > depth[row[order]]]
    depth[row[order]], x[row[order]], y[row[order]] = value[order], px[order], py[order]


def _along(row: Index, edges: Edges) -> tuple[Index, Array, Array]:
    """Starts and middles of straight edges, starts and quarter points of circular ones."""
    rows, xs, ys = [row], [edges.sx], [edges.sy]
    k = np.flatnonzero(~edges.arc)
    rows.append(row[k])
    xs.append((edges.sx[k] + edges.ex[k]) / 2.0)
    ys.append((edges.sy[k] + edges.ey[k]) / 2.0)
    k = np.flatnonzero(edges.arc)
    if len(k):
        arcs = edges.take(k)
        half = np.arccos(np.clip(arcs.reach, -1.0, 1.0))
        for share in (-0.5, 0.0, 0.5):
            c, s = np.cos(half * share), np.sin(half * share)
            rows.append(row[k])
            xs.append(arcs.cx + arcs.radius * (c * arcs.mx - s * arcs.my))
            ys.append(arcs.cy + arcs.radius * (s * arcs.mx + c * arcs.my))
    return np.concatenate(rows), np.concatenate(xs), np.concatenate(ys)


def _special(row: Index, one: Edges, two: Edges) -> tuple[Index, Array, Array]:
    """Points of edges `one` that can be deepest as seen from edges `two`, and the rows that they belong
    to.
    """
    k = np.flatnonzero(one.arc & two.arc)
    a = one.take(k)
    out = [(k, feet(a, *points)) for points in arc_points_toward(a, two.take(k))[:2]]
    k = np.flatnonzero(one.arc & ~two.arc)
    a, b = one.take(k), two.take(k)
    dx, dy = b.ex - b.sx, b.ey - b.sy
    scale = a.radius / np.hypot(dx, dy)
    out.append((k, feet(a, a.cx + dy * scale, a.cy - dx * scale)))
    out.append((k, feet(a, a.cx - dy * scale, a.cy + dx * scale)))
    k = np.flatnonzero(~one.arc & two.arc)
    out.append((k, feet(one.take(k), two.cx[k], two.cy[k])))
    x = np.concatenate([points[0] for _, points in out])
    y = np.concatenate([points[1] for _, points in out])
    return row[np.concatenate([k for k, _ in out])], x, y
