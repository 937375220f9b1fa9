"""Nearest points in closed form: from a point to a segment, to a circular arc, to a flat disk.

Vectors are (3, ...) arrays; the sets are n of a kind in columns, and points come as (3, n) or (3, k, n).
A foot's `place` is -1 at the start of a set, 1 at its end, 0 between.
"""

from __future__ import annotations

from typing import Protocol

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from clash.gap_table import Index
from clash.kernel.bars.vec import along, dot, minus
from models.motion import Array

Place = NDArray[np.int8]


class Sets(Protocol):
    """Point sets, n of a kind, that a nearest point is known of in closed form."""

    def feet(self, points: Array) -> tuple[Array, Place]:
        """The nearest points (3, ...) and their places (...)."""
        ...

    def take(self, which: Index) -> Sets:
        """Some of them, by index."""
        ...


class Segments(Struct, frozen=True, eq=False):
    """n segments: start, unit direction (3, n), length (n,) mm."""

    start: Array
    direction: Array
    length: Array

    def take(self, which: Index) -> Segments:
        """Some of them, by index."""
        return Segments(
            self.start.take(which, axis=1), self.direction.take(which, axis=1), self.length[which]
        )

    def feet(self, points: Array) -> tuple[Array, Place]:
        """Project and clamp."""
        t = dot(minus(points, self.start), self.direction)
        place = (t >= self.length).astype(np.int8) - (t <= 0.0)
        return along(self.start, np.minimum(np.maximum(t, 0.0), self.length), self.direction), place


class Arcs(Struct, frozen=True, eq=False):
    """n circular arcs about their middles.

    center (3, n) mm; middle (3, n) unit, toward the middle of the arc; across (3, n) unit, the way the arc
    runs there; radius (n,) mm; half (n,) rad, half the angle, at most pi (a full circle).
    """

    center: Array
    middle: Array
    across: Array
    radius: Array
    half: Array

    def take(self, which: Index) -> Arcs:
        """Some of them, by index."""
        return Arcs(
            self.center.take(which, axis=1),
            self.middle.take(which, axis=1),
            self.across.take(which, axis=1),
            self.radius[which],
            self.half[which],
        )

    @staticmethod
    def join(parts: list[Arcs]) -> Arcs:
        """End to end."""
        return Arcs(
            np.concatenate([p.center for p in parts], axis=1),
            np.concatenate([p.middle for p in parts], axis=1),
            np.concatenate([p.across for p in parts], axis=1),
            np.concatenate([p.radius for p in parts]),
            np.concatenate([p.half for p in parts]),
        )

    def part(self, turn: Array, half: Array) -> Arcs:
        """Shorter arcs of the same circles.

        Their middles turned by angles (n,), half as long as half (n,) says.
        """
        c, s = np.cos(turn), np.sin(turn)
        return Arcs(
            self.center,
            c * self.middle + s * self.across,
            c * self.across - s * self.middle,
            self.radius,
            half,
        )

    def bend_between(self, one: Array, other: Array, apart: Array) -> Array:
        """(n,) the most that radius / rho can be, rho the distance to the circle's axis, between points.

        one, other: (3, n), on a path of `apart` (n,) mm.
        """
        least = np.full(apart.shape, np.inf)
        for points in (one, other):
            y = minus(points, self.center)
            u, v = dot(y, self.middle), dot(y, self.across)
            least = np.minimum(least, np.sqrt(u * u + v * v))
        return np.asarray(self.radius / np.maximum(least - apart / 2.0, 1e-9))

    def at(self, turn: Array) -> tuple[Array, Array]:
        """Points and unit tangents at angles (..., n) from the middles."""
        c, s = np.cos(turn), np.sin(turn)
        point: Array = np.empty((3, *c.shape))
        tangent: Array = np.empty((3, *c.shape))
        for k in range(3):
            middle, across = self.middle[k], self.across[k]
            np.multiply(c, self.radius * middle, out=point[k])
            point[k] += s * (self.radius * across)
            point[k] += self.center[k]
            np.multiply(c, across, out=tangent[k])
            tangent[k] -= s * middle
        return point, tangent

    def feet(self, points: Array) -> tuple[Array, Place]:
        """Radially onto the circle within the arc's sector, else the nearer end.

        For arcs up to half a circle.
        """
        y = minus(points, self.center)
        u, v = dot(y, self.middle), dot(y, self.across)
        rho = np.sqrt(u * u + v * v)
        cos_half, sin_half = np.cos(self.half), np.sin(self.half)
        within = u >= cos_half * rho
        place = np.where(within, 0, np.where(v > 0.0, 1, -1)).astype(np.int8)
        safe = np.where(rho > 0.0, rho, 1.0)
        cu = np.where(within, np.where(rho > 0.0, u / safe, 1.0), cos_half)
        su = np.where(within, v / safe, np.where(v > 0.0, sin_half, -sin_half))
        foot = along(along(self.center, self.radius * cu, self.middle), self.radius * su, self.across)
        return foot, place


class Disks(Struct, frozen=True, eq=False):
    """n flat disks, the ends of bars: center (3, n) mm, outward unit normal (3, n), radius (n,) mm."""

    center: Array
    normal: Array
    radius: Array

    def take(self, which: Index) -> Disks:
        """Some of them, by index."""
        return Disks(self.center.take(which, axis=1), self.normal.take(which, axis=1), self.radius[which])

    def feet(self, points: Array) -> tuple[Array, Place]:
        """Onto the plane, then in to the rim; a disk has no start or end, so every place is 0."""
        y = minus(points, self.center)
        height = dot(y, self.normal)
        flat = along(y, -height, self.normal)
        away = np.sqrt(dot(flat, flat))
        pull = np.minimum(1.0, self.radius / np.maximum(away, 1e-300))
        return along(self.center, pull, flat), np.zeros(away.shape, dtype=np.int8)

    def rims(self) -> Arcs:
        """Their rims as full circles."""
        least = np.argmin(np.abs(self.normal), axis=0)
        helper = np.zeros_like(self.normal)
        helper[least, np.arange(helper.shape[1])] = 1.0
        middle = along(helper, -dot(helper, self.normal), self.normal)
        middle /= np.sqrt(dot(middle, middle))
        across = np.array(
            [
                self.normal[1] * middle[2] - self.normal[2] * middle[1],
                self.normal[2] * middle[0] - self.normal[0] * middle[2],
                self.normal[0] * middle[1] - self.normal[1] * middle[0],
            ]
        )
        return Arcs(self.center, middle, across, self.radius, np.full(self.radius.shape, np.pi))
