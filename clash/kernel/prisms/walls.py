"""Distances from curves to the walls of prisms: an outline edge times a range of heights.

A wall is closed: its rim edges and corners belong to it. All vectors are components first, (3, n), in the
prism's own frame.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from clash.kernel.bars.vec import dot, norm
from clash.kernel.prism_table import Edges
from clash.kernel.prisms.plan import Flags, feet
from clash.kernel.tables import Index
from models.motion import Array

_SIFTED = (1, 3, 6, 9, 12)
SQUARE = 1e-7
"""Largest cosine between a nearest direction and the centerline that still counts as square to it."""


class Walls(Struct, frozen=True, eq=False):
    """Walls in columns: an edge each, and heights from bottom to top, (n,) mm."""

    edges: Edges
    bottom: Array
    top: Array

    def take(self, which: Index | Flags) -> Walls:
        """Some of the walls."""
        return Walls(self.edges.take(which), self.bottom[which], self.top[which])

    def feet(self, points: Array) -> Array:
        """Nearest point of wall k to point k, (3, n)."""
        fx, fy = feet(self.edges, points[0], points[1])
        return np.array([fx, fy, np.minimum(np.maximum(points[2], self.bottom), self.top)])


class Curves(Struct, frozen=True, eq=False):
    """Lines and circular arcs in columns: base + u t + w cos t + v sin t, for t from 0 to span.

    A line has w = v = 0 and span 1; an arc has u = 0 and w, v square to each other, as long as its radius.
    """

    base: Array
    u: Array
    w: Array
    v: Array
    span: Array

    def take(self, which: Index) -> Curves:
        """Some of the curves."""
        return Curves(
            self.base.take(which, axis=1),
            self.u.take(which, axis=1),
            self.w.take(which, axis=1),
            self.v.take(which, axis=1),
            self.span[which],
        )

    @staticmethod
    def lines(start: Array, along: Array) -> Curves:
        """Segments from start to start + along, both (3, n)."""
        nothing = np.zeros_like(start)
        return Curves(start, along, nothing, nothing, np.ones(start.shape[1]))

    @staticmethod
    def arcs(center: Array, w: Array, v: Array, span: Array) -> Curves:
        """Arcs about center, from center + w toward center + v."""
        return Curves(center, np.zeros_like(center), w, v, span)

    @property
    def speed(self) -> Array:
        """(n,) mm per unit of t; the same all along."""
        return np.asarray(np.sqrt(dot(self.u, self.u) + dot(self.w, self.w)))

    def at(self, t: Array) -> tuple[Array, Array]:
        """Points and velocities at t (n,), each (3, n)."""
        if not self.w.any():
            return self.base + self.u * t, self.u
        c, s = np.cos(t), np.sin(t)
        if not self.u.any():
            return self.base + self.w * c + self.v * s, self.v * c - self.w * s
        return self.base + self.u * t + self.w * c + self.v * s, self.u - self.w * s + self.v * c


def segment_to_flat_wall(start: Array, along: Array, walls: Walls) -> Array:
    """Parameter t (n,) in [0, 1] of the point of a segment nearest to a straight wall; exact.

    The squared distance is convex and piecewise quadratic in t, so its slope is piecewise linear and rises:
    the zero is found between the two neighboring break points.
    """
    e = walls.edges
    dx, dy = e.ex - e.sx, e.ey - e.sy
    length = np.hypot(dx, dy)
    dx, dy = dx / length, dy / length
    rx, ry = start[0] - e.sx, start[1] - e.sy
    u0, n0 = rx * dx + ry * dy, ry * dx - rx * dy
    u1, n1 = along[0] * dx + along[1] * dy, along[1] * dx - along[0] * dy
    z0, z1 = start[2], along[2]
    flat_u, flat_z = np.abs(u1) < 1e-300, np.abs(z1) < 1e-300
    per_u, per_z = 1.0 / np.where(flat_u, 1.0, u1), 1.0 / np.where(flat_z, 1.0, z1)
    one = np.ones_like(u0)
    breaks = [
        np.zeros_like(u0),
        np.where(flat_u, 0.0, -u0 * per_u),
        np.where(flat_u, 0.0, (length - u0) * per_u),
        np.where(flat_z, 0.0, (walls.bottom - z0) * per_z),
        np.where(flat_z, 0.0, (walls.top - z0) * per_z),
        one,
    ]
    below_t, below = np.zeros_like(u0), np.full_like(u0, -np.inf)
    above_t, above = one.copy(), np.full_like(u0, np.inf)
    nn, nn1 = n0 * n1, n1 * n1
    for t in breaks:
        t = np.minimum(np.maximum(t, 0.0), 1.0)
        u, z = u0 + u1 * t, z0 + z1 * t
        slope = (
            nn
            + nn1 * t
            + u1 * (u - np.minimum(np.maximum(u, 0.0), length))
            + z1 * (z - np.minimum(np.maximum(z, walls.bottom), walls.top))
        )
        lower = (slope < 0.0) & (slope > below)
        below, below_t = np.where(lower, slope, below), np.where(lower, t, below_t)
        upper = (slope >= 0.0) & (slope < above)
        above, above_t = np.where(upper, slope, above), np.where(upper, t, above_t)
    falls, rises = np.isinf(above), np.isinf(below)
    inner = ~falls & ~rises
    with np.errstate(invalid="ignore"):
        share = np.where(inner, -below / np.where(inner, above - below, 1.0), 0.0)
    t = np.where(inner, below_t + (above_t - below_t) * share, np.where(falls, 1.0, 0.0))
    # where the slope is zero from the start (a parallel run), any point of the run serves: take its middle
    level = rises & (above <= 0.0)
    return np.where(level, above_t, t)


def line_nodes(curves: Curves, walls: Walls) -> Array:
    """(13, n) ascending t at which a line may change its manner of nearness to a circular wall, and halfway
    between.
    """
    e = walls.edges
    ux, uy, uz = curves.u
    rx, ry = curves.base[0] - e.cx, curves.base[1] - e.cy
    flat2 = ux * ux + uy * uy
    flat = np.where(flat2 > 0.0, flat2, 1.0)
    nearest = np.where(flat2 > 0.0, -(rx * ux + ry * uy) / flat, 0.0)
    off2 = (rx + ux * nearest) ** 2 + (ry + uy * nearest) ** 2
    reach = np.where(flat2 > 0.0, np.sqrt(np.maximum(e.radius**2 - off2, 0.0) / flat), 0.0)
    rise = np.where(np.abs(uz) > 1e-300, uz, 1.0)
    z = [np.where(np.abs(uz) > 1e-300, (h - curves.base[2]) / rise, 0.0) for h in (walls.bottom, walls.top)]
    marks = np.array(
        [np.zeros_like(z[0]), z[0], z[1], nearest - reach, nearest, nearest + reach, curves.span]
    )
    marks = np.sort(np.clip(marks, 0.0, 1.0), axis=0)
    nodes = np.empty((13, marks.shape[1]))
    nodes[::2] = marks
    nodes[1::2] = (marks[:-1] + marks[1:]) / 2.0
    return nodes


def even_nodes(span: Array, count: int) -> Array:
    """(count, n) evenly spaced t from 0 to span."""
    return np.linspace(0.0, 1.0, count)[:, None] * span


def search(
    curves: Curves, walls: Walls, nodes: Array, cut: Array, anywhere: Flags | bool
) -> tuple[Array, Array]:
    """Least distance (n,) from a curve to its wall where the direction is square to the curve, and its t
    (n,).

    Infinite where there is none below `cut` (n,). With `anywhere` every point of the curve counts, square or
    not (the rim of a flat end). Distance is 1-Lipschitz along the curve: intervals that cannot go below
    `cut` are dropped, the others are cut in four, and every interval over which the slope turns from falling
    to rising is closed by a bracketed secant search.
    """
    n = len(cut)
    speed = curves.speed
    dist, slope = _slopes(curves, walls, nodes)
    square = (np.abs(slope) <= SQUARE * speed * dist) & (dist > 0.0)
    allowed = np.where(square | anywhere, dist, np.inf)
    k = np.argmin(allowed, axis=0)
    best, best_t = allowed[k, np.arange(n)], nodes[k, np.arange(n)]

    turns = (slope[:-1] < 0.0) & (slope[1:] >= 0.0)
    promise = np.min(np.where(turns, np.minimum(dist[:-1], dist[1:]), np.inf), axis=0)
    cut = np.minimum(np.minimum(cut, promise), best)
    low = (dist[:-1] + dist[1:] - speed * np.diff(nodes, axis=0)) / 2.0
    k, row = np.nonzero((low < cut) & (nodes[1:] > nodes[:-1]))
    if len(row) == 0:
        return best, best_t
    some, side = curves.take(row), walls.take(row)
    t0, t1 = nodes[k, row], nodes[k + 1, row]
    ts = t0 + (t1 - t0) * np.array([[0.0], [0.25], [0.5], [0.75], [1.0]])
    inner = _slopes(some, side, ts[1:4])
    f = np.concatenate([dist[None, k, row], inner[0], dist[None, k + 1, row]])
    g = np.concatenate([slope[None, k, row], inner[1], slope[None, k + 1, row]])
    hits: list[Index] = []
    brackets: list[tuple[Array, Array, Array, Array]] = []
    for a in range(4):
        f0, g0, f1, g1 = f[a], g[a], f[a + 1], g[a + 1]
        near = (f0 + f1 - speed[row] * (ts[a + 1] - ts[a])) / 2.0 < cut[row]
        hit = np.flatnonzero((g0 < 0.0) & (g1 >= 0.0) & near)
        hits.append(hit)
        brackets.append((ts[a][hit], ts[a + 1][hit], g0[hit], g1[hit]))
        if a:
            seen = np.flatnonzero(np.abs(g0) <= SQUARE * speed[row] * f0)
            _keep(best, best_t, row[seen], f0[seen], ts[a][seen])
    hit = np.concatenate(hits)
    if len(hit):
        lo, hi, glo, ghi = (np.concatenate([b[m] for b in brackets]) for m in range(4))
        t, value = _close(some.take(hit), side.take(hit), lo, hi, glo, ghi)
        _keep(best, best_t, row[hit], value, t)
    return best, best_t


def _keep(best: Array, best_t: Array, row: Index, value: Array, t: Array) -> None:
    """Keep what is less; rows may repeat."""
    order = np.argsort(-value, kind="stable")
    order = order[value[order] < best[row[order]]]
    best[row[order]], best_t[row[order]] = value[order], t[order]


def _slope(curves: Curves, walls: Walls, t: Array) -> tuple[Array, Array]:
    """Distance (n,) at t, and half the derivative (n,) of its square."""
    point, velocity = curves.at(t)
    off = point - walls.feet(point)
    return norm(off), dot(off, velocity)


def _slopes(curves: Curves, walls: Walls, t: Array) -> tuple[Array, Array]:
    """The same at t (k, n), in one go."""
    every = np.tile(np.arange(t.shape[1]), len(t))
    dist, slope = _slope(curves.take(every), walls.take(every), t.ravel())
    return dist.reshape(t.shape), slope.reshape(t.shape)


def _close(curves: Curves, walls: Walls, lo: Array, hi: Array, glo: Array, ghi: Array) -> tuple[Array, Array]:
    """Close brackets of the slope's zero; t and distance, each (n,).

    Secant steps that halve the kept end's slope, every third a halving of the bracket. Rows that are square
    to SQUARE / 100 are done and set aside from time to time.
    """
    row = np.arange(len(lo))
    best_t, best = lo.copy(), np.full(len(lo), np.inf)
    speed = curves.speed
    for step in range(16):
        with np.errstate(invalid="ignore", divide="ignore"):
            t = lo + (hi - lo) * (-glo / (ghi - glo))
        t = np.where(np.isfinite(t) & (t >= lo) & (t <= hi), t, (lo + hi) / 2.0)
        if step % 3 == 2:
            t = (lo + hi) / 2.0
        dist, g = _slope(curves, walls, t)
        better = np.flatnonzero(dist < best[row])
        best[row[better]], best_t[row[better]] = dist[better], t[better]
        falls = g < 0.0
        if step % 3 != 2:
            glo, ghi = np.where(falls, glo, glo / 2.0), np.where(falls, ghi / 2.0, ghi)
        lo, hi = np.where(falls, t, lo), np.where(falls, hi, t)
        glo, ghi = np.where(falls, g, glo), np.where(falls, ghi, g)
        if step in _SIFTED:
            open_still = np.flatnonzero(np.abs(g) > SQUARE * 0.01 * speed * dist)
            if len(open_still) == 0:
                break
            row = row[open_still]
            lo, hi, glo, ghi, speed = (x[open_still] for x in (lo, hi, glo, ghi, speed))
            curves, walls = curves.take(open_still), walls.take(open_still)
    return best_t, best
