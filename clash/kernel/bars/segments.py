"""Segment against segment: the nearest points of straight centerlines in closed form."""

from __future__ import annotations

import numpy as np

from clash.kernel.bars.feet import Segments
from clash.kernel.bars.vec import along, cross, dot, minus
from models.motion import Array

NEARLY_PARALLEL = 1e-4
"""sin2 of the angle below which the clamped solution loses digits and the ends are tried as well."""


def nearest_on_segments(a: Segments, b: Segments) -> tuple[Array, Array]:
    """Where n pairs of segments come nearest: (n,) mm along a, (n,) mm along b.

    The clamped solution of the two lines; for nearly parallel ones the least of it and the four ends; for
    parallel ones the middle of the stretch where they lie side by side.
    """
    between = a.start - b.start
    sin2 = dot(n := cross(a.direction, b.direction), n)
    cos = dot(a.direction, b.direction)
    c, f = dot(a.direction, between), dot(b.direction, between)
    s = np.clip((cos * f - c) / np.maximum(sin2, 1e-300), 0.0, a.length)
    t = np.clip(cos * s + f, 0.0, b.length)
    s = np.clip(cos * t - c, 0.0, a.length)
    close = np.flatnonzero(sin2 < NEARLY_PARALLEL)
    if len(close):
        s[close], t[close] = _nearly_parallel(a.take(close), b.take(close), s[close], t[close])
    return s, t


def _nearly_parallel(a: Segments, b: Segments, s: Array, t: Array) -> tuple[Array, Array]:
    between = a.start - b.start
    cos = dot(a.direction, b.direction)
    c, f = dot(a.direction, between), dot(b.direction, between)
    # b's ends seen along a, and the stretch of a beside b
    b0, b1 = -c, b.length * cos - c
    low, high = np.maximum(np.minimum(b0, b1), 0.0), np.minimum(np.maximum(b0, b1), a.length)
    beside = np.clip((low + high) / 2.0, 0.0, a.length)
    zero = np.zeros_like(s)
    tries = [
        (beside, np.clip(cos * beside + f, 0.0, b.length)),
        (s, t),
        (zero, np.clip(f, 0.0, b.length)),
        (a.length, np.clip(cos * a.length + f, 0.0, b.length)),
        (np.clip(b0, 0.0, a.length), zero),
        (np.clip(b1, 0.0, a.length), b.length),
    ]
    best_s, best_t = tries[0]
    best = _distance(a, b, best_s, best_t)
    for si, ti in tries[1:]:
        d = _distance(a, b, si, ti)
        nearer = d < best - 1e-10  # the middle of a parallel stretch stands unless something is truly nearer
        best, best_s, best_t = (
            np.where(nearer, d, best),
            np.where(nearer, si, best_s),
            np.where(nearer, ti, best_t),
        )
    return best_s, best_t


def _distance(a: Segments, b: Segments, s: Array, t: Array) -> Array:
    apart = minus(along(a.start, s, a.direction), along(b.start, t, b.direction))
    return np.sqrt(dot(apart, apart))
