"""The lateral steel of a cage, laid out: ties or hoops, crossties and diamonds on top of them."""

from __future__ import annotations

from math import atan2, pi, tau

import numpy as np
from msgspec import Struct

from models.cage.plan import Box, CagePlan, Plan, Ring, Stand
from models.cage.steel import BentBar
from models.cage.tie_shapes import about, climbing_bulge, closed_tie, crosstie, hoop
from models.lengths import INCH
from models.outline import Loop, polygon
from models.shapes.fitting import FITTING
from models.shapes.outline_from import inset
from models.shapes.plan_distance import plan_clear, plan_points
from models.solids import Swept

LEAST_LAP = 6.0 * INCH
"""mm: least lap of a circular tie's ends (ACI 318-19 25.7.2.4, from memory)."""


class Lateral(Struct, frozen=True, eq=False):
    """A tie, hoop or diamond as it repeats: level k (0 = highest) takes shapes[k % len(shapes)].

    Shapes stand at the height of their level, 0; lift is added to it, mm. held: the verticals that it
    touches.
    """

    steel: BentBar
    shapes: tuple[Swept, ...]
    lift: float
    held: tuple[int, ...]


class CrosstieLine(Struct, frozen=True, eq=False):
    """One crosstie as it repeats: its pair of verticals (from 0), its two shapes (hooks changing ends), its
    lift.

    below: numbers (from 0) of the crossties that it lies on.
    """

    steel: BentBar
    pair: tuple[int, int]
    shapes: tuple[Swept, Swept]
    lift: float
    below: tuple[int, ...]


def ties_around(
    plan: CagePlan, steel: BentBar, stands: tuple[Stand, ...], held: float, lap: float | None
) -> Lateral:
    """The ties of a cage, one shape for each place of the hooks, taken in turn down the cage.

    held: radius of the verticals, mm; lap: of hoops, mm, the least when left out.
    Raises ValueError with one plain sentence when a tie cannot be bent so.
    """
    if isinstance(plan, Ring):
        shapes = _hoops(plan, steel, stands, held, lap)
    else:
        corners = plan.line(steel.radius)
        try:
            if isinstance(plan, Box):
                shapes = _rectangular(corners, plan.center, steel, -steel.bar.diameter)
            else:
                shapes = tuple(_closed(corners, steel, k, -steel.bar.diameter) for k in range(len(corners)))
        except ValueError as wrong:
            raise ValueError(
                f"the cage is too small: the bends of the {steel.bar.size} ties do not fit one of its sides"
            ) from wrong
    return Lateral(steel, shapes, 0.0, _near(shapes[0], stands, held))


def _closed(corners: tuple[Plan, ...], steel: BentBar, hook_at: int, start: float) -> Swept:
    return closed_tie(corners, steel.bend, steel.bar.diameter, steel.tails[0], hook_at, start)


def _rectangular(corners: tuple[Plan, ...], center: Plan, steel: BentBar, start: float) -> tuple[Swept, ...]:
    """Ties on a parallelogram, hooks at each corner in turn; opposite ones are half turns of each other."""
    a, b = (_closed(corners, steel, k, start) for k in range(2))
    return a, b, _half_turn(a, center), _half_turn(b, center)


def _half_turn(bar: Swept, center: Plan) -> Swept:
    flip = np.array([-1.0, -1.0, 1.0])
    shift = np.array([2.0 * center[0], 2.0 * center[1], 0.0])
    return Swept(
        bar.knots * flip + shift, bar.angles, bar.centers * flip + shift, bar.axes * flip, bar.radius
    )


def _near(shape: Swept, stands: tuple[Stand, ...], held: float) -> tuple[int, ...]:
    """Which verticals a tie is wired to: those closer to it than its own diameter."""
    points = np.array([[s.x, s.y] for s in stands])
    clear = plan_clear(points, [shape])[:, 0] - held
    return tuple(int(k) for k in np.flatnonzero(clear < 2.0 * shape.radius))


def _hoops(
    plan: Ring, steel: BentBar, stands: tuple[Stand, ...], held: float, lap: float | None
) -> tuple[Swept, ...]:
    """Hoops whose ends hook round verticals: each starts at one and, past a full turn and the lap, ends at
    another.

    Starts are chosen so that no vertical is hooked by a start at one level and by an end at another: that
    leaves the other side of each vertical free for a dowel.
    """
    radius = plan.radius - steel.radius
    if radius <= 2.0 * steel.bend:
        raise ValueError(
            f"the hooks of the {steel.bar.size} hoops do not fit: the cage is too small for them"
        )
    wanted = (LEAST_LAP if lap is None else lap) / radius
    if wanted >= tau:
        raise ValueError("the lap of the hoops is longer than the hoop")
    reach = radius - steel.radius - held
    angles = sorted(
        atan2(s.y - plan.center[1], s.x - plan.center[0]) % tau
        for s in stands
        if abs(np.hypot(s.x - plan.center[0], s.y - plan.center[1]) - reach) <= FITTING
    )
    laps = [(a, _first_past(angles, a, wanted)) for a in angles] or [(0.0, wanted)]
    starts = _staggered([(a, (a + w) % tau) for a, w in laps])
    diameter, tail = steel.bar.diameter, steel.tails[0]
    return tuple(
        about(hoop(radius, laps[k][1], steel.bend, diameter, tail), plan.center, laps[k][0]) for k in starts
    )


