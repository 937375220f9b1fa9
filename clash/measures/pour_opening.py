"""The largest circle that passes straight down between what stands over the top ties of a pier."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec import Struct

from clash.measures.levels import Level
from clash.pier_view import PierView
from models.motion import Array
from models.outline import Loop
from models.part import Part, Role, Stage
from models.shapes.plan_distance import plan_clear
from models.shapes.rings import encloses, ring_distances
from models.solids import Prism, Swept

WITHIN = 0.25
"""mm: no circle is larger in radius than the one found by more than this; the one found does pass."""
_GRID = 24
"""Cells across at first."""
_NOT_THERE = (Role.CONCRETE, Role.GRADE_BEAM)
Distance = Callable[[Array], Array]


class Opening(Struct, frozen=True, eq=False):
    """The largest free circle: center (2,) and diameter, mm; a diameter of 0 where nothing is free."""

    center: Array
    diameter: float


def pour_opening(view: PierView, last: Level) -> Opening:
    """The largest circle of the plan, inside the concrete, clear of everything above the underside of a tie.

    last: the lowest of the top ties, with what lies on it. Counted is what is there during the pour: the
    template, whose openings are free, with its nuts; rods; all bars that reach so high; embeds. Distances are
    those to exact straight and circular edges; the search halves cells of the plan whose middle is too near
    to something, as no point of a cell is farther from everything than its middle by more than its half
    diagonal.
    """
    distances = [_inside_of(view.pier.concrete.outline.outer)]
    bars: list[Swept] = []
    for part in view.parts:
        if part.role in _NOT_THERE or part.stage is Stage.SET:
            continue
        if isinstance(part.solid, Swept):
            bars += _above(part.solid, last.under)
        elif _top(part.solid) > last.under:
            distances.append(_outside_of(part, part.solid))
    distances += [_outside_of_bars(some) for some in _near_each_other(bars)]
    return _largest(view.pier.concrete.outline.outer, distances)


def _near_each_other(bars: list[Swept]) -> list[list[Swept]]:
    """Bars by the quarter of the plan that they begin in."""
    quarters: dict[tuple[bool, bool], list[Swept]] = {}
    for bar in bars:
        x, y = bar.knots[0, :2].tolist()
        quarters.setdefault((x > 0.0, y > 0.0), []).append(bar)
    return list(quarters.values())


def _outside_of_bars(bars: list[Swept]) -> Distance:
    return lambda points: np.asarray(plan_clear(points, bars).min(axis=1))


def _above(bar: Swept, low: float) -> list[Swept]:
    """The pieces of a bar that reach above an elevation; an upright one is a point of the plan."""
    radius = bar.radius
    reach = np.maximum(bar.knots[:-1, 2], bar.knots[1:, 2]) + radius
    return [
        Swept(
            bar.knots[k : k + 2], bar.angles[k : k + 1], bar.centers[k : k + 1], bar.axes[k : k + 1], radius
        )
        for k in np.flatnonzero(reach > low)
    ]


def _top(solid: Prism) -> float:
    return float(solid.motion.points(np.array([0.0, 0.0, solid.top]))[2])


def _inside_of(ring: Loop) -> Distance:
    """mm to a ring, negative outside of it."""
    return lambda points: _signed(ring, points)


def _signed(ring: Loop, points: Array) -> Array:
    """(n,) mm from points of the plan to a ring, negative outside of it."""
    if len(ring.sweeps) == 1:
        radius = np.hypot(*(ring.starts[0] - ring.centers[0]))
        return np.asarray(radius - np.hypot(*(points - ring.centers[0]).T))
    apart = ring_distances(ring, points)
    return np.where(encloses(ring, points), apart, -apart)


def _outside_of(part: Part, solid: Prism) -> Distance:
    """mm to the material of an upright prism, its holes being free; negative in the material."""
    outline, back = solid.outline, solid.motion.inverse()

    def away(points: Array) -> Array:
        flat = back.points(np.column_stack([points, np.zeros(len(points))]))[:, :2]
        free = -_signed(outline.outer, flat)
        for hole in outline.holes:
            free = np.maximum(free, _signed(hole, flat))
        return free

    return away


def _largest(ring: Loop, distances: list[Distance]) -> Opening:
    """The largest free circle by halving cells, those that may hold a larger one than is known."""
    points = ring.polyline(1.0)
    if len(ring.sweeps) == 1:
        center = ring.centers[0]
        reach = float(np.linalg.norm(ring.starts[0] - center))
        low, high = center - reach, center + reach
    else:
        low, high = points.min(axis=0), points.max(axis=0)
    half = float(np.max(high - low)) / 2.0 / _GRID
    steps = (np.arange(_GRID) * 2.0 + 1.0) * half
    cells = np.stack(np.meshgrid(low[0] + steps, low[1] + steps), axis=-1).reshape(-1, 2)
    best, place = 0.0, (low + high) / 2.0
    corner = np.array([[-0.5, -0.5], [-0.5, 0.5], [0.5, -0.5], [0.5, 0.5]])
    while len(cells):
        free = np.full(len(cells), np.inf)
        for distance in distances:
            hopeful = free + half * np.sqrt(2.0) > best + WITHIN
            free[hopeful] = np.minimum(free[hopeful], distance(cells[hopeful]))
        k = int(np.argmax(free))
        if free[k] > best:
            best, place = float(free[k]), cells[k]
        cells = cells[free + half * np.sqrt(2.0) > best + WITHIN]
        cells = (cells[:, None] + half * corner[None]).reshape(-1, 2)
        half /= 2.0
    return _polished(place, best, distances)


def _polished(place: Array, best: float, distances: list[Distance]) -> Opening:
    """The circle moved to the last digit: by ever smaller steps, whichever way it can still grow."""
    here = place[None]
    distances = [distance for distance in distances if float(distance(here)[0]) < best + 8.0 * WITHIN]
    turn = np.arange(64) * np.pi / 32.0
    ways = np.column_stack([np.cos(turn), np.sin(turn)])
    step = 2.0 * WITHIN
    while step > 1e-9:
        tried = place + step * ways
        free = np.min([distance(tried) for distance in distances], axis=0)
        k = int(np.argmax(free))
        if free[k] > best + 1e-3 * step:
            best, place = float(free[k]), tried[k]
        else:
            step /= 4.0
    return Opening(place, 2.0 * best)
