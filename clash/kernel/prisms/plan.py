"""Plan geometry: from points to straight and circular edges, and whether points lie inside a region."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from clash.kernel.prism_table import Edges, PrismTable
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.tables import Index
from models.motion import Array

Flags = NDArray[np.bool_]


def feet(edges: Edges, x: Array, y: Array) -> tuple[Array, Array]:
    """Nearest point (fx, fy) of edge k to point k, all (m,) mm; any nearest one where there are several."""
    fx, fy = np.empty_like(x), np.empty_like(y)
    k = np.flatnonzero(~edges.arc)
    if len(k):
        sx, sy = edges.sx[k], edges.sy[k]
        dx, dy = edges.ex[k] - sx, edges.ey[k] - sy
        t = ((x[k] - sx) * dx + (y[k] - sy) * dy) / (dx * dx + dy * dy)
        t = np.minimum(np.maximum(t, 0.0), 1.0)
        fx[k], fy[k] = sx + t * dx, sy + t * dy
    k = np.flatnonzero(edges.arc)
    if len(k):
        fx[k], fy[k] = _arc_feet(edges.take(k) if len(k) < len(edges) else edges, x[k], y[k])
    return fx, fy


def _arc_feet(arcs: Edges, x: Array, y: Array) -> tuple[Array, Array]:
    """Nearest point of each arc; the middle of the arc where the point is its center."""
    rx, ry = x - arcs.cx, y - arcs.cy
    rho = np.hypot(rx, ry)
    within = rx * arcs.mx + ry * arcs.my >= rho * arcs.reach
    at_center = rho < 1e-300
    scale = arcs.radius / np.where(at_center, 1.0, rho)
    fx = arcs.cx + np.where(at_center, arcs.radius * arcs.mx, rx * scale)
    fy = arcs.cy + np.where(at_center, arcs.radius * arcs.my, ry * scale)
    # an arc spans its middle direction whatever its angle, so the middle serves at the center
    out = np.flatnonzero(~within & ~at_center)
    if len(out):
        xo, yo = x[out], y[out]
        sx, sy, ex, ey = arcs.sx[out], arcs.sy[out], arcs.ex[out], arcs.ey[out]
        near_start = (xo - sx) ** 2 + (yo - sy) ** 2 <= (xo - ex) ** 2 + (yo - ey) ** 2
        fx[out], fy[out] = np.where(near_start, sx, ex), np.where(near_start, sy, ey)
    return fx, fy


def crossings(edges: Edges, x: Array, y: Array) -> Flags:
    """(m,) whether edge k flips inside and outside for point k.

    The parity over all edges of a region says whether the point lies inside: the chord polygon by even and
    odd crossings, each arc by the sliver between itself and its chord. A point exactly on a chord is taken
    to lie on the same side in both tests.
    """
    sx, sy, ex, ey = edges.sx, edges.sy, edges.ex, edges.ey
    dy = ey - sy
    cross = (ex - sx) * (y - sy) - (x - sx) * dy
    up = (sy <= y) & (y < ey) & (cross > 0.0)
    down = (ey <= y) & (y < sy) & (cross < 0.0)
    flip = up | down
    k = np.flatnonzero(edges.arc)
    if len(k):
        c, rise, run = cross[k], dy[k], ex[k] - sx[k]
        right = (c < 0.0) | ((c == 0.0) & ((rise > 0.0) | ((rise == 0.0) & (run < 0.0))))
        whole = edges.reach[k] < -1.5
        side = whole | (right == edges.ccw[k])
        near = (x[k] - edges.cx[k]) ** 2 + (y[k] - edges.cy[k]) ** 2 < edges.radius[k] ** 2
        flip[k] ^= side & near
    return flip


def inside(prisms: PrismTable, which: Index, x: Array, y: Array) -> Flags:
    """(k,) whether plan points lie inside the outlines of prisms `which` (k,), in those prisms' own
    frames.
    """
    flags = np.zeros(len(which), dtype=bool)
    lo, hi = prisms.plan_lo[which], prisms.plan_hi[which]
    k = np.flatnonzero((x >= lo[:, 0]) & (x <= hi[:, 0]) & (y >= lo[:, 1]) & (y <= hi[:, 1]))
    if len(k):
        spread = Ragged.of(prisms.first, which[k])
        flip = crossings(prisms.edges.take(spread.item), x[k][spread.row], y[k][spread.row])
        flags[k] = spread.odd(flip)
    return flags


def boundary(prisms: PrismTable, which: Index, x: Array, y: Array) -> tuple[Array, Array, Array]:
    """Signed plan distance (k,) of points to the outlines of prisms `which`, and the foot (fx, fy).

    Negative inside. All in the prisms' own frames.
    """
    spread = Ragged.of(prisms.first, which)
    item, px, py = spread.item, x[spread.row], y[spread.row]
    d2, flip = np.empty(len(item)), np.empty(len(item), dtype=bool)
    arc = prisms.edges.arc[item]
    k = np.flatnonzero(~arc)
    if len(k):
        _straight(prisms.edges, item[k], px[k], py[k], k, d2, flip)
    k = np.flatnonzero(arc)
    if len(k):
        edges = prisms.edges.take(item[k])
        qx, qy = px[k], py[k]
        fx, fy = _arc_feet(edges, qx, qy)
        d2[k] = (qx - fx) ** 2 + (qy - fy) ** 2
        flip[k] = crossings(edges, qx, qy)
    low, at = spread.least(d2)
    fx, fy = feet(prisms.edges.take(item[at]), x, y)
    return np.where(spread.odd(flip), -1.0, 1.0) * np.sqrt(low), fx, fy


def _straight(edges: Edges, item: Index, x: Array, y: Array, k: Index, d2: Array, flip: Flags) -> None:
    """Squared distances and crossings of straight edges `item`, written to rows k."""
    sx, sy, ey = edges.sx[item], edges.sy[item], edges.ey[item]
    dx, dy = edges.ex[item] - sx, ey - sy
    rx, ry = x - sx, y - sy
    t = (rx * dx + ry * dy) / (dx * dx + dy * dy)
    t = np.minimum(np.maximum(t, 0.0), 1.0)
    cross = dx * ry - rx * dy
    flip[k] = ((sy <= y) & (y < ey) & (cross > 0.0)) | ((ey <= y) & (y < sy) & (cross < 0.0))
    rx -= t * dx
    ry -= t * dy
    d2[k] = rx * rx + ry * ry


def signed_distance(prisms: PrismTable, which: Index, points: Array) -> Array:
    """Signed distance (k,) of points (k, 3), in the prisms' own frames, to prisms `which`; negative inside,
    exact.
    """
    flat, _, _ = boundary(prisms, which, points[:, 0], points[:, 1])
    over = np.maximum(prisms.bottom[which] - points[:, 2], points[:, 2] - prisms.top[which])
    out = np.hypot(np.maximum(flat, 0.0), np.maximum(over, 0.0))
    return np.where((flat < 0.0) & (over < 0.0), np.maximum(flat, over), out)
