"""Where the site is: the turn and move that lay measured points over drawn ones, outliers told, scale told.

The turn is the one of least squares in closed form (the plane case of the orthogonal Procrustes problem: the
angle of sum(conj(drawn) * measured) over points taken from their means), and the move takes mean to mean. A
scale is measured and told, never applied.
"""

from __future__ import annotations

from math import cos, sin

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from models.motion import Array, turned_points

Flags = NDArray[np.bool_]

FEWEST = 2
"""Points that a turn needs."""
_PAIRS = 400
_ROUNDS = 50


class BestFit(Struct, frozen=True, eq=False):
    """measured = turn * drawn + move, as nearly as can be.

    turn: rad counterclockwise; move: (2,) mm, where the drawing's origin comes to lie; residuals: (n, 2) mm,
    measured less drawn, in the drawing's axes; outliers: (n,) the points that had no say; rms: mm, root mean
    square length of the residuals of all others; ppm: how much farther apart the others are measured than
    drawn, in millionths.
    """

    turn: float
    move: Array
    residuals: Array
    outliers: Flags
    rms: float
    ppm: float

    def to_drawing(self, points: Array) -> Array:
        """Measured points (n, 2), mm, in the drawing's axes."""
        c, s = cos(self.turn), sin(self.turn)
        back: Array = (points - self.move) @ np.array([[c, -s], [s, c]])
        return back


def best_fit(drawn: Array, measured: Array, usual: float) -> BestFit:
    """Lay measured points over drawn ones, (n, 2) mm each, by least squares over all but the outliers.

    usual: mm, how far off a point may be without being suspect. An outlier lies farther off than that, and
    than three standard deviations (by the median). Raises ValueError with one sentence where there are fewer
    than two points, or all are one.
    """
    if len(drawn) < FEWEST or np.ptp(drawn, axis=0).max() <= 0.0:
        raise ValueError("a best fit needs at least two points that are apart")
    kept = _agreeing(drawn, measured, usual)
    seen: set[bytes] = set()
    for _ in range(_ROUNDS):
        turn, move = _least_squares(drawn[kept], measured[kept])
        off = np.hypot(*_residuals(drawn, measured, turn, move).T)
        now = off <= _limit(off[kept], usual)
        if now.sum() < FEWEST or np.array_equal(now, kept) or now.tobytes() in seen:
            break
        seen.add(now.tobytes())
        kept = now
    turn, move = _least_squares(drawn[kept], measured[kept])
    residuals = _residuals(drawn, measured, turn, move)
    rms = float(np.sqrt(np.mean(np.sum(residuals[kept] ** 2, axis=1))))
    return BestFit(turn, move, residuals, ~kept, rms, _ppm(drawn[kept], residuals[kept]))


def as_it_stands(drawn: Array, measured: Array, usual: float) -> BestFit:
    """No fit at all: the measured coordinates are taken for the drawing's; outliers are told all the same."""
    residuals = measured - drawn
    far = np.hypot(residuals[:, 0], residuals[:, 1])
    out = far > _limit(far, usual)
    rms = float(np.sqrt(np.mean(far[~out] ** 2))) if len(drawn) else 0.0
    apart = np.count_nonzero(~out) >= FEWEST and np.ptp(drawn[~out], axis=0).max() > 0.0
    ppm = _ppm(drawn[~out], residuals[~out]) if apart else 0.0
    return BestFit(0.0, np.zeros(2), residuals, out, rms, ppm)


def _limit(off: Array, usual: float) -> float:
    """mm: what is farther off is an outlier: farther than usual, and than three standard deviations.

    1.4826 medians are one of them, for a bell curve (1 / .67449, its upper quartile).
    """
    return max(usual, 3.0 * 1.4826 * float(np.median(off))) if len(off) else usual


def _least_squares(drawn: Array, measured: Array) -> tuple[float, Array]:
    """Turn and move of least squares over all points given."""
    a, b = drawn.mean(axis=0), measured.mean(axis=0)
    p, q = drawn - a, measured - b
    turn = float(np.arctan2(np.sum(p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]), np.sum(p * q)))
    return turn, b - turned_points(a[None, :], turn)[0]


def _residuals(drawn: Array, measured: Array, turn: float, move: Array) -> Array:
    """(n, 2): measured less drawn, in the drawing's axes."""
    # Means first: a survey's coordinates must not cost a digit.
    a = drawn.mean(axis=0)
    at = move + turned_points(a[None, :], turn)[0]
    residuals: Array = turned_points(measured - at, -turn) - (drawn - a)
    return residuals


def _ppm(drawn: Array, residuals: Array) -> float:
    """Millionths by which points are measured farther apart than drawn, by least squares."""
    p = drawn - drawn.mean(axis=0)
    return float(np.sum(p * (residuals - residuals.mean(axis=0))) / np.sum(p * p) * 1e6)


def _agreeing(drawn: Array, measured: Array, usual: float) -> Flags:
    """The points that the most agree on: of many pairs, the pair whose turn and move most points follow.

    Of pairs that as many follow, the one whose followers lie nearest.
    """
    first, second = _pairs(drawn)
    arm, seen = drawn[second] - drawn[first], measured[second] - measured[first]
    apart = np.hypot(arm[:, 0], arm[:, 1])
    best, kept = (-1, -np.inf), np.ones(len(drawn), dtype=bool)
    for k in np.flatnonzero(np.abs(np.hypot(seen[:, 0], seen[:, 1]) - apart) <= 2.0 * usual + 1e-3 * apart):
        i, j = first[k], second[k]
        turn, move = _least_squares(drawn[[i, j]], measured[[i, j]])
        # A pair that is off by a third of `usual` at either end swings a point that lies farther by more.
        off = np.hypot(*_residuals(drawn, measured, turn, move).T)
        far = np.hypot(*(drawn - drawn[[i, j]].mean(axis=0)).T) / apart[k]
        near = off <= usual * (1.0 + 2.0 / 3.0 * far)
        score = (int(near.sum()), -float(np.median(off[near])) if near.any() else -np.inf)
        if score > best:
            best, kept = score, near
    return kept if best[0] >= FEWEST else np.ones(len(drawn), dtype=bool)


def _pairs(drawn: Array) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Up to some hundred pairs of points that are far apart, the same for the same points."""
    n = len(drawn)
    i, j = np.triu_indices(n, 1) if n <= 60 else _drawn_pairs(n)
    apart = np.hypot(*(drawn[i] - drawn[j]).T)
    wide = np.flatnonzero(apart > 0.25 * apart.max())
    chosen = wide[np.linspace(0, len(wide) - 1, min(_PAIRS, len(wide))).round().astype(np.intp)]
    return i[chosen], j[chosen]


def _drawn_pairs(n: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    lots = np.random.default_rng(n).integers(0, n, (4 * _PAIRS, 2))
    lots = lots[lots[:, 0] != lots[:, 1]]
    return lots[:, 0], lots[:, 1]
