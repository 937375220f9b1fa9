"""A flat thing with holes, seen from above: its edges, its figures, its faces, its north corner."""

from __future__ import annotations

from itertools import combinations
from math import atan2, ceil, cos, floor, hypot, pi, sin

import numpy as np
from msgspec import Struct

from models.lengths import Units, show_length
from models.motion import Array, Motion
from models.outline import Loop
from models.winds import wind
from viewer.drawing.layers import Layer
from viewer.drawing.marks import Box, Circle, Fill, Line, Path, Point, path_of
from viewer.drawing.page import Draft
from viewer.paper.running import along_bottom, along_left

ROOM_LEFT, ROOM_LOW, ROOM_RIGHT, ROOM_HIGH = 28.0, 28.0, 6.0, 6.0
"""mm of paper round a plan that its running dimensions and center lines take."""


class Hole(Struct, frozen=True):
    """A round hole: its number, its center and diameter, mm."""

    number: int
    x: float
    y: float
    diameter: float


class Plan(Struct, frozen=True, eq=False):
    """What is drawn: an outline with holes and openings, in the frame of a pier.

    below: the concrete's outline, where it is to be seen; frame: carries the pier's axes to the site's;
    machine: whether the edges go on the layer that a machine cuts.
    """

    outer: Loop
    holes: tuple[Hole, ...]
    openings: tuple[Loop, ...]
    below: Loop | None
    frame: Motion
    machine: bool = False

    @property
    def box(self) -> Box:
        """The upright rectangle round the outline, mm: its left and lower sides are the reference edges."""
        return bounds(self.outer)

    @property
    def extent(self) -> Box:
        """The upright rectangle round everything, mm."""
        box = self.box
        if self.below is None:
            return box
        other = bounds(self.below)
        return Box(
            min(box.left, other.left),
            min(box.low, other.low),
            max(box.right, other.right),
            max(box.high, other.high),
        )

    def edge_names(self) -> tuple[str, str]:
        """The winds of the two reference edges, left and lower."""
        return wind(self.frame, -1.0, 0.0), wind(self.frame, 0.0, -1.0)


def bounds(loop: Loop) -> Box:
    """The upright rectangle round a ring, arcs by closed form, mm."""
    points = [loop.starts]
    for start, sweep, center in zip(loop.starts, loop.sweeps.tolist(), loop.centers, strict=True):
        if sweep:
            arm = start - center
            radius, first = hypot(*arm), atan2(arm[1], arm[0])
            low, high = sorted((first, first + sweep))
            quarters = range(ceil(low / (pi / 2) - 1e-12), floor(high / (pi / 2) + 1e-12) + 1)
            points += [
                center + radius * np.array([[round(cos(q * pi / 2)), round(sin(q * pi / 2))]])
                for q in quarters
            ]
    every: Array = np.concatenate(points)
    (left, low), (right, high) = every.min(axis=0).tolist(), every.max(axis=0).tolist()
    return Box(left, low, right, high)


def draw_plan(draft: Draft, plan: Plan, units: Units) -> list[int]:
    """Draw it with its center lines, its running dimensions, its faces and the numbers of its holes.

    Answers the numbers of the holes beside which there was no room for a number.
    """
    outline, holes, opening = (
        (Layer.CUT,) * 3 if plan.machine else (Layer.OUTLINE, Layer.HOLES, Layer.OPENING)
    )
    draft.add(path_of(outline, plan.outer))
    draft.add(*(Circle(holes, (h.x, h.y), h.diameter / 2.0) for h in plan.holes))
    draft.add(*(path_of(opening, loop) for loop in plan.openings))
    if plan.below is not None and not _same(plan.below, plan.outer):
        draft.add(path_of(Layer.CONCRETE, plan.below))
    if len(plan.outer.starts) == 1:
        box = plan.box
        corners = ((box.left, box.low), (box.right, box.low), (box.right, box.high), (box.left, box.high))
        draft.add(Path(Layer.DIMENSIONS, corners, closed=True))
    _center_lines(draft, plan)
    _diagonals(draft, plan)
    _running(draft, plan, units)
    _north_corner(draft, plan)
    left_out = [
        hole.number
        for hole in plan.holes
        if not draft.beside(
            (hole.x, hole.y), str(hole.number), hole.diameter / 2.0 + 0.8 * draft.per, 2.6, bold=True
        )
    ]
    _faces(draft, plan)
    for loop in plan.openings:
        box = bounds(loop)
        foot = ((box.left + box.right) / 2.0, box.low)
        draft.beside(foot, "cutout" if plan.machine else "pour opening", 0.0)
    return left_out


def _same(a: Loop, b: Loop) -> bool:
    return (
        a.starts.shape == b.starts.shape
        and bool(np.allclose(a.starts, b.starts, atol=1e-6))
        and bool(np.allclose(a.sweeps, b.sweeps))
    )


def _center_lines(draft: Draft, plan: Plan) -> None:
    box, over = plan.box, 3.0 * draft.per
    draft.add(Line(Layer.CENTER, (box.left, 0.0), (box.right + over, 0.0)))
    draft.add(Line(Layer.CENTER, (0.0, box.low), (0.0, box.high + over)))
    for hole in plan.holes:
        arm = hole.diameter / 2.0 + 1.5 * draft.per
        draft.add(Line(Layer.CENTER, (hole.x - arm, hole.y), (hole.x + arm, hole.y)))
        draft.add(Line(Layer.CENTER, (hole.x, hole.y - arm), (hole.x, hole.y + arm)))


