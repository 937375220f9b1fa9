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

from math import pi

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from clash.gap_table import Index
from clash.kernel.bars.feet import Arcs, Place, Segments, Sets
from clash.kernel.bars.pieces import Mask
from clash.kernel.bars.vec import dot, minus, picked
from models.motion import Array

STEPS = 4
"""How many steps a quarter circle is sampled in at first."""
CUT = 4
"""How many steps a doubtful step is cut into."""
CUTS = 6
"""How often at most."""
FEW = 512
"""Of so few problems the number of calls is what counts: all are sampled alike, and cut twice at once."""
DIP = 1e-3
"""mm: dips that could not win by more than this are not looked for."""
ROUNDS = 12
FLAT = 1e-7
"""mm2: a slope (of half the squared distance) that is nothing.

The error in the distance is of second order.
"""


class Minima(Struct, frozen=True, eq=False):
    """Local minima found, in columns, several a problem.

    problem: (k,) which; on_arc, on_set: (3, k) mm; arc_place, set_place: (k,) -1 at a start, 1 at an end, 0
    between.
    """

    problem: Index
    on_arc: Array
    on_set: Array
    arc_place: Place
    set_place: Place


class _Problems(Struct, frozen=True, eq=False):
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
    if len(quarters) <= FEW:
        quarters[:] = quarters.max(initial=0)
    found: list[Minima] = []
    doubtful: list[tuple[Arcs, Index]] = []
    for quarter in np.flatnonzero(np.bincount(quarters, minlength=1)):
        which = np.flatnonzero(quarters == quarter)
        whole = _Problems(arcs.take(which), sets.take(which), which, STEPS * int(quarter), whole=True)
        minima, parts, name = _sampled(whole, limit, least_only)
        found.append(minima)
        doubtful.append((parts, name))
    cuts = 0
    while cuts < CUTS:
        name = np.concatenate([n for _, n in doubtful]) if doubtful else np.zeros(0, np.intp)
        if not len(name):
            break
        at_once = 2 if len(name) <= FEW and cuts + 2 <= CUTS else 1
        cuts += at_once
        arcs = Arcs.join([p for p, _ in doubtful])
        todo = _Problems(arcs, sets.take(name), name, CUT**at_once, whole=False)
        minima, parts, name = _sampled(todo, limit, least_only)
        found.append(minima)
        doubtful = [(parts, name)]
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


def _sampled(todo: _Problems, limit: Array, least_only: Mask) -> tuple[Minima, Arcs, Index]:
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
    falls, rises = slope[:-1] < -noise[:-1], slope[1:] > noise[1:]
    near = (distance[:-1] + distance[1:] - length) / 2.0 < limit[name]
    row, column = np.nonzero(falls & rises & near)
    refined = _refined(arcs.take(column), todo.sets.take(column), turn, slope, row, column)
    turned_apart = minus(refined[0], refined[1])
    single = least_only[name[column]]
    np.minimum.at(limit, name[column[single]], np.sqrt(dot(turned_apart, turned_apart))[single])
    # a sample that lies level is no turn between two others: it stands for itself
    level = np.nonzero((np.abs(slope) <= noise) & (distance <= limit[name] + 1e-9))
    ends = everyone if todo.whole else everyone[:0]
    pick_row = np.concatenate([np.zeros(len(ends), np.intp), np.full(len(ends), steps, np.intp), level[0]])
    pick_column = np.concatenate([ends, ends, level[1]])
    if todo.whole:
        arc_place = (pick_row == steps).astype(np.int8) - (pick_row == 0).astype(np.int8)
    else:
        arc_place = np.zeros(len(pick_row), np.int8)
    minima = Minima(
        np.concatenate([name[pick_column], name[column]]),
        np.concatenate([picked(point, pick_row, pick_column), refined[0]], axis=1),
        np.concatenate([picked(foot, pick_row, pick_column), refined[1]], axis=1),
        np.concatenate([arc_place, np.zeros(len(column), np.int8)]),
        np.concatenate([place[pick_row, pick_column], refined[2]]),
    )
    row, column = _doubtful(
        todo, _Samples(point, tangent, apart, place, square, slope), near, falls & rises, limit
    )
    middle = (turn[row, column] + turn[row + 1, column]) / 2.0
    return minima, arcs.take(column).part(middle, arcs.half[column] / steps), name[column]


