"""How far parts reach toward planes: the support of bars and prisms in a direction, in closed form.

Concrete of convex plan is the space between planes (sides, chamfers, top, bottom), so the least of a part's
distances to them is its distance to the concrete's surface, as long as the part is inside.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from clash.kernel.bars.vec import dot, norm
from clash.kernel.cover.clip import Clipped
from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.tables import Index
from models.motion import Array


class Planes(Struct, frozen=True, eq=False):
    """Planes in columns, several to a container: those of container c are first[c] : first[c + 1].

    normal: (3, m) unit, outward; offset: (m,) mm, x . normal <= offset inside.
    """

    first: Index
    normal: Array
    offset: Array

    def apart(self) -> Planes:
        """The same planes, each a container of its own."""
        return Planes(np.arange(len(self.offset) + 1, dtype=np.intp), self.normal, self.offset)


class Reach(Struct, frozen=True, eq=False):
    """Gap (n,) to the nearest plane, infinite where nothing of the part is there; the part's point at (3,
    n), and
    foot (3, n), its foot on that plane.
    """

    gap: Array
    at: Array
    foot: Array

    def take(self, which: Index) -> Reach:
        """Some of the rows."""
        return Reach(self.gap[which], self.at.take(which, axis=1), self.foot.take(which, axis=1))


def _nothing(n: int) -> tuple[Array, Array, Array]:
    return np.full(n, np.inf), np.full((3, n), np.nan), np.full((3, n), np.nan)


def bars_to_planes(pieces: Clipped, rows: int, planes: Planes, container: Index) -> Reach:
    """Least gap of each row's bar (rows of `pieces`) to the planes of its container (rows,)."""
    gap, at, foot = _nothing(rows)
    if len(pieces.row) == 0:
        return Reach(gap, at, foot)
    spread = Ragged.of(planes.first, container[pieces.row])
    k, p = spread.row, spread.item
    normal, radius = planes.normal.take(p, axis=1), pieces.radius[k]
    reach = np.full(len(k), -np.inf)
    for end, tangent, cut in (
        (pieces.start, pieces.from_tangent, pieces.cut_start),
        (pieces.end, pieces.to_tangent, pieces.cut_end),
    ):
        t = tangent.take(k, axis=1)
        lean = dot(normal, t)
        swell2 = 1.0 - lean * lean
        # a level cut: the section is an ellipse; `lean` of the plane's direction is made up by sliding along
        # the bar
        level = np.flatnonzero((cut & ~pieces.bent)[k] & (np.abs(lean) > 0.0))
        if len(level):
            slide = lean[level] / t[2, level]
            swell2[level] = (
                np.sum(normal.take(level, axis=1) ** 2, axis=0) - 2 * slide * normal[2, level] + slide**2
            )
        ends = dot(end.take(k, axis=1), normal) + radius * np.sqrt(np.maximum(swell2, 0.0))
        reach = np.maximum(reach, ends)
    m = np.flatnonzero(pieces.bent[k])
    if len(m):
        b, n = k[m], normal.take(m, axis=1)
        a, s = dot(pieces.w.take(b, axis=1), n), dot(pieces.v.take(b, axis=1), n)
        on = np.mod(np.arctan2(s, a), 2 * np.pi) < pieces.angle[b]
        crest = dot(pieces.center.take(b, axis=1), n) + np.hypot(a, s) + radius[m]
        reach[m] = np.where(on, np.maximum(reach[m], crest), reach[m])
    value = planes.offset[p] - reach
    row = pieces.row[k]
    _keep_least(gap, row, value)
    # points only for the winners
    hit = np.flatnonzero(value == gap[row])[::-1]
    win = np.full(rows, -1, dtype=np.intp)
    win[row[hit]] = hit
    r = np.flatnonzero(win >= 0)
    h = win[r]
    at[:, r] = _bar_points(pieces.take(k[h]), normal.take(h, axis=1))
    foot[:, r] = at[:, r] + normal.take(h, axis=1) * gap[r]
    return Reach(gap, at, foot)


def _keep_least(gap: Array, row: Index, value: Array) -> None:
    """gap[row] = least of itself and value; row ascending."""
    if len(row):
        begin = np.flatnonzero(np.diff(row, prepend=-1))
        gap[row[begin]] = np.minimum(gap[row[begin]], np.minimum.reduceat(value, begin))


