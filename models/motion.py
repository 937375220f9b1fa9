"""Rigid motions: where a frame stands and how it is turned."""

from __future__ import annotations

from math import cos, sin

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

Array = NDArray[np.float64]


class Motion(Struct, frozen=True, eq=False):
    """A rigid motion p -> rotation @ p + shift.

    rotation: (3, 3), a proper rotation; shift: (3,), mm.
    """

    rotation: Array
    shift: Array

    @staticmethod
    def identity() -> Motion:
        """The motion that leaves everything where it is."""
        return Motion(np.eye(3), np.zeros(3))

    @staticmethod
    def turned(angle: float, shift: tuple[float, float, float] = (0.0, 0.0, 0.0)) -> Motion:
        """A turn by `angle` radians counterclockwise about z, then a shift (mm)."""
        c, s = cos(angle), sin(angle)
        return Motion(np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]]), np.array(shift, dtype=float))

    def points(self, points: Array) -> Array:
        """Move points, (..., 3) in and out."""
        return points @ self.rotation.T + self.shift

    def vectors(self, vectors: Array) -> Array:
        """Turn free vectors, (..., 3) in and out."""
        return vectors @ self.rotation.T

    def inverse(self) -> Motion:
        """The motion that undoes this one."""
        return Motion(self.rotation.T, -self.rotation.T @ self.shift)

    def after(self, first: Motion) -> Motion:
        """The motion that does `first`, then this one."""
        return Motion(self.rotation @ first.rotation, self.rotation @ first.shift + self.shift)


def turned_points(points: Array, angle: float) -> Array:
    """Points (n, 2) of the plan turned by `angle` radians counterclockwise about the origin."""
    c, s = cos(angle), sin(angle)
    around: Array = points @ np.array([[c, s], [-s, c]])
    return around
