"""Where the dowels of a cage stand: lapped beside verticals, or where they were found."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import atan2, cos, hypot, pi, sin, sqrt

import numpy as np
from msgspec import Struct

from models.cage.plan import Box, CagePlan, Plan, Ring, Stand, hoop_step
from models.cage.steel import foot
from models.cage.tie_shapes import about
from models.catalogue import Bar, bar
from models.motion import Motion
from models.shapes.fitting import FITTING
from models.shapes.plan_distance import plan_clear
from models.shapes.spine import straight, swept
from models.solids import Swept
from models.spec.cage import Dowels
from models.winds import wind

_TURN = {"out": 0.0, "left": pi / 2.0, "in": pi, "right": -pi / 2.0}
"""rad: which way a foot points, from the direction in which the dowel is seen from the cage's center."""


class DowelPlace(Struct, frozen=True, eq=False):
    """One dowel: its solid, its place in words, the vertical (from 0) it laps, whether it lies on ties."""

    solid: Swept
    where: str
    beside: int | None = None
    on_tie: bool = False


class _Spot(Struct, frozen=True):
    x: float
    y: float
    on_tie: bool


def listed_dowels(
    dowels: Dowels,
    at: Sequence[Plan],
    plan: CagePlan,
    stands: tuple[Stand, ...],
    held: float,
    bottom: float,
    frame: Motion,
) -> tuple[DowelPlace, ...]:
    """Dowels as found, each at its own center (mm, pier's frame); bottom: elevation of the pier's, mm.

    One that stands against a vertical of radius `held` (mm), to within the fitting tolerance, laps it.
    """
    it = bar(dowels.size)
    upright = np.array([[s.x, s.y] for s in stands]).reshape(-1, 2)
    contact = held + it.diameter / 2.0
    places = []
    for k, (x, y) in enumerate(at):
        off = np.abs(np.hypot(upright[:, 0] - x, upright[:, 1] - y) - contact)
        against = int(np.argmin(off)) if len(off) and np.min(off) <= FITTING else None
        solid = _solid(dowels, it, (x, y), (x - plan.center[0], y - plan.center[1]), bottom)
        places.append(DowelPlace(solid, f"{k + 1} ({wind(frame, x, y)})", against))
    return tuple(places)


def lapped_dowels(
    dowels: Dowels,
    count: int,
    plan: CagePlan,
    stands: tuple[Stand, ...],
    held: float,
    tie: float,
    lateral: Sequence[Swept],
    bottom: float,
) -> tuple[DowelPlace, ...]:
    """`count` dowels, each in contact with a vertical of radius `held` (mm).

    tie: diameter of the ties, mm; lateral: every shape of tie, crosstie and diamond in the cage; bottom:
    elevation of the pier's bottom, mm. A dowel stands at the first place that is free of other steel: along
    the tie's leg toward the next vertical, along it the other way, inward (inside the hooks), then aslant.
    Where nothing is free it stands where it runs least into something, and the gaps show into what. Raises
    ValueError with one plain sentence when a foot cannot be bent.
    """
    it = bar(dowels.size)
    radius = it.diameter / 2.0
    takers = _takers(count, plan, stands)
    spots = [_spots(plan, stands[k], held, radius, tie) for k in takers]
    points = np.array([[s.x, s.y] for some in spots for s in some])
    upright = np.array([[s.x, s.y] for s in stands])
    away = np.min(np.linalg.norm(points[:, None, :] - upright, axis=2), axis=1) - held
    if lateral:
        away = np.minimum(away, plan_clear(points, lateral).min(axis=1))
    clear = iter((away - radius).tolist())
    taken: list[_Spot] = []
    places: list[DowelPlace] = []
    for taker, some in zip(takers, spots, strict=True):
        rooms = [
            min([next(clear), *(hypot(s.x - t.x, s.y - t.y) - 2.0 * radius for t in taken)]) for s in some
        ]
        best = max(rooms)
        spot = next(s for s, room in zip(some, rooms, strict=True) if room >= min(best, -FITTING))
        taken.append(spot)
        out = (-stands[taker].inward[0], -stands[taker].inward[1])
        solid = _solid(dowels, it, (spot.x, spot.y), out, bottom)
        places.append(
            DowelPlace(solid, _beside(stands[taker].where, taker, takers, len(places)), taker, spot.on_tie)
        )
    return tuple(places)