def _bar_points(pieces: Clipped, normal: Array) -> Array:
    """(3, n) the point of each piece farthest along its normal."""
    best, out = np.full(len(pieces.row), -np.inf), np.zeros((3, len(pieces.row)))
    for end, t, cut in (
        (pieces.start, pieces.from_tangent, pieces.cut_start),
        (pieces.end, pieces.to_tangent, pieces.cut_end),
    ):
        lean = dot(normal, t)
        side = normal - t * lean
        level = cut & ~pieces.bent & (np.abs(lean) > 0.0)
        rise = np.where(level, t[2], 1.0)
        slide = np.where(level, lean / rise, 0.0)
        side[2] = np.where(level, normal[2] - slide, side[2])
        side[:2] = np.where(level, normal[:2], side[:2])
        size = norm(side)
        arm = side * (pieces.radius / np.where(size > 1e-12, size, np.inf))
        arm = arm - np.where(level, arm[2] / rise, 0.0) * t
        point = end + arm
        value = dot(point, normal)
        better = value > best
        best, out = np.where(better, value, best), np.where(better, point, out)
    a, s = dot(pieces.w, normal), dot(pieces.v, normal)
    size = np.where(np.hypot(a, s) > 0.0, np.hypot(a, s), 1.0)
    point = pieces.center + (pieces.w * a + pieces.v * s) / size + normal * pieces.radius
    on = pieces.bent & (np.mod(np.arctan2(s, a), 2 * np.pi) < pieces.angle)
    better = on & (dot(point, normal) > best)
    return np.where(better, point, out)


def prisms_to_planes(
    prisms: PrismTable, which: Index, low: Array, high: Array, planes: Planes, container: Index
) -> Reach:
    """Least gap of prisms `which` (n,), as far as they stand between heights low and high (n,), to their
    planes.

    A prism that leans is not cut at the heights; one that stands outside them has an infinite gap.
    """
    n = len(which)
    gap, at, foot = _nothing(n)
    if n == 0:
        return Reach(gap, at, foot)
    spread = Ragged.of(planes.first, container)
    row, p = spread.row, spread.item
    turn = prisms.rotation[which[row]]
    normal = planes.normal.take(p, axis=1)
    own = np.einsum("kij,ik->jk", turn, normal)
    shift = prisms.shift[which]
    offset = planes.offset[p] - np.sum(shift[row].T * normal, axis=0)
    leans = np.abs(prisms.rotation[which, 2, 2]) < 1.0 - 1e-12
    up = prisms.rotation[which, 2, 2]
    ends = np.array([prisms.bottom[which] * up, prisms.top[which] * up]) + shift[:, 2]
    z_low, z_high = np.maximum(ends.min(axis=0), low), np.minimum(ends.max(axis=0), high)
    there = leans | (z_low <= z_high)
    flip = np.where(up < 0.0, -1.0, 1.0)
    own_a, own_b = (z_low - shift[:, 2]) * flip, (z_high - shift[:, 2]) * flip
    bottom = np.where(leans, prisms.bottom[which], np.minimum(own_a, own_b))
    top = np.where(leans, prisms.top[which], np.maximum(own_a, own_b))
    z = np.where(own[2] > 0.0, top[row], bottom[row])

    edges = Ragged.of(prisms.first, which[row])
    e = prisms.edges.take(edges.item)
    nx, ny = own[0][edges.row], own[1][edges.row]
    flat = np.hypot(nx, ny)
    unit = np.where(flat > 0.0, flat, 1.0)
    on = e.arc & ((nx * e.mx + ny * e.my) / unit >= e.reach)
    x = np.where(on, e.cx + e.radius * nx / unit, e.sx)
    y = np.where(on, e.cy + e.radius * ny / unit, e.sy)
    low_reach, hit = edges.least(-(x * nx + y * ny))
    value = np.where(there[row], offset - own[2] * z + low_reach, np.inf)
    gap, win = spread.least(value)
    points = np.array([x[hit[win]], y[hit[win]], z[win]])
    at = prisms.from_own(which, points.T).T
    foot = at + normal.take(win, axis=1) * np.where(np.isfinite(gap), gap, 0.0)
    return Reach(gap, at, foot)
