"""The spines of lateral steel: closed ties, crossties and hoops, each at height 0 of its level.

Height 0 is the centerline at the upper end of the tie. A closed tie starts one bar diameter lower, climbs on
its second leg, and closes above its start, so that its two hooks lie side by side round one vertical.
"""

from __future__ import annotations

from functools import lru_cache
from math import acos, atan2, ceil, cos, hypot, radians, sin, sqrt, tan, tau

import numpy as np

from models.motion import Array, Motion
from models.shapes.spine import hook_corner, swept
from models.solids import Swept

Plan = tuple[float, float]

HOOK = radians(135.0)
"""rad: the hook that closes a tie and holds a hoop's or a crosstie's end in the core (ACI 318-19 25.3.2)."""
HOOP_ARC = tau / 10.0
"""rad: the longest arc that a hoop is drawn in."""


def _turned(x: float, y: float, angle: float) -> Array:
    """A level direction (x, y), turned by `angle` rad counterclockwise: (3,)."""
    c, s = cos(angle), sin(angle)
    return np.array([c * x - s * y, s * x + c * y, 0.0])


@lru_cache(maxsize=512)
def closed_tie(
    corners: tuple[Plan, ...], bend: float, diameter: float, tail: float, hook_at: int, start: float
) -> Swept:
    """A closed tie with two 135 degree hooks at one corner.

    corners: of the centerline, counterclockwise, convex, mm; bend: centerline bend radius, mm; diameter: of
    the bar; tail: straight tail of the hooks; hook_at: which corner holds the hooks; start: height of its
    lower end's centerline; the upper end is one diameter higher. Raises ValueError when the bends do not
    fit the legs.
    """
    around = corners[hook_at:] + corners[:hook_at]
    n = len(around)
    (x0, y0), (x1, y1), (xn, yn) = around[0], around[1], around[-1]
    first, last = hypot(x1 - x0, y1 - y0), hypot(x0 - xn, y0 - yn)
    ux, uy = (x1 - x0) / first, (y1 - y0) / first
    vx, vy = (x0 - xn) / last, (y0 - yn) / last
    taken = bend * tan(atan2(vx * uy - vy * ux, vx * ux + vy * uy) / 2.0)
    end = start + diameter
    points = np.empty((n + 3, 3))
    points[1], points[0] = hook_corner(
        np.array([x0 + taken * ux, y0 + taken * uy, start]),
        np.array([-ux, -uy, 0.0]),
        _turned(-ux, -uy, -HOOK),
        bend,
        tail,
    )
    points[2 : n + 1, :2] = around[1:]
    points[2, 2] = start
    points[3 : n + 1, 2] = end
    points[n + 1], points[n + 2] = hook_corner(
        np.array([x0 - taken * vx, y0 - taken * vy, end]),
        np.array([vx, vy, 0.0]),
        _turned(vx, vy, HOOK),
        bend,
        tail,
    )
    return swept(points, bend, diameter / 2.0)


def climbing_bulge(corners: tuple[Plan, ...], bend: float, diameter: float) -> float:
    """How much farther out the bends of a closed tie's climbing leg reach than level ones (mm, at most).

    Which leg climbs depends on where the hooks are; this is the most over all legs, at either end.
    """
    flat = np.column_stack([np.array(corners), np.zeros(len(corners))])
    before, after = flat - np.roll(flat, 1, axis=0), np.roll(flat, -1, axis=0) - flat
    climb = np.array([0.0, 0.0, diameter])
    return max(
        bend * (_short_of_corner(u, v, u, v) - _short_of_corner(u, v, rising, falling))
        for u, v in zip(before, after, strict=True)
        for rising, falling in ((u + climb, v), (u, v + climb))
    )


def _short_of_corner(level_in: Array, level_out: Array, leg_in: Array, leg_out: Array) -> float:
    """How far short of its corner a bend of radius 1 between two legs (3,) stays, along the level bisector.

    The bend's center lies 1 / cos(turn / 2) from the corner, and its circle reaches out from there by the
    part of the bisector that lies in its plane.
    """
    a, b, u, v = (leg / np.linalg.norm(leg) for leg in (level_in, level_out, leg_in, leg_out))
    out, inward, along = a - b, v - u, u + v
    out, inward, along = (way / np.linalg.norm(way) for way in (out, inward, along))
    half = sqrt((1.0 + float(u @ v)) / 2.0)
    return -float(out @ inward) / half - hypot(float(out @ inward), float(out @ along))


