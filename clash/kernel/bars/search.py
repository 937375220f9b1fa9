"""The least distances along circular arcs to sets whose nearest points are known: every local minimum.

Along an arc the distance to a segment, an arc or a disk has several local minima. It is sampled at equal
steps; every step over which its slope turns from falling to rising holds a minimum, and each that can still
win is refined by regula falsi (Illinois), all at once.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from clash.gap_table import Index
from clash.kernel.bars.feet import Arcs, Place, Sets
from clash.kernel.bars.vec import dot, minus
from models.motion import Array

STEP = pi / 24.0
"""rad: the arc is sampled at least this often."""
ROUNDS = 12


@dataclass(frozen=True, slots=True, eq=False)
class Minima:
    """Local minima found, in columns, several a problem.

    problem: (k,) which; on_arc, on_set: (3, k) mm; arc_place, set_place: (k,) -1 at a start, 1 at an end, 0
    between.
    """

    problem: Index
    on_arc: Array
    on_set: Array
    arc_place: Place
    set_place: Place


def minima_along(arcs: Arcs, sets: Sets, limit: Array) -> Minima:
    """Local minima of the distance from n arcs to n sets, and both ends of each arc.

    limit: (n,) mm; minima that are certainly no less than this may be left out.
    """
    steps = np.maximum(np.ceil(arcs.half * 2.0 / STEP - 1e-9), 1.0).astype(np.intp)
    steps = np.where(steps <= 12, 12, np.where(steps <= 24, 24, 48))
    found = [
        _sampled(arcs.take(which), sets.take(which), limit[which], int(n), which)
        for n in np.unique(steps)
        for which in (np.flatnonzero(steps == n),)
    ]
    if not found:
        nowhere, nothing = np.zeros((3, 0)), np.zeros(0, np.int8)
        return Minima(np.zeros(0, np.intp), nowhere, nowhere, nothing, nothing)
    return Minima(
        np.concatenate([m.problem for m in found]),
        np.concatenate([m.on_arc for m in found], axis=1),
        np.concatenate([m.on_set for m in found], axis=1),
        np.concatenate([m.arc_place for m in found]),
        np.concatenate([m.set_place for m in found]),
    )


def _sampled(arcs: Arcs, sets: Sets, limit: Array, steps: int, names: Index) -> Minima:
    turn = np.linspace(-1.0, 1.0, steps + 1)[:, None] * arcs.half
    point, tangent = arcs.at(turn)
    foot, place = sets.feet(point)
    apart = minus(point, foot)
    distance = np.sqrt(dot(apart, apart))
    slope = dot(apart, tangent)
    noise = 1e-10 * (1.0 + distance)
    n = len(names)
    everyone = np.arange(n)
    least = np.argmin(distance, axis=0)
    best = np.minimum(distance[least, everyone], limit)
    reach = arcs.radius * arcs.half * (2.0 / steps)
    floor = (distance[:-1] + distance[1:] - reach) / 2.0
    holds = (slope[:-1] < -noise[:-1]) & (slope[1:] > noise[1:]) & (floor < best)
    row, column = np.nonzero(holds)
    refined = _refined(arcs.take(column), sets.take(column), turn, slope, row, column)
    pick_row = np.concatenate([np.zeros(n, np.intp), np.full(n, steps, np.intp), least])
    pick_column = np.tile(everyone, 3)
    arc_place = (pick_row == steps).astype(np.int8) - (pick_row == 0).astype(np.int8)
    return Minima(
        np.concatenate([names[pick_column], names[column]]),
        np.concatenate([point[:, pick_row, pick_column], refined[0]], axis=1),
        np.concatenate([foot[:, pick_row, pick_column], refined[1]], axis=1),
        np.concatenate([arc_place, np.zeros(len(column), np.int8)]),
        np.concatenate([place[pick_row, pick_column], refined[2]]),
    )


def _refined(
    arcs: Arcs, sets: Sets, turn: Array, slope: Array, row: NDArray[np.intp], column: NDArray[np.intp]
) -> tuple[Array, Array, Place]:
    low, high = turn[row, column], turn[row + 1, column]
    at_low, at_high = slope[row, column], slope[row + 1, column]
    last = np.zeros(len(low), dtype=np.int8)
    for _ in range(ROUNDS):
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        point, tangent = arcs.at(middle)
        foot, place = sets.feet(point)
        at_middle = dot(minus(point, foot), tangent)
        falling = at_middle < 0.0
        # Illinois: the slope at a bound that stays put twice is halved, so that both bounds close in
        at_high = np.where(
            falling, np.where(last == -1, at_high / 2.0, at_high), np.maximum(at_middle, 1e-300)
        )
        at_low = np.where(falling, at_middle, np.where(last == 1, at_low / 2.0, at_low))
        low, high = np.where(falling, middle, low), np.where(falling, high, middle)
        last = np.where(falling, -1, 1).astype(np.int8)
    return point, foot, place
