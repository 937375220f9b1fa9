"""Where rods and holes are: a grid, a circle, or a list."""

from __future__ import annotations

from math import radians, tau

import numpy as np

from models.motion import Array
from models.spec.pier import PierSpec
from models.spec.seat import Pattern


def positions(pattern: Pattern) -> Array:
    """Centers (n, 2), mm, in the pier's frame, in the order in which they are numbered.

    A grid runs along x first, from its low corner; a circle runs counterclockwise from `start`. The pattern
    is turned about its own origin, then offset. Raises ValueError with one sentence when it says too little.
    """
    points = _turned(_own(pattern), radians(pattern.turn)) if pattern.turn else _own(pattern)
    centers: Array = points + np.array(pattern.offset, dtype=float)
    return centers


def middle(pattern: Pattern) -> Array:
    """(2,) mm, in the pier's frame: what a pattern is turned about when the crew turns it.

    Of a grid or a circle its center; of listed centers their mean. Raises ValueError like `positions`.
    """
    if pattern.at is None:
        return np.array(pattern.offset, dtype=float)
    mean: Array = positions(pattern).mean(axis=0)
    return mean


def rod_positions(spec: PierSpec) -> Array:
    """Centers (n, 2) of the pier's rods or bar anchors, mm, in the pier's frame; (0, 2) where it has none."""
    if spec.seat.rods is None:
        return np.zeros((0, 2))
    return positions(spec.seat.rods.pattern)


def _own(pattern: Pattern) -> Array:
    """Centers (n, 2) before the turn and the offset."""
    if pattern.grid is not None:
        return _grid(pattern.grid, pattern.spacing)
    if pattern.circle is not None:
        if pattern.count is None:
            raise ValueError("a pattern on a circle needs its count")
        angles = radians(pattern.start) + tau * np.arange(pattern.count) / pattern.count
        return pattern.circle / 2.0 * np.column_stack([np.cos(angles), np.sin(angles)])
    if pattern.at is not None:
        return np.array(pattern.at, dtype=float)
    raise ValueError("a pattern needs a grid, a circle or a list of centers (at)")


def _grid(count: tuple[int, int], spacing: tuple[float, float] | float | None) -> Array:
    """Centers (n, 2) of a grid about the origin; a single row or column needs no spacing across it."""
    if spacing is None and max(count) > 1:
        raise ValueError("a pattern on a grid needs its spacing")
    if min(count) < 1:
        raise ValueError("a pattern on a grid needs at least one along x and one along y")
    along_x, along_y = spacing if isinstance(spacing, tuple) else (spacing or 0.0, spacing or 0.0)
    x = (np.arange(count[0]) - (count[0] - 1) / 2.0) * along_x
    y = (np.arange(count[1]) - (count[1] - 1) / 2.0) * along_y
    return np.column_stack([np.tile(x, count[1]), np.repeat(y, count[0])])


def _turned(points: Array, angle: float) -> Array:
    c, s = np.cos(angle), np.sin(angle)
    turned: Array = points @ np.array([[c, s], [-s, c]])
    return turned