@lru_cache(maxsize=512)
def crosstie(
    a: Plan, b: Plan, held: float, bend: float, diameter: float, tails: tuple[float, float], hook_at_b: bool
) -> Swept:
    """A crosstie round the verticals at a and b: a 135 degree hook on one, a 90 degree bend on the other.

    held: radius of the verticals, mm; bend: centerline bend radius; tails: straight tail past the 135
    degree hook and past the 90 degree bend. Each vertical touches its bend where it reaches farthest out,
    so that the crosstie ends flush with the tie below it; its straight runs to the right of the line from a
    to b.
    """
    length = hypot(b[0] - a[0], b[1] - a[1])
    ex, ey = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    set_back = bend - diameter / 2.0 - held
    beside = np.array([bend * ey, -bend * ex, 0.0])
    at_a = np.array([a[0] + set_back * ex, a[1] + set_back * ey, 0.0]) + beside
    at_b = np.array([b[0] - set_back * ex, b[1] - set_back * ey, 0.0]) + beside
    quarter = tau / 4.0
    turn_a, turn_b = (quarter, HOOK) if hook_at_b else (HOOK, quarter)
    tail_a, tail_b = (tails[1], tails[0]) if hook_at_b else tails
    points = np.empty((4, 3))
    points[1], points[0] = hook_corner(
        at_a, np.array([-ex, -ey, 0.0]), _turned(-ex, -ey, -turn_a), bend, tail_a
    )
    points[2], points[3] = hook_corner(at_b, np.array([ex, ey, 0.0]), _turned(ex, ey, turn_b), bend, tail_b)
    return swept(points, bend, diameter / 2.0)


@lru_cache(maxsize=256)
def hoop(radius: float, lap: float, bend: float, diameter: float, tail: float) -> Swept:
    """A round hoop about the origin whose ends lap and hook inward by 135 degrees; it starts at angle 0.

    radius: of the centerline, mm; lap: angle (rad) that it runs past its start; bend: centerline radius of
    the hooks. It climbs one diameter a turn, so that lapped ends lie one on the other; its arcs are the
    fillets of a polygon around the circle and meet, tangent, at the middles of the polygon's sides. Its upper
    hook lies at height 0, and nothing of it is higher.
    """
    total = tau + lap
    n = ceil(total / HOOP_ARC)
    arc = total / n
    climb = diameter * arc / tau
    radius, fillet = _climbing(radius, arc, climb)
    middle = (np.arange(n) + 0.5) * arc
    out = radius / cos(arc / 2.0)
    points = np.empty((n + 4, 3))
    points[2:-2] = np.column_stack(
        [out * np.cos(middle), out * np.sin(middle), (middle - total) * diameter / tau]
    )
    slope = atan2(climb, 2.0 * radius * tan(arc / 2.0))

    def at(angle: float) -> tuple[Array, Array]:
        tangent = np.array([-sin(angle) * cos(slope), cos(angle) * cos(slope), sin(slope)])
        return np.array([radius * cos(angle), radius * sin(angle), (angle - total) * diameter / tau]), tangent

    begin, away = at(0.0)
    points[1], points[0] = hook_corner(begin, -away, _turned(0.0, -1.0, -HOOK), bend, tail)
    finish, onward = at(total)
    points[-2], points[-1] = hook_corner(finish, onward, _turned(-sin(total), cos(total), HOOK), bend, tail)
    points[:, 2] -= points[-1, 2]
    return swept(points, [bend, *[fillet] * n, bend], diameter / 2.0)


def _climbing(reach: float, arc: float, climb: float) -> tuple[float, float]:
    """Radius where the arcs of a climbing hoop meet, and that of the arcs, so that they reach out to `reach`.

    arc: angle of each, rad; climb: over each, mm. Tilted arcs bulge past the circle on which they meet by
    some hundredths of a millimeter: enough to break a cover that is drawn exactly. Three corrections leave
    less than 1e-9 mm of it.
    """
    radius = reach
    for _ in range(3):
        side = 2.0 * radius * tan(arc / 2.0)
        slope = atan2(climb, side)
        turn = acos(cos(slope) ** 2 * cos(arc) + sin(slope) ** 2)
        fillet = hypot(side, climb) / 2.0 / tan(turn / 2.0)
        bulge = radius / cos(arc / 2.0) - fillet * (1.0 / cos(turn / 2.0) - 1.0)
        radius += reach - bulge
    return radius, fillet


def about(bar: Swept, center: Plan, angle: float) -> Swept:
    """A bar drawn about the origin, turned by `angle` rad and brought to `center`."""
    return bar.moved(Motion.turned(angle, (center[0], center[1], 0.0)))
