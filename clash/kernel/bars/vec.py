"""Vectors laid component by component: (3, ...) arrays, which numpy works through several times faster."""

from __future__ import annotations

import numpy as np

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
    return np.stack([a[0] - b[0], a[1] - b[1], a[2] - b[2]])


def along(start: Array, step: Array, direction: Array) -> Array:
    """start + step * direction; start, direction (3, ...), step (...)."""
    return np.stack(
        [start[0] + step * direction[0], start[1] + step * direction[1], start[2] + step * direction[2]]
    )