def _beside(where: str, taker: int, takers: list[int], number: int) -> str:
    """A dowel's place in words, from its vertical's; a second one beside the same vertical says so."""
    words = where if where.startswith(("at", "in")) else f"beside vertical {where}"
    before = takers[:number].count(taker)
    return words if before == 0 else f"{words}, no. {before + 1} there"


def _takers(count: int, plan: CagePlan, stands: tuple[Stand, ...]) -> list[int]:
    """Which verticals are lapped: corners first where they are enough, else equally around the cage."""
    n = len(stands)
    if count > n:
        return list(range(n)) + _takers(count - n, plan, stands)
    corners = [k for k, stand in enumerate(stands) if stand.corner]
    if isinstance(plan, Box) and 0 < count <= len(corners):
        return [corners[i * len(corners) // count] for i in range(count)]
    return [i * n // count for i in range(count)]


def _spots(plan: CagePlan, stand: Stand, held: float, radius: float, tie: float) -> list[_Spot]:
    """Where a dowel can stand in contact with a vertical, the most natural first."""
    reach = held + radius
    spots: list[_Spot] = []
    for leg in stand.legs:
        out = leg.room - radius
        if abs(out) < reach:
            along = sqrt(reach * reach - out * out)
            spots.append(
                _Spot(
                    stand.x + out * leg.out[0] + along * leg.along[0],
                    stand.y + out * leg.out[1] + along * leg.along[1],
                    tie > 0.0,
                )
            )
    if isinstance(plan, Ring):
        dx, dy = stand.x - plan.center[0], stand.y - plan.center[1]
        at, out = hypot(dx, dy), plan.radius - tie - radius
        if at > 0.0 and abs(at - out) < reach < at + out:
            step, angle = hoop_step(at, out, reach), atan2(dy, dx)
            spots += [
                _Spot(plan.center[0] + out * cos(way), plan.center[1] + out * sin(way), tie > 0.0)
                for way in (angle + step, angle - step)
            ]
    inward = atan2(stand.inward[1], stand.inward[0])
    for aslant in (0.0, pi / 4.0, -pi / 4.0, pi / 2.0, -pi / 2.0):
        way = inward + aslant
        spots.append(_Spot(stand.x + reach * cos(way), stand.y + reach * sin(way), False))
    return spots


def _solid(dowels: Dowels, it: Bar, at: Plan, out: Plan, bottom: float) -> Swept:
    """A dowel: straight from its top to the pier's bottom, or on into the grade beam with its foot.

    out: the direction in plan in which the dowel is seen from the cage's center.
    The foot's underside, or the end of a bar without one, lies `embed` below the pier's bottom.
    """
    x, y = at
    radius = it.diameter / 2.0
    top = bottom + dowels.height
    if dowels.embed is None or dowels.hook == "none":
        return straight((x, y, bottom - (dowels.embed or 0.0)), (x, y, top), radius)
    bend, tail = foot(dowels)
    try:
        hooked = _hooked(top, bottom - dowels.embed + radius, bend, tail, radius)
    except ValueError as wrong:
        raise ValueError("the dowels are too short for the bend of their hook") from wrong
    seen = atan2(out[1], out[0]) if hypot(*out) > 1e-6 else 0.0
    return about(hooked, at, seen + _TURN[dowels.hook_to])


@lru_cache(maxsize=256)
def _hooked(top: float, low: float, bend: float, tail: float, radius: float) -> Swept:
    """A bar down the z axis from `top` with a foot toward +x, its centerline at height `low`."""
    return swept([[0.0, 0.0, top], [0.0, 0.0, low], [bend + tail, 0.0, low]], bend, radius)