def diagonals(plan: Plan) -> list[tuple[Hole, Hole, float]]:
    """The distances to check between holes, longest first: at most four, and no more than holes allow."""
    pairs = [(a, b, hypot(a.x - b.x, a.y - b.y)) for a, b in combinations(plan.holes, 2)]
    pairs.sort(key=lambda p: (-round(p[2], 3), p[0].number, p[1].number))
    return pairs[: 2 if len(plan.holes) <= 4 else 4]


def _diagonals(draft: Draft, plan: Plan) -> None:
    for a, b, length in diagonals(plan):
        if length > 0.0:
            draft.add(Line(Layer.DIAGONALS, (a.x, a.y), (b.x, b.y)))


def _running(draft: Draft, plan: Plan, units: Units) -> None:
    box = plan.box
    opened = [bounds(loop) for loop in plan.openings]
    across = [box.left, box.right, 0.0, *(h.x for h in plan.holes)]
    up = [box.low, box.high, 0.0, *(h.y for h in plan.holes)]
    across += [x for b in opened for x in (b.left, b.right)]
    up += [y for b in opened for y in (b.low, b.high)]
    low = min(box.low, plan.extent.low)
    left = min(box.left, plan.extent.left)
    along_bottom(draft, low, across, lambda x: show_length(x - box.left, units))
    along_left(draft, left, up, lambda y: show_length(y - box.low, units))


def _faces(draft: Draft, plan: Plan) -> None:
    """Which face of the concrete (or else edge) is which, in the winds of the site."""
    loop = plan.below if plan.below is not None else plan.outer
    word = "face" if plan.below is not None else "edge"
    if len(loop.starts) == 1:
        return
    along = loop.ends - loop.starts
    length = np.linalg.norm(along, axis=1)
    for i in np.flatnonzero((loop.sweeps == 0.0) & (length > 0.15 * loop.perimeter)):
        out = np.array([along[i, 1], -along[i, 0]]) / length[i]
        x, y = ((loop.starts[i] + loop.ends[i]) / 2.0 - 3.0 * draft.per * out).tolist()
        draft.beside((x, y), f"{wind(plan.frame, *out.tolist())} {word}", 0.0)


def _north(frame: Motion) -> Point:
    """Site north in the pier's plan, a unit vector."""
    x, y, _ = frame.inverse().vectors(np.array([0.0, 1.0, 0.0])).tolist()
    return x, y


def north_corner(plan: Plan) -> tuple[Point, str]:
    """The corner that lies most to the north (of two alike the one more to the east), and its wind.

    A round outline has its northernmost point instead.
    """
    north = np.array(_north(plan.frame))
    east = np.array([north[1], -north[0]])
    loop = plan.outer
    if len(loop.starts) == 1:
        center = loop.centers[0]
        x, y = (center + north * hypot(*(loop.starts[0] - center))).tolist()
        return (x, y), "N"
    best = max(loop.starts, key=lambda p: (round(float(p @ north), 3), float(p @ east)))
    x, y = best.tolist()
    box = plan.box
    return (x, y), wind(plan.frame, x - (box.left + box.right) / 2.0, y - (box.low + box.high) / 2.0)


def _north_corner(draft: Draft, plan: Plan) -> None:
    (x, y), name = north_corner(plan)
    box = plan.box
    dx, dy = (box.left + box.right) / 2.0 - x, (box.low + box.high) / 2.0 - y
    reach = hypot(dx, dy)
    ux, uy = dx / reach, dy / reach
    size = 3.0 * draft.per
    tip = (x + 0.6 * size * ux, y + 0.6 * size * uy)
    foot = (tip[0] + size * ux, tip[1] + size * uy)
    side = (-uy * size * 0.45, ux * size * 0.45)
    draft.add(
        Fill(
            Layer.NORTH, (tip, (foot[0] + side[0], foot[1] + side[1]), (foot[0] - side[0], foot[1] - side[1]))
        )
    )
    word = "north side" if len(plan.outer.starts) == 1 else f"{name} corner"
    draft.beside((tip[0] + 0.7 * size * ux, tip[1] + 0.7 * size * uy), word, 0.8 * size, bold=True)


def north_arrow(draft: Draft, x: float, y: float, frame: Motion, radius: float = 6.0) -> None:
    """An arrow to site north round a place on the paper, mm."""
    nx, ny = _north(frame)
    draft.add(Circle(Layer.NORTH, draft.at(x, y), 0.62 * radius * draft.per))
    tip, tail = (x + radius * nx, y + radius * ny), (x - 0.5 * radius * nx, y - 0.5 * radius * ny)
    left = (tail[0] - 0.45 * radius * ny, tail[1] + 0.45 * radius * nx)
    draft.add(Fill(Layer.NORTH, tuple(draft.at(*p) for p in (tip, left, (x, y)))))
    right = (tail[0] + 0.45 * radius * ny, tail[1] - 0.45 * radius * nx)
    for a, b in ((tip, right), (right, (x, y))):
        draft.rule(*a, *b, Layer.NORTH)
    draft.write(x + (radius + 2.4) * nx, y + (radius + 2.4) * ny - 1.2, "N", 2.6, "center", bold=True)