class _Samples(Struct, frozen=True, eq=False):
    """Samples of arcs, (..., steps + 1, n): points, unit tangents, lines from their feet, places of the feet.

    square: mm2, squared distances; slope: mm, of half the squared distance along the arc.
    """

    point: Array
    tangent: Array
    apart: Array
    place: Place
    square: Array
    slope: Array


def _doubtful(todo: _Problems, at: _Samples, near: Mask, turns: Mask, limit: Array) -> tuple[Index, Index]:
    """Steps (rows) of problems (columns) that may hide a dip that could win.

    With q half the squared distance and s the length along the arc, the slope dq/ds falls at a bounded rate;
    a dip needs it to fall from its value at one end to nothing. Where a dip was found already a second one
    needs the nearest point to pass onto the end of a segment, or a set that is no segment.
    """
    length = todo.arcs.radius * todo.arcs.half * (2.0 / todo.steps)
    rising = at.slope[:-1] > 0.0
    start = np.where(rising, at.square[:-1], at.square[1:])
    steep = np.abs(np.where(rising, at.slope[:-1], at.slope[1:]))
    farthest = np.sqrt(np.maximum(at.square[:-1], at.square[1:])) + length / 2.0
    win = np.maximum(limit[todo.name] - DIP, 0.0) ** 2
    turned = turns & (at.place[:-1] != at.place[1:]) if isinstance(todo.sets, Segments) else turns

    def doubt(fall: Array, row: Index | slice, column: Index | slice) -> Mask:
        dip = (steep[row, column] < fall) & (start[row, column] - fall * length[column] < win[column])
        second = turned[row, column] & (fall * length[column] > 2.0 * DIP * farthest[row, column])
        return np.asarray(second | (dip & ~turns[row, column]))

    if not isinstance(todo.sets, Arcs):  # off a convex set the curve of the arc is all that can turn it down
        near = near & doubt(farthest * (length / todo.arcs.radius), slice(None), slice(None))
    row, column = np.nonzero(near)
    rate = _fall_rate(todo.arcs.take(column), todo.sets.take(column), at, row, column, length[column])
    sure = doubt(rate * length[column], row, column)
    return row[sure], column[sure]


def _fall_rate(arcs: Arcs, sets: Sets, at: _Samples, row: Index, column: Index, length: Array) -> Array:
    """(k,) the most that the slope of q can fall per mm, over steps `row` of arcs.

    Its change is T . H T - (x - foot) . (x - center) / radius2, T the tangent and H half the second
    derivative
    of the squared distance to the set: I - d d' off a segment of direction d, I off its ends, positive
    semidefinite off any convex set, and off a circle 1 - its radius / rho along it, rho being the distance
    to its axis. Between two samples the second term changes by no more than (2 / radius + distance / radius2)
    a mm.
    """
    center, radius2 = arcs.center, arcs.radius**2
    both = (row, row + 1)
    out = [
        dot(picked(at.apart, r, column), minus(picked(at.point, r, column), center)) / radius2 for r in both
    ]
    farthest = np.sqrt(np.maximum(*(at.square[r, column] for r in both))) + length / 2.0
    turning = np.maximum(*out) + length / 2.0 * (2.0 / arcs.radius + farthest / radius2)
    turning = np.minimum(turning, farthest / arcs.radius)
    if isinstance(sets, Segments):
        lean = np.maximum(*(np.abs(dot(picked(at.tangent, r, column), sets.direction)) for r in both))
        lean = np.minimum(lean + length / (2.0 * arcs.radius), 1.0)
        return np.asarray(np.maximum(turning + lean * lean - 1.0, 0.0))
    if isinstance(sets, Arcs):
        one, other = (picked(at.point, r, column) for r in both)
        rate: Array = np.maximum(turning + sets.bend_between(one, other, length) - 1.0, 0.0)
        # where the nearest end of the other arc changes, the slope drops at once
        rate[at.place[row, column] * at.place[row + 1, column] < 0] = np.inf
        return rate
    return np.asarray(np.maximum(turning, 0.0))


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
