"""Does it drop on? The rigid move of a plate or beam that leaves the most room in its tightest hole.

Every hole k (radius R, center h in the plate's plan) goes over a rod (radius r) whose center line passes the
plate between two points p: a leaning rod has both, at the plate's underside and its top. What lies between is
the hull of two discs, and a round hole takes the hull exactly when it takes both. After a turn by `a` about
the plate's own origin and a shift s, the room in a hole is

    (R - r) - |p - (turn(a) h + s)|

and the answer is the move with the greatest least room over all of them. For one turn that is the smallest
circle round weighted points (`clash.fits.enclosing`), solved exactly. Over the turns it is a branch and
bound: the shares l and unit vectors g that prove the answer at one turn bound the room at every turn,
whatever the shift, since |v| >= g.v for every g no longer than 1:

    room(a) <= sum l (R - r + g.p) - sum l g.turn(a) h = A - B cos(a) - C sin(a)      where sum l g = 0,

and where the plate can shift by no more than S, sum l g = d costs S |d|. The greatest value of that cosine
over a range of turns is closed form. Ranges that cannot hold a better move are dropped and the rest halved,
so the room and the bound close on each other over the whole range of turn: no local answer.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from clash.fits.enclosing import Index, smallest
from models.motion import Array

TOLERANCE = 1e-4
"""mm: the room is proven to be the most there is, up to this."""
_NEWTON = 60
_LEVELS = 70
"""Halvings: 70 of a full turn are far below what a float can tell apart."""


class Fits(Struct, frozen=True, eq=False):
    """The best move of each of n plates.

    room: (n,) mm in the tightest hole at that move, negative where a rod runs into its rim; bound: (n,) mm,
    no move leaves more; turn: (n,) rad counterclockwise about the plate's origin; shift: (n, 2) mm after it;
    rooms: (n, k) mm in each hole there, infinite where there is none.
    """

    room: Array
    bound: Array
    turn: Array
    shift: Array
    rooms: Array


class Plates(Struct, frozen=True, eq=False):
    """n plates over their rods; k is the most holes of one of them, times two where rods lean.

    holes: (n, k, 2) mm, in the plate's plan; rods: (n, k, 2) mm, where the rods pass, in the same axes;
    slack: (n, k) mm, hole radius less rod radius, infinite where there is no hole.
    turn: (n,) rad, the most that it can turn either way (up to pi); shift: (n,) mm, the most that its origin
    can move, infinite where nothing holds it.
    """

    holes: Array
    rods: Array
    slack: Array
    turn: Array
    shift: Array

    def only(self, which: Index) -> Plates:
        """Some of them, in this order, or one of them more than once."""
        return Plates(
            self.holes[which], self.rods[which], self.slack[which], self.turn[which], self.shift[which]
        )

    def rooms(self, turn: Array, shift: Array) -> Array:
        """(n, k) mm of room in every hole after a turn (n,) and a shift (n, 2)."""
        off = self.rods - (turned(self.holes, turn) + shift[:, None, :])
        rooms: Array = self.slack - np.hypot(off[..., 0], off[..., 1])
        return rooms


class _Bound(Struct, frozen=True, eq=False):
    """room(a) <= constant - cosine cos(a) - sine sin(a), for each of m turns that were solved."""

    constant: Array
    cosine: Array
    sine: Array

    def most(self, low: Array, high: Array) -> Array:
        """(m,): the greatest value between two turns."""

        def at(turn: Array) -> Array:
            value: Array = self.constant - self.cosine * np.cos(turn) - self.sine * np.sin(turn)
            return value

        crest = np.arctan2(-self.sine, -self.cosine)
        crest += 2.0 * np.pi * np.ceil((low - crest) / (2.0 * np.pi))
        most: Array = np.maximum(at(low), at(high))
        return np.where(crest <= high, self.constant + np.hypot(self.cosine, self.sine), most)


def best_moves(plates: Plates, tolerance: float = TOLERANCE) -> Fits:
    """The move of each plate that leaves the most room in its tightest hole, proven up to `tolerance` (mm).

    Of moves that leave the same room, the one found first, from no turn outward, is kept. Each plate has at
    least one hole. Raises ValueError for places that are no numbers: nothing could be proven of them.
    """
    if not (np.isfinite(plates.holes).all() and np.isfinite(plates.rods).all()):
        raise ValueError("a hole or a rod has no place")
    n = len(plates.slack)
    room, bound = np.full(n, -np.inf), np.full(n, -np.inf)
    turn, shift = np.zeros(n), np.zeros((n, 2))
    seat = np.arange(n)
    low, high, upper = -plates.turn, plates.turn.copy(), np.full(n, np.inf)
    for _ in range(_LEVELS):
        middle = (low + high) / 2.0
        here = plates.only(seat)
        reached, at, most = _at_turn(here, middle)
        upper = np.minimum(upper, most.most(low, high))
        _keep_best(seat, reached, middle, at, room, turn, shift)
        alive = upper > room[seat] + tolerance
        # A range too narrow to halve says what it can, and no more.
        narrow = alive & ((middle <= low) | (middle >= high))
        np.maximum.at(bound, seat[~alive | narrow], upper[~alive | narrow])
        alive &= ~narrow
        seat, low, high, middle, upper = seat[alive], low[alive], high[alive], middle[alive], upper[alive]
        if not len(seat):
            break
        seat, upper = np.concatenate([seat, seat]), np.concatenate([upper, upper])
        low, high = np.concatenate([low, middle]), np.concatenate([middle, high])
    np.maximum.at(bound, seat, upper)
    return Fits(room, np.maximum(bound, room), turn, shift, plates.rooms(turn, shift))


def turned(points: Array, turn: Array) -> Array:
    """Points (m, k, 2) turned by (m,) rad counterclockwise about the origin."""
    c, s = np.cos(turn)[:, None], np.sin(turn)[:, None]
    return np.stack(
        [c * points[..., 0] - s * points[..., 1], s * points[..., 0] + c * points[..., 1]], axis=2
    )


def _keep_best(
    seat: Index, reached: Array, turn: Array, at: Array, room: Array, best_turn: Array, shift: Array
) -> None:
    """Keep, for each plate, the best of the moves just tried where it beats what it has."""
    order = np.lexsort((np.abs(turn), -reached, seat))
    seats, first = np.unique(seat[order], return_index=True)
    best = order[first]
    better = reached[best] > room[seats] + 1e-9
    seats, best = seats[better], best[better]
    room[seats], best_turn[seats], shift[seats] = reached[best], turn[best], at[best]


def _at_turn(plates: Plates, turn: Array) -> tuple[Array, Array, _Bound]:
    """The most room (m,) at one turn each, the shift (m, 2) that leaves it, and the bound that it proves."""
    ahead = plates.rods - turned(plates.holes, turn)
    weights = -plates.slack
    found = smallest(ahead, weights)
    center = found.center.copy()
    far = np.flatnonzero(np.hypot(center[:, 0], center[:, 1]) > plates.shift)
    share = found.share.copy()
    toward, basis = found.toward.copy(), found.basis.copy()
    if len(far):
        held = _held(ahead[far], weights[far], plates.shift[far], found.value[far])
        center[far], share[far], toward[far], basis[far] = held
    off = ahead - center[:, None, :]
    room = -np.max(np.hypot(off[..., 0], off[..., 1]) + weights, axis=1)
    return room, center, _bound(plates, share, toward, basis)


def _held(ahead: Array, weights: Array, most: Array, value: Array) -> tuple[Array, Array, Array, Index]:
    """Centers no farther from the origin than `most` (m,), with shares, directions and points that decide.

    The level v is met when the discs of radius v - w round the points and the disc of radius `most` round the
    origin share a point: when the smallest circle round the points and the origin, weighted v - most, has
    v or less. That excess is convex in v, so Newton's steps from below never pass the least such v.
    """
    m = len(value)
    points = np.concatenate([ahead, np.zeros((m, 1, 2))], axis=1)
    origin = ahead.shape[1]
    level = value.copy()
    for _ in range(_NEWTON):
        found = smallest(points, np.concatenate([weights, (level - most)[:, None]], axis=1))
        excess = found.value - level
        if np.all(excess <= 1e-9):
            break
        slope = 1.0 - np.sum(np.where(found.basis == origin, found.share, 0.0), axis=1)
        level = np.where((excess > 1e-9) & (slope > 1e-12), level + excess / np.maximum(slope, 1e-12), level)
    reach = np.hypot(found.center[:, 0], found.center[:, 1])
    center = found.center * np.minimum(1.0, most / np.maximum(reach, 1e-300))[:, None]
    own = (found.basis >= 0) & (found.basis != origin)
    share = np.where(own, found.share, 0.0)
    total = share.sum(axis=1, keepdims=True)
    basis = np.where(own, found.basis, -1)
    # A plate that cannot move at all is decided by its tightest hole alone.
    none = np.flatnonzero(total[:, 0] <= 0.0)
    toward = found.toward.copy()
    if len(none):
        off = center[none, None, :] - ahead[none]
        away = np.hypot(off[..., 0], off[..., 1])
        tight = np.argmax(away + weights[none], axis=1)
        one = np.arange(len(none))
        basis[none], share[none], total[none] = -1, 0.0, 1.0
        basis[none, 0], share[none, 0] = tight, 1.0
        toward[none, 0] = off[one, tight] / np.maximum(away[one, tight], 1e-300)[:, None]
    return center, share / total, toward, basis


def _bound(plates: Plates, share: Array, toward: Array, basis: Index) -> _Bound:
    """The bound over all turns that the deciding points of one turn prove, whatever the shift."""
    rows = np.arange(len(basis))[:, None]
    taken = np.maximum(basis, 0)
    share = np.where(basis >= 0, share, 0.0)
    drift = np.sum(share[..., None] * toward, axis=1)
    free = np.isinf(plates.shift)
    # Where nothing holds the plate the directions have to cancel to the last digit: what is left of their sum
    # is taken out of each, and each made no longer than 1 again.
    rest = np.where(free[:, None], drift, 0.0)
    size = 1.0 + np.hypot(rest[:, 0], rest[:, 1])
    g = (toward - rest[:, None, :]) / size[:, None, None]
    cost = np.where(free, 0.0, np.hypot(drift[:, 0], drift[:, 1]) * np.where(free, 0.0, plates.shift))
    h, p = plates.holes[rows, taken], plates.rods[rows, taken]
    slack = np.where(basis >= 0, plates.slack[rows, taken], 0.0)
    constant = np.sum(share * (slack + np.sum(g * p, axis=2)), axis=1) + cost
    cosine = np.sum(share * np.sum(g * h, axis=2), axis=1)
    sine = np.sum(share * (g[..., 1] * h[..., 0] - g[..., 0] * h[..., 1]), axis=1)
    return _Bound(constant, cosine, sine)
