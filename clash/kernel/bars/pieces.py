"""The pieces of swept solids, ready to be measured: frames of bends, tangents at ends, boxes, support."""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from clash.gap_table import Index
from clash.kernel.bars.feet import Arcs, Disks, Segments
from clash.kernel.bars.vec import cross, dot, norm
from clash.kernel.tables import SweptTable
from models.motion import Array

Mask = NDArray[np.bool_]
KINK = 5e-3
"""How far (rad, and mm) two pieces of a centerline may be from meeting smoothly."""


class Pieces(Struct, frozen=True, eq=False):
    """m pieces in columns; vectors are (3, m).

    first: (n + 1,) pieces of solid i are first[i] : first[i + 1]; radius: (m,) mm of the bar.
    start, end: mm; tangent_start, tangent_end: unit, along the run; length: (m,) mm, of the chord.
    bent: (m,) bool. center, middle, across, bend_radius, half: as in `Arcs`, zero where straight.
    free_start, free_end: (m,) bool, a flat end of the solid.
    low, high: (3, m) mm, bounds of the centerline.
    """

    first: Index
    radius: Array
    start: Array
    end: Array
    tangent_start: Array
    tangent_end: Array
    length: Array
    bent: Mask
    center: Array
    middle: Array
    across: Array
    bend_radius: Array
    half: Array
    free_start: Mask
    free_end: Mask
    low: Array
    high: Array

    @staticmethod
    def of(table: SweptTable) -> Pieces:
        """Work out the frames once for a table."""
        start, end = np.ascontiguousarray(table.start.T), np.ascontiguousarray(table.end.T)
        with np.errstate(invalid="ignore"):  # what is not finite is told by `unsound`
            chord = end - start
            length = norm(chord)
            straight = chord / np.where(length > 0.0, length, 1.0)
        bent = table.angle > 0.0
        m = len(bent)
        low, high = np.minimum(start, end), np.maximum(start, end)
        tangent_start, tangent_end = straight.copy(), straight.copy()
        center, middle, across = (np.zeros((3, m)) for _ in range(3))
        bend_radius, half = np.zeros(m), np.zeros(m)
        if bent.any():
            axis, c = table.axis[bent].T, table.center[bent].T
            out, back = start[:, bent] - c, end[:, bent] - c
            radius = norm(out)
            half_angle = table.angle[bent] / 2.0
            e1 = out / radius
            e2 = cross(axis, e1)
            mid = np.cos(half_angle) * e1 + np.sin(half_angle) * e2
            run = cross(axis, mid)
            tangent_start[:, bent], tangent_end[:, bent] = e2, cross(axis, back / norm(back))
            center[:, bent], middle[:, bent], across[:, bent] = c, mid, run
            bend_radius[bent], half[bent] = radius, half_angle
            reach = np.sqrt(mid * mid + run * run)
            inside = np.cos(half_angle) * reach
            low[:, bent] = np.where(-mid >= inside, c - radius * reach, low[:, bent])
            high[:, bent] = np.where(mid >= inside, c + radius * reach, high[:, bent])
        return Pieces(
            first=table.first,
            radius=np.repeat(table.radius, np.diff(table.first)),
            start=start,
            end=end,
            tangent_start=tangent_start,
            tangent_end=tangent_end,
            length=length,
            bent=bent,
            center=center,
            middle=middle,
            across=across,
            bend_radius=bend_radius,
            half=half,
            free_start=table.free_start,
            free_end=table.free_end,
            low=low,
            high=high,
        )

    @property
    def unsound(self) -> Mask:
        """(n,) solids that cannot be measured.

        A coordinate is not finite, a piece has no length, a bend is more than half a circle, or the
        centerline has a kink (more than `KINK`), where two pieces do not meet in one section.
        """
        length = np.where(self.bent, self.bend_radius * self.half, self.length)
        ends = np.isfinite(self.start + self.end + self.tangent_start + self.tangent_end).all(axis=0)
        bad = ~(ends & (length > 0.0) & np.isfinite(length + self.radius) & (self.half <= np.pi / 2.0 + 1e-9))
        out = np.zeros(len(self.first) - 1, dtype=bool)
        owner = np.repeat(np.arange(len(out)), np.diff(self.first))
        out[owner[bad]] = True
        turn = self.tangent_end[:, :-1] - self.tangent_start[:, 1:]
        gap = self.end[:, :-1] - self.start[:, 1:]
        kinked = (dot(turn, turn) > KINK**2) | (dot(gap, gap) > KINK**2)
        out[owner[:-1][kinked & (owner[:-1] == owner[1:])]] = True
        return out

    def segments(self, which: Index) -> Segments:
        """Straight pieces, or the chords of bends."""
        start, length = self.start.take(which, axis=1), self.length[which]
        if not self.bent[which].any():
            return Segments(start, self.tangent_start.take(which, axis=1), length)
        return Segments(
            start, (self.end.take(which, axis=1) - start) / np.where(length > 0.0, length, 1.0), length
        )

    def arcs(self, which: Index) -> Arcs:
        """Bends."""
        return Arcs(
            self.center.take(which, axis=1),
            self.middle.take(which, axis=1),
            self.across.take(which, axis=1),
            self.bend_radius[which],
            self.half[which],
        )

    def ends(self, which: Index, at_end: Mask) -> Disks:
        """The flat disk at the end of pieces, or the start where at_end (n,) is False, its normal outward."""
        center = np.where(at_end, self.end.take(which, axis=1), self.start.take(which, axis=1))
        normal = np.where(
            at_end, self.tangent_end.take(which, axis=1), -self.tangent_start.take(which, axis=1)
        )
        return Disks(center, normal, self.radius[which])

    def is_free(self, which: Index, at_end: Mask) -> Mask:
        """(n,) whether the end (or the start) of each piece is a flat end of its bar."""
        return np.where(at_end, self.free_end[which], self.free_start[which])

    def least_along(self, which: Index, direction: Array) -> Array:
        """(n,) mm: the least of x . direction over each piece's solid; direction (3, n) unit.

        The centerline's value less the radius times the sine to the tangent, at both ends; on a bend also
        where the centerline turns back, if it does (no other point of a torus has that normal while the bend
        is wider than the bar).
        """
        radius = self.radius[which]

        def over(point: Array, tangent: Array) -> Array:
            slope = dot(direction, tangent)
            return np.asarray(dot(direction, point) - radius * np.sqrt(np.maximum(1.0 - slope * slope, 0.0)))

        least = np.minimum(
            over(self.start.take(which, axis=1), self.tangent_start.take(which, axis=1)),
            over(self.end.take(which, axis=1), self.tangent_end.take(which, axis=1)),
        )
        u, v = (
            dot(direction, self.middle.take(which, axis=1)),
            dot(direction, self.across.take(which, axis=1)),
        )
        reach = np.sqrt(u * u + v * v)
        turns = self.bent[which] & (-u >= np.cos(self.half[which]) * reach)
        bottom = dot(direction, self.center.take(which, axis=1)) - self.bend_radius[which] * reach - radius
        return np.where(turns, np.minimum(least, bottom), least)
