"""The least distances along circular arcs to sets whose nearest points are known: every local minimum.

Along an arc the distance to a segment, an arc or a disk has several local minima. It is sampled at equal
steps; every step over which its slope turns from falling to rising holds a minimum, and each that can still
win is refined by regula falsi (Illinois), all at once.

A step may still hide a dip, or a second one where the nearest point passes onto the end of a set. How fast
half the squared distance can turn down is bounded (by the distance over the arc's radius; near the axis of
another arc by more), and so is how deep such a dip can be: steps whose dip could still win are cut smaller
and sampled again, until none could by more than `DIP`.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from clash.gap_table import Index
from clash.kernel.bars.feet import Arcs, Place, Segments, Sets
from clash.kernel.bars.pieces import Mask
from clash.kernel.bars.vec import dot, minus
from models.motion import Array

STEPS = 6
"""How many steps a quarter circle is sampled in at first."""
CUT = 4
"""How many steps a doubtful step is cut into."""
CUTS = 6
"""How often at most."""
DIP = 1e-3
"""mm: dips that could not win by more than this are not looked for."""
ROUNDS = 12
FLAT = 1e-7
"""mm2: a slope (of half the squared distance) that is nothing.

The error in the distance is of second order.
"""


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


@dataclass(frozen=True, slots=True, eq=False)
class _Problems:
    """n arcs and the set that each is measured to.

    name: (n,) whose problem it is; steps: how many each is sampled in; whole: the ends of the arc are ends.
    """

    arcs: Arcs
    sets: Sets
    name: Index
    steps: int
    whole: bool


def minima_along(arcs: Arcs, sets: Sets, limit: Array, least_only: Mask) -> Minima:
    """Local minima of the distance from n arcs to n sets, and both ends of each arc.

    limit: (n,) mm; minima that are certainly no less than this may be left out.
    least_only: (n,) bool; where only the least of the minima matters, those certainly no less may be left
    out too.
    """
    limit = limit.copy()
    quarters = np.maximum(np.ceil(arcs.half * (4.0 / pi) - 1e-9), 1.0).astype(np.intp)
    found: list[Minima] = []
    for quarter in range(1, int(quarters.max(initial=0)) + 1):
        which = np.flatnonzero(quarters == quarter)
        todo = _Problems(arcs.take(which), sets.take(which), which, STEPS * quarter, whole=True)
        for _ in range(CUTS):
            if not len(todo.name):
                break
            minima, todo = _sampled(todo, limit, least_only)
            found.append(minima)
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


def _sampled(todo: _Problems, limit: Array, least_only: Mask) -> tuple[Minima, _Problems]:
    """The minima that samples show, and the steps that have to be cut smaller.

    `limit` is lowered in place.
    """
    arcs, name, steps = todo.arcs, todo.name, todo.steps
    turn = np.linspace(-1.0, 1.0, steps + 1)[:, None] * arcs.half
    point, tangent = arcs.at(turn)
    foot, place = todo.sets.feet(point)
    apart = minus(point, foot)
    square = dot(apart, apart)
    distance = np.sqrt(square)
    slope = dot(apart, tangent)
    noise = 1e-10 * (1.0 + distance)
    everyone = np.arange(len(name))
    least = np.argmin(distance, axis=0)
    single = least_only[name]
    np.minimum.at(limit, name[single], distance[least, everyone][single])
    length = arcs.radius * arcs.half * (2.0 / steps)
    falls, rises = slope[:-1] < -noise[:-1], slope[1:] >= -noise[1:]
    near = (distance[:-1] + distance[1:] - length) / 2.0 < limit[name]
    row, column = np.nonzero(falls & rises & near)
    refined = _refined(arcs.take(column), todo.sets.take(column), turn, slope, row, column)
    turned_apart = minus(refined[0], refined[1])
    single = least_only[name[column]]
    np.minimum.at(limit, name[column[single]], np.sqrt(dot(turned_apart, turned_apart))[single])
    # a level stretch has no turn to be found: its least sample stands for it
    level = np.flatnonzero(np.abs(slope[least, everyone]) <= noise[least, everyone])
    ends = everyone if todo.whole else everyone[:0]
    pick_row = np.concatenate(
        [np.zeros(len(ends), np.intp), np.full(len(ends), steps, np.intp), least[level]]
    )
    pick_column = np.concatenate([ends, ends, level])
    if todo.whole:
        arc_place = (pick_row == steps).astype(np.int8) - (pick_row == 0).astype(np.int8)
    else:
        arc_place = np.zeros(len(pick_row), np.int8)
    minima = Minima(
        np.concatenate([name[pick_column], name[column]]),
        np.concatenate([point[:, pick_row, pick_column], refined[0]], axis=1),
        np.concatenate([foot[:, pick_row, pick_column], refined[1]], axis=1),
        np.concatenate([arc_place, np.zeros(len(column), np.int8)]),
        np.concatenate([place[pick_row, pick_column], refined[2]]),
    )
    row, column = _doubtful(todo, point, place, square, slope, near, falls & rises, limit)
    middle = (turn[row, column] + turn[row + 1, column]) / 2.0
    return minima, _Problems(
        arcs.take(column).part(middle, arcs.half[column] / steps),
        todo.sets.take(column),
        name[column],
        CUT,
        whole=False,
    )


def _doubtful(
    todo: _Problems,
    point: Array,
    place: Place,
    square: Array,
    slope: Array,
    near: Mask,
    turns: Mask,
    limit: Array,
) -> tuple[Index, Index]:
    """Steps (rows) of problems (columns) that may hide a dip that could win.

    With q half the squared distance and s the length along the arc, dq/ds falls at a rate of at most
    distance / radius + the set's own bend; a dip needs it to fall from its value at one end to nothing. Where
    a dip was found already a second one needs the nearest point to change from a segment to its end, or a
    set that is no segment.
    """
    row, column = np.nonzero(near)
    arcs, name = todo.arcs, todo.name[column]
    length = (arcs.radius * arcs.half * (2.0 / todo.steps))[column]
    first, last = square[row, column], square[row + 1, column]
    farthest = np.sqrt(np.maximum(first, last)) + length / 2.0
    rate = farthest / arcs.radius[column]
    begins, ends = place[row, column], place[row + 1, column]
    if isinstance(todo.sets, Arcs):
        rate += todo.sets.take(column).bend_at(point[:, row, column], point[:, row + 1, column], length)
        # where the nearest end of the other arc changes, the slope drops at once
        rate[begins * ends < 0] = np.inf
    fall = rate * length
    rising = slope[row, column] > 0.0
    start = np.where(rising, first, last)
    steep = np.abs(np.where(rising, slope[row, column], slope[row + 1, column]))
    win = np.maximum(limit[name] - DIP, 0.0)
    hidden = (steep <= fall) & (start - fall * length < win * win)
    second = fall * length > 2.0 * DIP * farthest
    if isinstance(todo.sets, Segments):
        second &= begins != ends
    doubt = np.where(turns[row, column], second, hidden)
    return row[doubt], column[doubt]


def _refined(
    arcs: Arcs, sets: Sets, turn: Array, slope: Array, row: NDArray[np.intp], column: NDArray[np.intp]
) -> tuple[Array, Array, Place]:
    low, high = turn[row, column], turn[row + 1, column]
    at_low, at_high = slope[row, column], np.maximum(slope[row + 1, column], 1e-300)
    last = np.zeros(len(low), dtype=np.int8)
    for _ in range(ROUNDS):
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        point, tangent = arcs.at(middle)
        foot, place = sets.feet(point)
        at_middle = dot(minus(point, foot), tangent)
        if np.all(np.abs(at_middle) < FLAT):
            break
        falling = at_middle < 0.0
        # Illinois: the slope at a bound that stays put twice is halved, so that both bounds close in
        at_high = np.where(
            falling, np.where(last == -1, at_high / 2.0, at_high), np.maximum(at_middle, 1e-300)
        )
        at_low = np.where(falling, at_middle, np.where(last == 1, at_low / 2.0, at_low))
        low, high = np.where(falling, middle, low), np.where(falling, high, middle)
        last = np.where(falling, -1, 1).astype(np.int8)
    return point, foot, place