def _first_past(angles: list[float], start: float, least: float) -> float:
    """The angle from `start` on to the first vertical at least `least` (rad) past it."""
    past = [step for a in angles if (step := (a - start) % tau) >= least - 1e-9]
    return round(min(past, default=least), 12)


def _staggered(ends: list[tuple[float, float]]) -> list[int]:
    """Which hoops to use, in turn: starts and ends never at one vertical where that leaves at least two."""
    chosen: list[int] = []
    for k, (start, end) in enumerate(ends):
        if all(_apart(start, ends[c][1]) and _apart(end, ends[c][0]) for c in chosen):
            chosen.append(k)
    return chosen if len(chosen) > 1 else list(range(len(ends)))


def _apart(a: float, b: float) -> bool:
    return abs((a - b + pi) % tau - pi) > 1e-6


def crossties_on(
    pairs: list[tuple[int, int]], steel: BentBar, stands: tuple[Stand, ...], held: float, on: float
) -> tuple[CrosstieLine, ...]:
    """Crossties that lie on a tie, each in the lowest layer where it crosses no other.

    pairs: verticals by number from 1; held: their radius, mm; on: height of the tie's upper side above its
    level. A crosstie's 135 degree hook changes ends from level to level, and from one crosstie to the next.
    Raises ValueError with one plain sentence when a pair names no two verticals or leaves no room for its
    bends.
    """
    lines: list[CrosstieLine] = []
    layers: list[int] = []
    for j, (a, b) in enumerate(pairs):
        if a == b or not (1 <= a <= len(stands) and 1 <= b <= len(stands)):
            raise ValueError(f"crosstie {j + 1} names verticals {a} and {b} of {len(stands)}")
        p, q = stands[a - 1], stands[b - 1]
        try:
            shapes = tuple(
                crosstie(
                    (p.x, p.y),
                    (q.x, q.y),
                    held,
                    steel.bend,
                    steel.bar.diameter,
                    steel.tails,
                    (j + k) % 2 == 0,
                )
                for k in range(2)
            )
        except ValueError as wrong:
            raise ValueError(
                f"crosstie {j + 1} has no room for its bends between its two verticals"
            ) from wrong
        crossed = [i for i, line in enumerate(lines) if _cross(shapes, line.shapes)]
        layer = next(n for n in range(len(lines) + 1) if all(layers[i] != n for i in crossed))
        layers.append(layer)
        lift = on + steel.radius + layer * steel.bar.diameter
        below = tuple(i for i in crossed if layers[i] == layer - 1)
        lines.append(CrosstieLine(steel, (a - 1, b - 1), (shapes[0], shapes[1]), lift, below))
    return tuple(lines)


def _cross(these: tuple[Swept, ...], those: tuple[Swept, ...]) -> bool:
    """Whether two crossties, at one height, would run through each other at any level."""
    for this, that in zip(these, those, strict=True):
        clear = plan_clear(plan_points(that, 2.0 * that.radius), [this])[:, 0] - that.radius
        if bool(np.any(clear < -FITTING)):
            return True
    return False


def _plan(ring: Loop) -> tuple[Plan, ...]:
    return tuple((float(x), float(y)) for x, y in ring.starts)


def diamonds_on(steel: BentBar, stands: tuple[Stand, ...], held: float, on: float) -> Lateral:
    """Diamond ties through the middle bars of the four faces, lying on what is `on` mm above the level.

    Each middle bar touches the diamond's bend where it reaches farthest out. The diamond starts at the
    height of its lower end and closes one diameter higher. Raises ValueError when a face has no middle bar.
    """
    middle = tuple(k for k, s in enumerate(stands) if s.middle)
    if len(middle) != 4:
        raise ValueError("a diamond tie needs a vertical in the middle of each of the four faces")
    set_back = steel.inside - held
    bends = polygon(
        [
            [stands[k].x + set_back * stands[k].inward[0], stands[k].y + set_back * stands[k].inward[1]]
            for k in middle
        ]
    )
    corners = _plan(inset(bends, -steel.bend))
    # A hair inward, so that the bends that climb reach out no farther than drawn.
    corners = _plan(inset(polygon(corners), climbing_bulge(corners, steel.bend, steel.bar.diameter)))
    try:
        (ax, ay), _, (bx, by), _ = corners
        shapes = _rectangular(corners, ((ax + bx) / 2.0, (ay + by) / 2.0), steel, 0.0)
    except ValueError as wrong:
        raise ValueError(
            f"the bends of the {steel.bar.size} diamond ties do not fit between the bars"
        ) from wrong
    return Lateral(steel, shapes, on + steel.radius, middle)
