"""How far parts reach toward a round pier's side, and toward the cone of its top chamfer."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec import Struct

from clash.kernel.bars.vec import dot, norm
from clash.kernel.cover.clip import Clipped, Flags
from clash.kernel.cover.planes import Reach
from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.tables import Index
from models.motion import Array

_SHARES = np.linspace(0.0, 1.0, 17)[:, None]
_FINER = 7
"""times that a stretch is looked along, each time an eighth as long: 5e-7 of it is left, 1e-12 of the gap."""
_ROUND = 12
_ALONG = 9
_FINE = 512


class Cones(Struct, frozen=True, eq=False):
    """Round surfaces about upright axes, one to a row: aside * rho + rise * z <= offset inside.

    rho is the distance (mm) from the axis through x, y; aside and rise are the parts of the unit normal: 1
    and 0 for the side, sqrt(1/2) each for a 45 degree chamfer. All (n,).
    """

    x: Array
    y: Array
    aside: Array
    rise: Array
    offset: Array

    def take(self, k: Index) -> Cones:
        """Some of them."""
        return Cones(self.x[k], self.y[k], self.aside[k], self.rise[k], self.offset[k])

    def gap(self, points: Array) -> Array:
        """Distance (..., n) of points (3, ..., n) from the surface, positive inside."""
        rho = np.hypot(points[0] - self.x, points[1] - self.y)
        return np.asarray(self.offset - self.aside * rho - self.rise * points[2])

    def foot(self, points: Array, gap: Array) -> Array:
        """(3, n): the surface point next to each point."""
        dx, dy = points[0] - self.x, points[1] - self.y
        rho = np.hypot(dx, dy)
        ux = np.where(rho > 0.0, dx / np.where(rho > 0.0, rho, 1.0), 1.0)
        uy = np.where(rho > 0.0, dy / np.where(rho > 0.0, rho, 1.0), 0.0)
        there = np.where(np.isfinite(gap), gap, 0.0)
        return np.asarray(points + there * np.array([self.aside * ux, self.aside * uy, self.rise]))


def bars_to_cones(pieces: Clipped, cones: Cones) -> Reach:
    """Least gap of each row's bar (rows of `pieces`, n of them) to its surface.

    A bar reaches farthest out either where its centerline does so square to it, or at a flat or cut end, or
    at a knot: rims are searched all round, bends along their length, each about its best sample to 1e-9 mm.
    """
    n = len(cones.x)
    gap, at = np.full(n, np.inf), np.full((3, n), np.nan)

    def offer(row: Index, value: Array, point: Array) -> None:
        order = np.argsort(-value, kind="stable")
        order = order[value[order] < gap[row[order]]]
        gap[row[order]] = value[order]
        at[:, row[order]] = point[:, order]

    rest: list[tuple[Clipped, Array, Array, Flags, Array]] = []
    for end, tangent, cut in (
        (pieces.start, pieces.from_tangent, pieces.cut_start),
        (pieces.end, pieces.to_tangent, pieces.cut_end),
    ):
        near = cones.take(pieces.row)
        value, point, searched, least = _plain_ends(near, pieces.radius, end, tangent)
        k = np.flatnonzero(~searched)
        offer(pieces.row[k], value[k], point[:, k])
        k = np.flatnonzero(searched)
        rest.append((pieces.take(k), end[:, k], tangent[:, k], (cut & ~pieces.bent)[k], least[k]))
    bends = pieces.take(np.flatnonzero(pieces.bent))
    level = np.maximum(np.abs(bends.w[2]), np.abs(bends.v[2])) <= 1e-9
    for k, measure in ((np.flatnonzero(level), _level_bends), (np.flatnonzero(~level), _bends)):
        if len(k):
            some = bends.take(k)
            offer(some.row, *measure(cones.take(some.row), some))
    for some, end, tangent, level, least in rest:
        k = np.flatnonzero(least < gap[some.row])
        if len(k):
            row = some.row[k]
            found = _rims(cones.take(row), some.radius[k], end[:, k], tangent[:, k], level[k])
            offer(row, *found)
    return Reach(gap, at, cones.foot(at, gap))


def _least_on(curve: Callable[[Array], Array], lo: Array, hi: Array) -> Array:
    """t (n,) of the least value of `curve(t)`, t (k, n), between lo and hi, by ever finer samples."""
    for _ in range(_FINER):
        t = lo + (hi - lo) * _SHARES
        k = np.argmin(curve(t), axis=0)
        step = (hi - lo) / (len(_SHARES) - 1)
        lo, hi = np.maximum(lo + (k - 1) * step, lo), np.minimum(lo + (k + 1) * step, hi)
    return (lo + hi) / 2.0


def _on_circles(center: Array, w: Array, v: Array, t: Array) -> Array:
    """(3, ..., n): center + w cos t + v sin t at t (..., n), the others (3, n)."""
    c, s = np.cos(t), np.sin(t)
    return np.array([center[k] + w[k] * c + v[k] * s for k in range(3)])


def _plain_ends(
    cones: Cones, radius: Array, center: Array, tangent: Array
) -> tuple[Array, Array, Flags, Array]:
    """Least gap (n,) of each end's circle and its point (3, n), where that is plain to see.

    It is so where the bar stands upright, and where it runs square to the surface's normal (a hoop along its
    side). Which ones are left to be searched (n,), and a gap (n,) that they cannot go below.
    """
    middle = cones.gap(center)
    toward = cones.foot(center, np.ones(len(radius))) - center
    lean = dot(toward, tangent)
    upright = np.hypot(tangent[0], tangent[1]) <= 1e-10
    square = np.abs(lean) <= 1e-9
    reach = np.where(upright, cones.aside, 1.0) * radius
    arm = toward * radius
    size = np.hypot(toward[0], toward[1])
    level = toward / np.where(size > 0.0, size, 1.0) * radius
    level[2] = 0.0
    # cut level, a leaning bar's section is an ellipse, longer than its radius
    long = radius / np.maximum(np.abs(tangent[2]), 0.1)
    return middle - reach, center + np.where(upright, level, arm), ~(upright | square), middle - long


def _rims(cones: Cones, radius: Array, center: Array, tangent: Array, level: Flags) -> tuple[Array, Array]:
    """Least gap of the circle (or, cut level, the ellipse) round each end, and its point."""
    dx, dy = center[0] - cones.x, center[1] - cones.y
    rho = np.hypot(dx, dy)
    out = np.array([np.where(rho > 0.0, dx, 1.0), np.where(rho > 0.0, dy, 0.0), np.zeros_like(dx)])
    w = out - tangent * dot(out, tangent)
    size = norm(w)
    # where the bar itself points outward, any direction square to it serves to begin with
    helper = np.array([-out[1], out[0], out[2]])
    w = np.where(size > 1e-9 * np.hypot(out[0], out[1]), w, helper)
    w = w / norm(w)
    v = np.cross(tangent, w, axis=0)
    rise = np.where(level, tangent[2], 1.0)
    for arm in (w, v):
        arm -= np.where(level, arm[2] / rise, 0.0) * tangent
    w, v = w * radius, v * radius

    def point(t: Array) -> Array:
        return _on_circles(center, w, v, t)

    angles = np.arange(_ROUND) * (2 * np.pi / _ROUND)
    values = cones.gap(point(np.repeat(angles[:, None], len(radius), axis=1)))
    best = angles[np.argmin(values, axis=0)]
    step = 2 * np.pi / _ROUND
    t = _least_on(lambda t: cones.gap(point(t)), best - step, best + step)
    found, exact = cones.gap(point(t)), values.min(axis=0)
    t = np.where(found < exact, t, best)
    return np.minimum(found, exact), point(t)


def _level_bends(cones: Cones, bends: Clipped) -> tuple[Array, Array]:
    """The same as `_bends` for bends that lie level: they reach out farthest straight away from the axis."""
    bend = norm(bends.w)
    away = bends.center - np.array([cones.x, cones.y, bends.center[2]])
    size = norm(away)
    away = np.where(size > 0.0, away, bends.w) / np.where(size > 0.0, size, bend)
    t = np.arctan2(dot(away, bends.v), dot(away, bends.w))
    inner = np.mod(t, 2 * np.pi) < bends.angle
    at = bends.center + away * bend
    toward = cones.foot(at, np.ones(len(t))) - at
    return np.where(inner, cones.gap(at) - bends.radius, np.inf), at + toward * bends.radius


def _bends(cones: Cones, bends: Clipped) -> tuple[Array, Array]:
    """Least gap of each bend's side where it stands square to the surface, and its point; infinite where
    nowhere.
    """

    def center(t: Array) -> Array:
        return _on_circles(bends.center, bends.w, bends.v, t)

    nodes = np.linspace(0.0, 1.0, _ALONG)[:, None] * bends.angle
    values = cones.gap(center(nodes))
    k = np.argmin(values, axis=0)
    step = bends.angle / (_ALONG - 1)
    middle = k * step
    t = _least_on(
        lambda t: cones.gap(center(t)),
        np.maximum(middle - step, 0.0),
        np.minimum(middle + step, bends.angle),
    )
    # at an end of the bend the disk there decides
    inner = (t > 1e-7 * bends.angle) & (t < (1.0 - 1e-7) * bends.angle)
    at = center(t)
    gap = np.where(inner, cones.gap(at) - bends.radius, np.inf)
    toward = cones.foot(at, np.ones(len(t))) - at
    return gap, at + toward * bends.radius


def prisms_to_cones(prisms: PrismTable, which: Index, low: Array, high: Array, cones: Cones) -> Reach:
    """Least gap of prisms `which` (n,), as far as they stand between heights low and high (n,), to their
    surfaces.

    Corners and the farthest points of circular edges; of a prism that leans, circular edges are sampled
    (to 1e-4 mm at 25 mm radius) and the prism is not cut at the heights.
    """
    n = len(which)
    gap, at = np.full(n, np.inf), np.full((3, n), np.nan)
    if n == 0:
        return Reach(gap, at, at.copy())
    up = prisms.rotation[which, 2, 2]
    leans = np.abs(up) < 1.0 - 1e-12
    for group, fine in ((np.flatnonzero(~leans), False), (np.flatnonzero(leans), True)):
        if len(group) == 0:
            continue
        spread = Ragged.of(prisms.first, which[group])
        row = group[spread.row]
        e = prisms.edges.take(spread.item)
        points = [np.array([e.sx, e.sy])]
        if fine:
            half = np.arccos(np.clip(e.reach, -1.0, 1.0))
            for turn in np.linspace(-1.0, 1.0, _FINE):
                c, s = np.cos(half * turn), np.sin(half * turn)
                x, y = e.cx + e.radius * (c * e.mx - s * e.my), e.cy + e.radius * (s * e.mx + c * e.my)
                points.append(np.array([np.where(e.arc, x, e.sx), np.where(e.arc, y, e.sy)]))
        else:
            axis = np.stack([cones.x[row], cones.y[row], np.zeros(len(row))]).T
            hub = prisms.to_own(which[row], axis)
            dx, dy = e.cx - hub[:, 0], e.cy - hub[:, 1]
            d = np.hypot(dx, dy)
            ux, uy = np.where(d > 0.0, dx, e.mx), np.where(d > 0.0, dy, e.my)
            d = np.where(d > 0.0, d, 1.0)
            on = e.arc & ((ux * e.mx + uy * e.my) / d >= e.reach)
            x, y = e.cx + e.radius * ux / d, e.cy + e.radius * uy / d
            points.append(np.array([np.where(on, x, e.sx), np.where(on, y, e.sy)]))
        for plan in points:
            for z in (prisms.bottom[which[row]], prisms.top[which[row]]):
                point = prisms.from_own(which[row], np.array([*plan, z]).T).T
                outside = np.zeros(len(row), dtype=bool)
                if not fine:
                    raw = point[2].copy()
                    point[2] = np.clip(raw, low[row], high[row])
                    ends = prisms.shift[which[row], 2] + np.array(
                        [prisms.bottom[which[row]] * up[row], prisms.top[which[row]] * up[row]]
                    )
                    outside = (ends.min(axis=0) > high[row]) | (ends.max(axis=0) < low[row])
                value = np.where(outside, np.inf, cones.take(row).gap(point))
                order = np.argsort(-value, kind="stable")
                order = order[value[order] < gap[row[order]]]
                gap[row[order]] = value[order]
                at[:, row[order]] = point[:, order]
    return Reach(gap, at, cones.foot(at, gap))
