"""From which fixed view a spot is seen best, and which parts are in the way and have to come off.

Pure geometry in the pier's frame. A look is a bundle of parallel rays: what a part's shadow along them covers
within `CLEAR_ROUND` mm of the spot, and lies nearer to the eye, is in the way. Bars are a centerline true to
`_CHORD` and widened by the radius, prisms are looked at by their triangles.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import sqrt

import numpy as np
from msgspec import Struct

from models.motion import Array
from models.part import Part
from models.pier import Pier
from models.shapes.mesh import mesh_of, stations
from models.solids import Swept
from viewer.scene.cameras import FIXED, View, toward, turn_of

CLEAR_ROUND = 12.0
"""mm round the spot that has to be seen."""
_CHORD = 1.0
_A_POINT = 0.5
"""mm: points nearer than this are one."""
_IN_FRONT = 1.0
"""mm that something has to lie nearer to the eye than the spot to hide it."""
_OWN_HIDES = 0.8
"""What it costs when the finding's own two parts, which cannot come off, hide the spot."""
_EACH_OFF, _DEEP = 0.02, 0.15
"""What it costs to take off one part; to look through as much concrete as the pier is wide."""


class Sight(Struct, frozen=True):
    """view: where to stand; off: indices of parts in the way; faces: of the concrete, to be taken off."""

    view: View
    off: frozenset[int]
    faces: frozenset[View]


class Spot(Struct, frozen=True, eq=False):
    """Where a finding is: its two nearest points, (3,) mm in the pier's frame; one twice where they meet.

    own: indices of the finding's parts. along: (3,) unit, what has to be seen in its length where no gap is
    measured (a lap is seen from the side); None where any view shows as much. through: (3,) unit, what has to
    be looked along (a rod in its hole), None where nothing has.
    """

    a: Array
    b: Array
    own: tuple[int, ...]
    along: Array | None = None
    through: Array | None = None

    @property
    def middle(self) -> Array:
        """(3,) between the two."""
        half: Array = (self.a + self.b) / 2.0
        return half

    @property
    def length(self) -> float:
        """mm between the two."""
        return float(np.linalg.norm(self.b - self.a))


class Outlook:
    """What can be seen of one pier; its parts are prepared once."""

    def __init__(self, pier: Pier) -> None:
        """Parts as lines and triangles."""
        self._pier = pier
        self._turn = turn_of(pier.frame)
        self._shapes = [_prepared(part) for part in pier.parts]

    def best(self, spot: Spot, absent: Collection[int] = frozenset(), views: Sequence[View] = FIXED) -> Sight:
        """The view that shows a spot best, and what comes off for it; absent: parts that are not there."""
        return min((self._judged(spot, view, absent) for view in views), key=lambda pair: pair[0])[1]

    def sight(self, spot: Spot, view: View, absent: Collection[int] = frozenset()) -> Sight:
        """What has to come off so that a spot is seen from one view."""
        return self._judged(spot, view, absent)[1]

    def _judged(self, spot: Spot, view: View, absent: Collection[int]) -> tuple[float, Sight]:
        """What a view costs (0 shows everything), and the view."""
        out = self._pier.frame.rotation.T @ toward(view, self._turn)
        axes = _across(out)
        points = np.array([spot.a, spot.middle, spot.b])
        off = frozenset(
            i
            for i, shape in enumerate(self._shapes)
            if i not in spot.own
            and i not in absent
            and np.any(shape.ahead(points, out, axes, CLEAR_ROUND) > _IN_FRONT)
        )
        along = spot.along if spot.length < _A_POINT else (spot.b - spot.a) / spot.length
        foreshortened = 0.0 if along is None else min(abs(float(along @ out)), 1.0)
        own = max(
            (float(self._shapes[i].ahead(spot.middle[None], out, axes, 0.0)[0]) for i in spot.own),
            default=-np.inf,
        )
        through, width = _concrete_before(self._pier, spot.middle, out)
        cost = 1.0 - sqrt(1.0 - foreshortened**2)
        cost += 0.0 if spot.through is None else 1.0 - min(abs(float(spot.through @ out)), 1.0)
        cost += _OWN_HIDES * (0.5 + 0.5 * min(own / width, 1.0)) if own > _IN_FRONT else 0.0
        cost += _EACH_OFF * len(off) + _DEEP * through / width
        return cost, Sight(view, off, frozenset({view} if through > 0.0 and view in FIXED else ()))


class _Line(Struct, frozen=True, eq=False):
    """A bar: its centerline (k + 1, 3) and radius."""

    points: Array
    radius: float

    def ahead(self, points: Array, out: Array, axes: Array, round_: float) -> Array:
        line = self.points
        return _bar(line @ axes, line @ out, self.radius, points @ axes, round_) - points @ out


class _Triangles(Struct, frozen=True, eq=False):
    """Anything else: corners (m, 3, 3)."""

    corners: Array

    def ahead(self, points: Array, out: Array, axes: Array, round_: float) -> Array:
        return _triangles(self.corners @ axes, self.corners @ out, points @ axes, round_) - points @ out


def ahead(part: Part, points: Array, out: Array, round_: float) -> Array:
    """(n,) mm by which a part lies before each of (n, 3) points, seen along `out`; -inf where it is beside.

    The greatest depth of what covers a disc of radius `round_` about the point, less the point's own depth;
    an upper bound: by less than the radius of a bar, by less than `round_` times the slope of a prism's face.
    """
    return _prepared(part).ahead(points, out, _across(out), round_)


