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

_STEPS = 8


def plan_depth(prisms: PrismTable, plans: Plans, shared: NDArray[np.bool_]) -> tuple[Array, Array, Array]:
    """Depth (n,) of the deepest outline point inside the other outline, and that point (x, y) in i's frame.

    Looked at: evenly spaced points of every edge, and for every two edges the points of one that can be
    deepest in the other's region (toward a center, square to a straight edge). Where edges cross but no such
    point lies inside (two narrow strips across each other), how far the crossing is from the edges' ends
    stands in, so that the sign is right.
    """
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

    d, at, _ = edge_to_edge(one, two)
    ends = [(a, b, e) for e, f in ((one, two), (two, one)) for a, b in ((f.sx, f.sy), (f.ex, f.ey))]
    reach = np.min([np.hypot(x - fx, y - fy) for x, y, e in ends for fx, fy in (feet(e, x, y),)], axis=0)
    crossing = np.where(d <= 1e-12, reach, 0.0)
    depth, x, y = np.zeros(n), np.full(n, np.nan), np.full(n, np.nan)
    _deepest(depth, x, y, row, crossing * ~shared[row], at[0], at[1])

    own = [(mine.row, *points) for points in _along(edges_i)]
    own += [(row[k], *points) for k, points in _special(one, two)]
    other = [(theirs.row, *points) for points in _along(edges_j)]
    other += [(row[k], *points) for k, points in _special(two, one)]
    found_depth, found_x, found_y = np.full(n, -np.inf), x.copy(), y.copy()
    for points, into_j in ((own, True), (other, False)):
        rows = np.concatenate([r for r, _, _ in points])
        px, py = np.concatenate([u for _, u, _ in points]), np.concatenate([v for _, _, v in points])
        seen = plans.to_j(rows, px, py) if into_j else (px, py)
        inside = -boundary(prisms, (plans.j if into_j else plans.i)[rows], *seen)[0]
        _deepest(found_depth, found_x, found_y, rows, inside, px, py)
    better = found_depth > 1e-9
    return (
        np.where(better, found_depth, depth),
        np.where(better, found_x, x),
        np.where(better, found_y, y),
    )


def outline_points(there: PrismTable, plans: Plans) -> tuple[Index, Array, Array]:
    """Evenly spaced points of the outlines of prisms j, in i's frame: which pair (m,), and x, y (m,)."""
    theirs = Ragged.of(there.first, plans.j)
    points = _along(plans.edges_of_j(theirs.row, there.edges.take(theirs.item)))
    row = np.tile(theirs.row, len(points))
    return row, np.concatenate([x for x, _ in points]), np.concatenate([y for _, y in points])


def _deepest(depth: Array, x: Array, y: Array, row: Index, value: Array, px: Array, py: Array) -> None:
    """Keep what is deeper; rows may repeat."""
    order = np.argsort(value, kind="stable")
    order = order[value[order] > depth[row[order]]]
    depth[row[order]], x[row[order]], y[row[order]] = value[order], px[order], py[order]


def _along(edges: Edges) -> list[tuple[Array, Array]]:
    """Evenly spaced points of every edge, its start among them."""
    half = np.arccos(np.clip(edges.reach, -1.0, 1.0)) * np.where(edges.ccw, 1.0, -1.0)
    out = []
    for k in range(_STEPS):
        t = k / _STEPS
        turn = half * (2.0 * t - 1.0)
        c, s = np.cos(turn), np.sin(turn)
        arc_x = edges.cx + edges.radius * (c * edges.mx - s * edges.my)
        arc_y = edges.cy + edges.radius * (s * edges.mx + c * edges.my)
        out.append(
            (
                np.where(edges.arc, arc_x, edges.sx + t * (edges.ex - edges.sx)),
                np.where(edges.arc, arc_y, edges.sy + t * (edges.ey - edges.sy)),
            )
        )
    return out


def _special(one: Edges, two: Edges) -> list[tuple[Index, tuple[Array, Array]]]:
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
    a, b = one.take(k), two.take(k)
    out.append((k, feet(a, b.cx, b.cy)))
    return out
