"""A pier seen along an axis: where its points come to lie on paper, and its parts as marks with depths."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from msgspec import Struct

from models.motion import Array
from models.part import LATERAL, Part
from models.shapes.hull import convex_hull
from models.shapes.mesh import stations
from models.solids import Prism, Swept
from viewer.drawing.layers import PENS, Layer
from viewer.drawing.marks import Area, Box, Mark, Point, Stroke
from viewer.drawing.patterns import darker
from viewer.legend.looks import Look

_CHORD = 0.4
"""mm: how true bends and circles are drawn."""
_PLUMB = 1e-3
_SMALL = 12.0
"""mm on paper: what is smaller has shorter dashes, so that they still tell its shape."""
RIM = 0.1
"""mm on paper: the rim of steel."""


class View(Struct, frozen=True, eq=False):
    """A parallel view.

    right, up, toward: (3,) unit vectors in the pier's frame, toward the viewer; per: mm of the pier in a mm
    of paper; zero: where the pier's origin lies, mm on paper.
    """

    right: Array
    up: Array
    toward: Array
    per: float
    zero: Point

    def on(self, points: Array) -> Array:
        """(n, 2) mm on paper of points (n, 3) of the pier."""
        flat = np.column_stack([points @ self.right, points @ self.up])
        placed: Array = flat / self.per + np.array(self.zero)
        return placed

    def depth(self, points: Array) -> Array:
        """(n,) mm toward the viewer."""
        near: Array = points @ self.toward
        return near

    def one(self, x: float, y: float, z: float) -> Point:
        """Where one point of the pier lies on paper."""
        (at,) = self.on(np.array([[x, y, z]])).tolist()
        return at[0], at[1]


def from_above(per: float, zero: Point) -> View:
    """Seen from above: x to the right, y up."""
    return View(np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0]), per, zero)


def from_side(toward: tuple[float, float], per: float, zero: Point) -> View:
    """Seen level, by somebody who stands out along `toward` in the pier's plan."""
    x, y = toward
    return View(np.array([-y, x, 0.0]), np.array([0.0, 0.0, 1.0]), np.array([x, y, 0.0]), per, zero)


def solid_marks(part: Part, look: Look, view: View) -> Iterator[tuple[float, Mark]]:
    """A part in its color, with the depth at which each of its marks counts."""
    if isinstance(part.solid, Swept):
        yield from _bar(part, part.solid, look, view)
    else:
        rings = silhouette(part.solid, view)
        depth = float(view.depth(_corners(part.solid)).max())
        yield depth, _area(Layer.STEEL, rings, look)


def cut_bar(part: Part, look: Look, view: View) -> Mark:
    """An upright bar cut across near its upper end, as a plan shows it."""
    assert isinstance(part.solid, Swept)
    knots = part.solid.knots
    (center,) = view.on(knots[[int(np.argmax(knots[:, 2]))]])
    return _area(Layer.STEEL, [_circle(center, part.solid.radius / view.per)], look)


def dashed(rings: list[Array], rim: str = "#000000") -> Area:
    """The outline of what comes after the pour, or lies over or under the cut."""
    pen = PENS[Layer.LATER]
    small = max(float(np.ptp(ring, axis=0).max()) for ring in rings) < _SMALL
    dash = tuple(0.5 * d for d in pen.dash) if small else pen.dash
    return Area(Layer.LATER, tuple(map(points_of, rings)), "", rim, pen.width, dash=dash)


def _circle(center: Array, radius: float) -> Array:
    turn = np.linspace(0.0, 2.0 * np.pi, 48, endpoint=False)
    ring: Array = center + radius * np.column_stack([np.cos(turn), np.sin(turn)])
    return ring


def silhouette(prism: Prism, view: View) -> list[Array]:
    """The rings (n, 2), mm on paper, of a prism: its outline and holes from above, else all that it hides."""
    axis = prism.motion.vectors(np.array([0.0, 0.0, 1.0]))
    if abs(float(axis @ view.toward)) > 1.0 - _PLUMB:
        rings = (prism.outline.outer, *prism.outline.holes)
        return [view.on(_lifted(prism, ring.polyline(_CHORD), prism.top)) for ring in rings]
    # Corners of two faces that fall on one point of the picture differ by rounding alone.
    return [convex_hull(np.round(view.on(_corners(prism)), 6))]