def _prepared(part: Part) -> _Line | _Triangles:
    if isinstance(part.solid, Swept):
        return _Line(stations(part.solid, _CHORD)[0], part.solid.radius)
    mesh = mesh_of(part.solid, _CHORD)
    return _Triangles(mesh.vertices[mesh.faces])


def _across(out: Array) -> Array:
    """(3, 2): two axes of the picture."""
    right = np.cross(out, np.array([0.0, 0.0, 1.0]) if abs(out[2]) < 0.9 else np.array([1.0, 0.0, 0.0]))
    right /= np.linalg.norm(right)
    return np.column_stack([right, np.cross(out, right)])


def _concrete_before(pier: Pier, point: Array, out: Array) -> tuple[float, float]:
    """mm of concrete between a point and the eye, 0 where the point is outside; and how wide the pier is."""
    ring = pier.concrete.outline.outer.polyline(1.0)
    width = float(np.max(np.ptp(ring, axis=0)))
    if not pier.concrete.bottom - 1.0 <= point[2] <= 1.0:
        return 0.0, width
    if abs(out[2]) > 0.5:
        return max(-float(point[2]), 0.0), width
    return max(float(np.max(ring @ out[:2])) - float(point[:2] @ out[:2]), 0.0), width


def _bar(line: Array, depth: Array, radius: float, at: Array, round_: float) -> Array:
    """(n,): the greatest depth at which a swept circle covers a disc about each of (n, 2) points.

    line: (k + 1, 2) its centerline seen along the rays, depth: (k + 1,). On each piece the part of it that
    lies within radius + round_ of the point is an interval, the root of one quadratic.
    """
    start, along = line[:-1], np.diff(line, axis=0)
    reach = radius + round_
    from_start = at[:, None, :] - start
    square = np.sum(along**2, axis=1)
    dot = np.sum(from_start * along, axis=2)
    away = np.sum(from_start**2, axis=2)
    upright = square < 1e-12
    safe = np.where(upright, 1.0, square)
    mid = dot / safe
    inner = mid**2 - (away - reach**2) / safe
    half = np.sqrt(np.maximum(inner, 0.0))
    low, high = np.maximum(mid - half, 0.0), np.minimum(mid + half, 1.0)
    covers = np.where(upright, away <= reach**2, (inner >= 0.0) & (low <= high))
    d0, rise = depth[:-1], np.diff(depth)
    deepest = np.where(
        upright, np.maximum(d0, d0 + rise), np.maximum(d0 + rise * low, d0 + rise * high)
    )  # of the centerline; its surface is up to a radius nearer to the eye
    steep = np.abs(rise) / np.sqrt(np.maximum(rise**2 + square, 1e-12))
    top = deepest + radius * np.sqrt(np.maximum(1.0 - steep**2, 0.0))
    found: Array = np.max(np.where(covers, top, -np.inf), axis=1)
    return found


def _triangles(corners: Array, depth: Array, at: Array, round_: float) -> Array:
    """(n,): the greatest depth at which triangles (m, 3, 2) cover a disc about each of (n, 2) points.

    The depth is that of the triangle's point nearest to the disc's center, and what its slope may add within
    the disc; triangles seen edge-on are left out, for a closed surface has others there.
    """
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    twice = _cross(b - a, c - a)
    seen = np.abs(twice) > 1e-6
    if not np.any(seen):
        return np.full(len(at), -np.inf)
    a, b, c, depth, twice = a[seen], b[seen], c[seen], depth[seen], twice[seen]
    p = at[:, None, :]
    weights = (
        np.stack([_cross(c - b, p - b), _cross(a - c, p - c), _cross(b - a, p - a)], -1) / twice[:, None]
    )
    inside = np.all(weights >= -1e-9, axis=2)
    best = np.where(inside, 0.0, np.inf)
    at_depth = np.sum(weights * depth, axis=2)
    for i, j in ((0, 1), (1, 2), (2, 0)):
        start, edge = (a, b, c)[i], (a, b, c)[j] - (a, b, c)[i]
        t = np.clip(np.sum((p - start) * edge, axis=2) / np.sum(edge**2, axis=1), 0.0, 1.0)
        away = np.linalg.norm(p - start - t[..., None] * edge, axis=2)
        nearer = away < best
        best = np.where(nearer, away, best)
        at_depth = np.where(nearer, depth[:, i] + t * (depth[:, j] - depth[:, i]), at_depth)
    slope = np.hypot(*_slopes(a, b, c, depth, twice))
    at_depth = np.minimum(at_depth + slope * round_, depth.max(axis=1))
    found: Array = np.max(np.where(best <= round_ + 1e-9, at_depth, -np.inf), axis=1)
    return found


def _slopes(a: Array, b: Array, c: Array, depth: Array, twice: Array) -> tuple[Array, Array]:
    """How fast the depth of triangles (m, 3, 2) rises along the two axes of the picture."""
    rise_b, rise_c = depth[:, 1] - depth[:, 0], depth[:, 2] - depth[:, 0]
    u, v = b - a, c - a
    return (rise_b * v[:, 1] - rise_c * u[:, 1]) / twice, (rise_c * u[:, 0] - rise_b * v[:, 0]) / twice


def _cross(u: Array, v: Array) -> Array:
    product: Array = u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0]
    return product
