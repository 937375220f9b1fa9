"""The smallest circle round weighted points, for many sets of points at once.

For points u with weights w it finds the center s that minimizes max(|u - s| + w): a convex problem in the
plane, decided by at most three of the points. A working set of three takes in the point that sticks out
farthest and keeps the best three of the four, until nothing sticks out; each step is closed arithmetic.
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from models.motion import Array

Index = NDArray[np.intp]

_STEPS = 200
"""Far more than any set needs: the value grows with each step, and a dozen do for fifty points."""


class Enclosing(Struct, frozen=True, eq=False):
    """The answers for n sets.

    center: (n, 2); value: (n,), max(|u - center| + w) over all points of the set.
    basis: (n, 3) which points decide it, -1 for none; share: (n, 3) their multipliers, >= 0, sum 1;
    toward: (n, 3, 2) from each to the center, of length 1 or less. Where the answer is exact, the shares of
    `toward` cancel: sum(share * toward) = 0.
    """

    center: Array
    value: Array
    basis: Index
    share: Array
    toward: Array


def smallest(points: Array, weights: Array) -> Enclosing:
    """The smallest circle round each set of weighted points.

    points: (n, k, 2) mm; weights: (n, k) mm, -inf for a point that is none; each set has at least one.
    """
    n = len(points)
    rows = np.arange(n)
    basis = np.full((n, 3), -1, dtype=np.intp)
    basis[:, 0] = np.argmax(weights, axis=1)
    center = points[rows, basis[:, 0]].copy()
    value = weights[rows, basis[:, 0]].copy()
    active = rows
    for _ in range(_STEPS):
        reach = _reach(points[active], weights[active], center[active])
        out = np.argmax(reach, axis=1)
        farthest = reach[np.arange(len(active)), out]
        # Beyond the noise of the arithmetic: coordinates of 100 m carry some 1e-11 mm.
        scale = 1.0 + np.abs(farthest) + np.max(np.abs(points[active]), axis=(1, 2))
        sticks = farthest > value[active] + 1e-14 * scale
        value[active] = np.where(sticks, value[active], np.maximum(value[active], farthest))
        active, out = active[sticks], out[sticks]
        if not len(active):
            break
        found, at, kept = _of_four(points[active], weights[active], basis[active], out)
        grown = found > value[active]
        active = active[grown]
        value[active], center[active], basis[active] = found[grown], at[grown], kept[grown]
    value = _reach(points, weights, center).max(axis=1)
    share, toward = _multipliers(points, center, basis)
    return Enclosing(center, value, basis, share, toward)


def _reach(points: Array, weights: Array, center: Array) -> Array:
    """(n, k): |u - s| + w."""
    off = points - center[:, None, :]
    reach: Array = np.hypot(off[..., 0], off[..., 1]) + weights
    return reach


def _of_four(points: Array, weights: Array, basis: Index, new: Index) -> tuple[Array, Array, Index]:
    """Value (m,), center (m, 2) and basis (m, 3) of the working set with the point `new` in it.

    The new point sticks out of the circle so far, so it decides the next one, alone or with one or two of the
    others; of all circles that could be meant, the least that goes round all four is the answer.
    """
    rows = np.arange(len(new))[:, None]
    four = np.concatenate([new[:, None], basis], axis=1)
    there = four >= 0
    u = points[rows, four]
    w = np.where(there, weights[rows, four], -np.inf)
    centers = [u[:, 0]]
    members: list[tuple[int, ...]] = [(0,)]
    with np.errstate(all="ignore"):  # points that coincide or stand in line give no circle: NaN, never taken
        for b in (1, 2, 3):
            centers.append(_of_pair(u[:, 0], u[:, b], w[:, 0], w[:, b]))
            members.append((0, b))
        for b, c in combinations((1, 2, 3), 2):
            for at in _of_three(u[:, [0, b, c]], w[:, [0, b, c]]):
                centers.append(at)
                members.append((0, b, c))
        tried = np.stack(centers, axis=1)
        off = tried[:, :, None, :] - u[:, None, :, :]
        value = np.max(np.hypot(off[..., 0], off[..., 1]) + w[:, None, :], axis=2)
    for k, some in enumerate(members):
        value[~there[:, list(some)].all(axis=1), k] = np.inf
    value = np.where(np.isfinite(value), value, np.inf)
    best = np.argmin(value, axis=1)
    pick = np.full((len(members), 3), -1, dtype=np.intp)
    for k, some in enumerate(members):
        pick[k, : len(some)] = some
    slots = pick[best]
    kept = np.where(slots >= 0, np.take_along_axis(four, np.maximum(slots, 0), axis=1), -1)
    one = np.arange(len(new))
    return value[one, best], tried[one, best], kept


def _of_pair(a: Array, b: Array, wa: Array, wb: Array) -> Array:
    """(m, 2): where |a - s| + wa = |b - s| + wb on the line between the two."""
    span = b - a
    apart = np.hypot(span[:, 0], span[:, 1])
    center: Array = a + ((apart + wb - wa) / 2.0 / apart)[:, None] * span
    return np.where(np.abs(wa - wb)[:, None] < apart[:, None], center, np.nan)


def _of_three(u: Array, w: Array) -> tuple[Array, Array]:
    """Both (m, 2) where |u - s| + w is the same for three points (Apollonius), by one quadratic.

    With the first point as origin and t = v - w0: b.s = (b.b - beta^2) / 2 + beta t, and the same for the
    third, so s = s0 + s1 t, put into s.s = t^2.
    """
    arm = u[:, 1:] - u[:, :1]
    more = w[:, 1:] - w[:, :1]
    det = arm[:, 0, 0] * arm[:, 1, 1] - arm[:, 0, 1] * arm[:, 1, 0]
    half = (np.sum(arm * arm, axis=2) - more * more) / 2.0

    def solved(right: Array) -> Array:
        return (
            np.stack(
                [
                    right[:, 0] * arm[:, 1, 1] - right[:, 1] * arm[:, 0, 1],
                    right[:, 1] * arm[:, 0, 0] - right[:, 0] * arm[:, 1, 0],
                ],
                axis=1,
            )
            / det[:, None]
        )

    s0, s1 = solved(half), solved(more)
    a = np.sum(s1 * s1, axis=1) - 1.0
    b = np.sum(s0 * s1, axis=1)
    c = np.sum(s0 * s0, axis=1)
    root = np.sqrt(np.maximum(b * b - a * c, 0.0))
    q = -(b + np.where(b < 0.0, -root, root))
    first, second = q / a, c / q
    return (
        u[:, 0] + s0 + s1 * first[:, None],
        u[:, 0] + s0 + s1 * second[:, None],
    )


def _multipliers(points: Array, center: Array, basis: Index) -> tuple[Array, Array]:
    """Shares (n, 3) and directions (n, 3, 2) of the points that decide."""
    there = basis >= 0
    off = center[:, None, :] - points[np.arange(len(basis))[:, None], np.maximum(basis, 0)]
    away = np.hypot(off[..., 0], off[..., 1])
    toward = np.where(
        (there & (away > 0.0))[..., None], off / np.where(away > 0.0, away, 1.0)[..., None], 0.0
    )
    count = there.sum(axis=1)
    share = np.zeros(basis.shape)
    share[count == 1, 0] = 1.0
    share[count == 2, :2] = 0.5
    three = np.flatnonzero(count == 3)
    if len(three):
        e = toward[three]
        opposite = np.stack(
            [_cross(e[:, 1], e[:, 2]), _cross(e[:, 2], e[:, 0]), _cross(e[:, 0], e[:, 1])], axis=1
        )
        opposite *= np.where(opposite.sum(axis=1) < 0.0, -1.0, 1.0)[:, None]
        opposite = np.maximum(opposite, 0.0)
        total = opposite.sum(axis=1, keepdims=True)
        share[three] = np.where(total > 0.0, opposite / np.where(total > 0.0, total, 1.0), 1.0 / 3.0)
    return share, toward


def _cross(a: Array, b: Array) -> Array:
    cross: Array = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return cross
