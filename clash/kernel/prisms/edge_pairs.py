"""Distances between plan edges, straight and circular, in closed form."""

from __future__ import annotations

import numpy as np

from clash.kernel.prism_table import Edges
from clash.kernel.prisms.plan import feet
from clash.kernel.tables import Index
from models.motion import Array


class _Least:
    """A running minimum of squared distances with its two points, components first."""

    def __init__(self, n: int) -> None:
        self.d2: Array = np.full(n, np.inf)
        self.a: Array = np.full((2, n), np.nan)
        self.b: Array = np.full((2, n), np.nan)

    def offer(self, k: Index, a: Array, b: Array) -> None:
        """Points a, b (2, m) of rows k, each row once."""
        d2 = (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2
        m = np.flatnonzero(d2 < self.d2[k])
        self.d2[k[m]], self.a[:, k[m]], self.b[:, k[m]] = d2[m], a[:, m], b[:, m]


def edge_to_edge(one: Edges, two: Edges) -> tuple[Array, Array, Array]:
    """Distance (n,) between edges k of `one` and `two`, and the nearest points (2, n) of each; 0 where they
    meet.

    Candidates are all there can be: an end against the other edge, points whose direction runs through a
    center, and crossings. Each is a real pair of points, so the least is the distance.
    """
    n = len(one)
    least = _Least(n)
    everything = np.arange(n)
    for x, y in ((one.sx, one.sy), (one.ex, one.ey)):
        least.offer(everything, np.stack([x, y]), np.stack(feet(two, x, y)))
    for x, y in ((two.sx, two.sy), (two.ex, two.ey)):
        least.offer(everything, np.stack(feet(one, x, y)), np.stack([x, y]))
    k = np.flatnonzero(~one.arc & ~two.arc)
    if len(k):
        _segments(least, k, one.take(k), two.take(k))
    k = np.flatnonzero(~one.arc & two.arc)
    if len(k):
        at = _segment_and_arc(one.take(k), two.take(k))
        for points, valid in at:
            m = np.flatnonzero(valid)
            least.offer(k[m], points[:, m], np.stack(feet(two.take(k[m]), *points[:, m])))
    k = np.flatnonzero(one.arc & ~two.arc)
    if len(k):
        at = _segment_and_arc(two.take(k), one.take(k))
        for points, valid in at:
            m = np.flatnonzero(valid)
            least.offer(k[m], np.stack(feet(one.take(k[m]), *points[:, m])), points[:, m])
    k = np.flatnonzero(one.arc & two.arc)
    if len(k):
        a, b = one.take(k), two.take(k)
        for points in arc_points_toward(a, b):
            x, y = feet(a, *points)
            least.offer(k, np.stack([x, y]), np.stack(feet(b, x, y)))
    return np.sqrt(least.d2), least.a, least.b


def _segments(least: _Least, k: Index, one: Edges, two: Edges) -> None:
    """Two segments that cross."""
    ax, ay = one.ex - one.sx, one.ey - one.sy
    bx, by = two.ex - two.sx, two.ey - two.sy
    rx, ry = two.sx - one.sx, two.sy - one.sy
    turn = ax * by - ay * bx
    with np.errstate(divide="ignore", invalid="ignore"):
        s = (rx * by - ry * bx) / turn
        t = (rx * ay - ry * ax) / turn
    m = np.flatnonzero((s > 0.0) & (s < 1.0) & (t > 0.0) & (t < 1.0))
    at = np.stack([one.sx[m] + s[m] * ax[m], one.sy[m] + s[m] * ay[m]])
    least.offer(k[m], at, at)


def _segment_and_arc(
    line: Edges, arc: Edges
) -> list[tuple[Array, np.ndarray[tuple[int], np.dtype[np.bool_]]]]:
    """Points (2, n) of segments where one may be nearest to an arc, or cross it, and whether each is on the
    segment.
    """
    dx, dy = line.ex - line.sx, line.ey - line.sy
    length2 = dx * dx + dy * dy
    middle = ((arc.cx - line.sx) * dx + (arc.cy - line.sy) * dy) / length2
    off2 = (line.sx + middle * dx - arc.cx) ** 2 + (line.sy + middle * dy - arc.cy) ** 2
    half = np.sqrt(np.maximum(arc.radius**2 - off2, 0.0) / length2)
    return [
        (np.stack([line.sx + t * dx, line.sy + t * dy]), np.asarray((t > 0.0) & (t < 1.0)))
        for t in (middle, middle - half, middle + half)
    ]


def arc_points_toward(one: Edges, two: Edges) -> list[Array]:
    """Points (2, n) on the circles of arcs `one` where they may be nearest to, deepest in or crossing arcs
    `two`.
    """
    dx, dy = two.cx - one.cx, two.cy - one.cy
    d = np.hypot(dx, dy)
    apart = np.where(d > 0.0, d, 1.0)
    ux, uy = np.where(d > 0.0, dx / apart, one.mx), np.where(d > 0.0, dy / apart, one.my)
    along = np.where(d > 0.0, (d * d + one.radius**2 - two.radius**2) / (2.0 * apart), one.radius)
    along = np.clip(along, -one.radius, one.radius)
    aside = np.sqrt(np.maximum(one.radius**2 - along**2, 0.0))
    out = []
    for a, b in ((one.radius, 0.0), (-one.radius, 0.0), (along, aside), (along, -aside)):
        out.append(np.stack([one.cx + ux * a - uy * b, one.cy + uy * a + ux * b]))
    return out