def _corners(prism: Prism) -> Array:
    ring = prism.outline.outer.polyline(_CHORD)
    return np.concatenate([_lifted(prism, ring, prism.bottom), _lifted(prism, ring, prism.top)])


def _lifted(prism: Prism, ring: Array, z: float) -> Array:
    return prism.motion.points(np.column_stack([ring, np.full(len(ring), z)]))


def clipped(ring: Array, box: Box) -> Array:
    """(m, 2) a convex ring cut to a box (Sutherland and Hodgman); empty where nothing is left."""
    for axis, limit, sign in (
        (0, box.left, 1.0),
        (0, box.right, -1.0),
        (1, box.low, 1.0),
        (1, box.high, -1.0),
    ):
        kept: list[Array] = []
        for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True):
            da, db = sign * (a[axis] - limit), sign * (b[axis] - limit)
            if da >= 0.0:
                kept.append(a)
            if (da > 0.0 > db) or (da < 0.0 < db):
                kept.append(a + (b - a) * da / (da - db))
        if not kept:
            return np.zeros((0, 2))
        ring = np.array(kept)
    return ring


def _area(layer: Layer, rings: list[Array], look: Look) -> Area:
    pitch = 1.0 if look.color == look.edge else 0.8
    return Area(layer, tuple(map(points_of, rings)), look.color, rim(look), RIM, look.pattern, pitch)


def rim(look: Look) -> str:
    """The color of a part's rim: its role's where it is coated, else a darker shade."""
    return look.edge if look.edge != look.color else darker(look.color, 0.45)


def points_of(ring: Array) -> tuple[Point, ...]:
    """A ring or line (n, 2) as a mark takes it."""
    return tuple((x, y) for x, y in ring.tolist())


def _bar(part: Part, bar: Swept, look: Look, view: View) -> Iterator[tuple[float, Mark]]:
    line, _ = stations(bar, _CHORD)
    depth = view.depth(line)
    flat = view.on(line)
    if float(np.ptp(flat, axis=0).max()) * view.per < _PLUMB * max(bar.length, 1.0):
        yield float(depth.max()), _area(Layer.STEEL, [_circle(flat[0], bar.radius / view.per)], look)
        return
    for run, at, ends in _runs(line, depth, bar, split=part.role in LATERAL):
        placed = _drawn(view.on(run), bar.radius / view.per, ends)
        if len(placed) > 1:
            yield (
                at,
                Stroke(
                    Layer.STEEL,
                    points_of(placed),
                    2.0 * bar.radius / view.per,
                    look.color,
                    rim(look),
                    RIM,
                    look.pattern,
                ),
            )


def _runs(
    line: Array, depth: Array, bar: Swept, *, split: bool
) -> Iterator[tuple[Array, float, tuple[bool, bool]]]:
    """A bar's line in runs that lie before or behind the middle, each with its depth and which ends go on."""
    low, high = float(depth.min()), float(depth.max())
    if not split or high - low < 4.0 * bar.radius:
        yield line, high, (False, False)
        return
    middle = (low + high) / 2.0
    near = depth >= middle
    starts = [0, *(np.flatnonzero(near[1:] != near[:-1]) + 1).tolist(), len(line)]
    for first, last in pairwise(starts):
        before, after = max(first - 1, 0), min(last + 1, len(line))
        run = line[before:after].copy()
        # Cut at the middle itself, where it goes on into the next run.
        if before < first:
            run[0] = _at_depth(line[first - 1], line[first], depth[first - 1], depth[first], middle)
        if after > last:
            run[-1] = _at_depth(line[last - 1], line[last], depth[last - 1], depth[last], middle)
        at = high if near[first] else low
        yield run, at, (before < first, after > last)


def _at_depth(a: Array, b: Array, da: float, db: float, middle: float) -> Array:
    cut: Array = a + (b - a) * (middle - da) / (db - da)
    return cut


def _drawn(flat: Array, radius: float, ends: tuple[bool, bool]) -> Array:
    """Without steps too short to see; where a run goes on along the view, out to its side as it shows."""
    step = np.linalg.norm(np.diff(flat, axis=0), axis=1) > 1e-3
    keep = np.concatenate([[True], step])
    points: Array = flat[keep].copy()
    if len(points) < 2:
        return points
    for on, end, inner in ((ends[0], 0, 1), (ends[1], -1, -2)):
        way = points[end] - points[inner]
        if on:
            points[end] += way / np.linalg.norm(way) * radius
    return points
