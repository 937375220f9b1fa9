"""Swept bars for tests: drawn as one walks, straight on or round a bend."""

from __future__ import annotations

from math import cos, sin

import numpy as np

from models.motion import Array, Motion
from models.solids import Swept


def straight_bar(start: tuple[float, ...] | Array, end: tuple[float, ...] | Array, radius: float) -> Swept:
    """A straight bar from start to end (3,), mm."""
    nothing = np.full((1, 3), np.nan)
    return Swept(np.array([start, end], dtype=float), np.zeros(1), nothing, nothing, radius)


class Walk:
    """Draws a centerline.

    `ahead` goes straight, `bend` goes round, `roll` turns the plane of the next bend.
    """

    def __init__(self, start: Array, heading: Array, side: Array) -> None:
        """Start (3,) mm; heading (3,) and side (3,), toward the center of the next bend, unit and square."""
        self.at = np.asarray(start, dtype=float)
        self.heading = np.asarray(heading, dtype=float)
        self.side = np.asarray(side, dtype=float)
        self.knots = [self.at]
        self.angles: list[float] = []
        self.centers: list[Array] = []
        self.axes: list[Array] = []

    def ahead(self, length: float) -> Walk:
        """Straight on by a length in mm."""
        return self._add(self.at + length * self.heading, 0.0, np.full(3, np.nan), np.full(3, np.nan))

    def roll(self, angle: float) -> Walk:
        """Turn the plane of the next bend about the heading, rad."""
        up = np.cross(self.heading, self.side)
        self.side = cos(angle) * self.side + sin(angle) * up
        return self

    def bend(self, angle: float, radius: float) -> Walk:
        """Round toward the side by an angle in rad, on a centerline radius in mm."""
        center, axis = self.at + radius * self.side, np.cross(self.heading, self.side)
        end = center + radius * (sin(angle) * self.heading - cos(angle) * self.side)
        self.heading, self.side = (
            cos(angle) * self.heading + sin(angle) * self.side,
            cos(angle) * self.side - sin(angle) * self.heading,
        )
        return self._add(end, angle, center, axis)

    def _add(self, end: Array, angle: float, center: Array, axis: Array) -> Walk:
        self.at = end
        self.knots.append(end)
        self.angles.append(angle)
        self.centers.append(center)
        self.axes.append(axis)
        return self

    def bar(self, radius: float) -> Swept:
        """The bar along what was walked, mm."""
        return Swept(
            np.array(self.knots),
            np.array(self.angles),
            np.array(self.centers),
            np.array(self.axes),
            radius,
        )


def turned_anyhow(rng: np.random.Generator) -> Array:
    """(3, 3): a rotation drawn evenly."""
    w, x, y, z = (q := rng.normal(size=4)) / np.linalg.norm(q)
    return np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
    )


def moved_anyhow(rng: np.random.Generator, reach: float) -> Motion:
    """Any turn, and a shift of about `reach` mm."""
    return Motion(turned_anyhow(rng), rng.normal(size=3) * reach)


def depth_in_bar(bar: Swept, point: Array) -> float:
    """How deep a point (3,) lies in the bar's pieces, mm; negative outside.

    0 at a section between two pieces.
    """
    best = -np.inf
    pieces = zip(bar.knots[:-1], bar.knots[1:], bar.angles, bar.centers, bar.axes, strict=True)
    for start, end, angle, center, axis in pieces:
        if angle == 0.0:
            length = np.linalg.norm(end - start)
            heading = (end - start) / length
            along = (point - start) @ heading
            off = np.linalg.norm(point - start - along * heading)
            ends = min(along, length - along)
        else:
            arm = start - center
            radius = np.linalg.norm(arm)
            x, y = arm / radius, np.cross(axis, arm / radius)
            u, v, w = (point - center) @ x, (point - center) @ y, (point - center) @ axis
            off = np.hypot(np.hypot(u, v) - radius, w)
            # how far past the planes of the two ends
            ends = min(v, sin(angle) * u - cos(angle) * v)
            if angle > np.pi / 2 and u < 0.0 and ends < 0.0 and angle < np.pi:
                ends = min(ends, 0.0)
        best = max(best, min(ends, bar.radius - off))
    return float(best)
