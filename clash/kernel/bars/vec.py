"""Vectors laid component by component: (3, ...) arrays, which numpy works through several times faster."""

from __future__ import annotations

import numpy as np

from clash.gap_table import Index
from models.motion import Array


def dot(a: Array, b: Array) -> Array:
    """Scalar products of (3, ...) vectors."""
    return np.asarray(a[0] * b[0] + a[1] * b[1] + a[2] * b[2])


def cross(a: Array, b: Array) -> Array:
    """Vector products of (3, ...) vectors."""
    return np.stack(
        [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]],
    )


def norm(a: Array) -> Array:
    """Lengths of (3, ...) vectors."""
    return np.sqrt(dot(a, a))


def minus(a: Array, b: Array) -> Array:
    """a - b of (3, ...) vectors whose trailing axes broadcast."""
    out: Array = np.empty((3, *np.broadcast_shapes(a.shape[1:], b.shape[1:])))
    for k in range(3):
        np.subtract(a[k], b[k], out=out[k])
    return out


def picked(a: Array, row: Index, column: Index) -> Array:
    """(3, k): a[:, row, column] of a (3, r, n) array, several times faster."""
    return np.asarray(a.reshape(3, -1).take(row * a.shape[2] + column, axis=1))


def along(start: Array, step: Array, direction: Array) -> Array:
    """start + step * direction; start, direction (3, ...), step (...), whose trailing axes broadcast."""
    out: Array = np.empty((3, *np.broadcast_shapes(start.shape[1:], step.shape, direction.shape[1:])))
    for k in range(3):
        np.multiply(step, direction[k], out=out[k])
        out[k] += start[k]
    return out
