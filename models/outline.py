"""Plan outlines of straight and circular edges: what a prism is cut from."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, cos, hypot, pi, sin, sqrt, tau

import numpy as np
from msgspec import Struct

from models.motion import Array


class Loop(Struct, frozen=True, eq=False):
    """One closed ring of straight and circular edges in the plane.

    starts: (n, 2) mm; edge i runs from starts[i] to starts[(i + 1) % n].
    sweeps: (n,) rad; 0 for a straight edge, else the signed angle of the arc, counterclockwise positive.
    centers: (n, 2) mm, the center of an arc; NaN for a straight edge.
    A full circle is one edge (n = 1) with a sweep of +-2 pi.
    """

    starts: Array
    sweeps: Array
    centers: Array

    @property
    def ends(self) -> Array:
        """(n, 2): where each edge ends."""
        return np.concatenate([self.starts[1:], self.starts[:1]])

    @property
    def area(self) -> float:
        """Signed area, mm2, closed form; positive when the ring runs counterclockwise."""
        a, b = self.starts, self.ends
        chords = float(np.sum(a[:, 0] * b[:, 1] - b[:, 0] * a[:, 1])) / 2.0
        arc = self.sweeps != 0.0
        radius2 = np.sum((a[arc] - self.centers[arc]) ** 2, axis=1)
        segments = float(np.sum(radius2 * (self.sweeps[arc] - np.sin(self.sweeps[arc])))) / 2.0
        return chords + segments

    @property
    def perimeter(self) -> float:
        """Length of the ring, mm."""
        arc = self.sweeps != 0.0
        straight = float(np.sum(np.linalg.norm(self.ends - self.starts, axis=1)[~arc]))
        radius = np.linalg.norm(self.starts[arc] - self.centers[arc], axis=1)
        return straight + float(np.sum(radius * np.abs(self.sweeps[arc])))

    def reversed(self) -> Loop:
        """The same ring, run the other way."""
        return Loop(self.ends[::-1].copy(), -self.sweeps[::-1], self.centers[::-1].copy())

    def polyline(self, chord_error: float) -> Array:
        """(m, 2) points on the ring, true to `chord_error` mm; arcs keep their end points."""
        out: list[Array] = []
        for start, sweep, center in zip(self.starts, self.sweeps, self.centers, strict=True):
            if sweep == 0.0:
                out.append(start[None, :])
                continue
            arm = start - center
            radius = hypot(*arm)
            n = arc_steps(radius, abs(float(sweep)), chord_error)
            angle = atan2(arm[1], arm[0]) + np.arange(n) * (sweep / n)
            out.append(center + radius * np.column_stack([np.cos(angle), np.sin(angle)]))
        return np.concatenate(out)


def arc_steps(radius: float, sweep: float, chord_error: float) -> int:
    """How many equal chords keep an arc within `chord_error` mm of its chords (sagitta, closed form)."""
    if chord_error >= radius:
        return max(3, int(np.ceil(sweep / (pi / 2))))
    half = np.arccos(1.0 - chord_error / radius)
    return max(int(np.ceil(sweep / pi * 2.0)), int(np.ceil(sweep / (2.0 * half))), 3 if sweep > 6.0 else 1)


class Outline(Struct, frozen=True, eq=False):
    """A region of the plane: one outer ring (counterclockwise) less its holes (clockwise)."""

    outer: Loop
    holes: tuple[Loop, ...] = ()

    @property
    def area(self) -> float:
        """Net area, mm2, closed form."""
        return self.outer.area + sum(hole.area for hole in self.holes)

    def with_holes(self, holes: Sequence[Loop]) -> Outline:
        """The same outer ring with more holes; each is turned clockwise if need be."""
        more = tuple(h if h.area < 0 else h.reversed() for h in holes)
        return Outline(self.outer, self.holes + more)


def polygon(vertices: Array | Sequence[Sequence[float]]) -> Loop:
    """A ring of straight edges through (n, 2) vertices, as given (its sense is kept)."""
    starts = np.asarray(vertices, dtype=float)
    return Loop(starts, np.zeros(len(starts)), np.full((len(starts), 2), np.nan))


def rectangle(width: float, depth: float, center: tuple[float, float] = (0.0, 0.0)) -> Loop:
    """A rectangle `width` along x by `depth` along y (mm), counterclockwise."""
    x, y = width / 2.0, depth / 2.0
    corners = np.array([[-x, -y], [x, -y], [x, y], [-x, y]])
    return polygon(corners + np.asarray(center))


def circle(diameter: float, center: tuple[float, float] = (0.0, 0.0)) -> Loop:
    """A full circle (mm), counterclockwise: one edge."""
    c = np.asarray(center, dtype=float)
    return Loop((c + np.array([diameter / 2.0, 0.0]))[None, :], np.array([tau]), c[None, :].copy())


def hexagon(across_flats: float, center: tuple[float, float] = (0.0, 0.0), turn: float = 0.0) -> Loop:
    """A regular hexagon by its width across flats (mm); `turn` rad turns a corner off +x."""
    r = across_flats / sqrt(3.0)
    angle = turn + np.arange(6) * pi / 3.0
    return polygon(np.asarray(center) + r * np.column_stack([np.cos(angle), np.sin(angle)]))


def arc_center(
    start: Sequence[float], end: Sequence[float], radius: float, sense: int
) -> tuple[Array, float]:
    """Center (2,) and signed sweep of the minor arc from start to end; sense +1 turns counterclockwise.

    Raises ValueError when the chord is longer than the diameter.
    """
    (x0, y0), (x1, y1) = start, end
    chord = hypot(x1 - x0, y1 - y0)
    if chord == 0.0 or chord > 2.0 * radius:
        raise ValueError(f"an arc of radius {radius:g} cannot span {chord:g}")
    rise = sqrt(max(radius * radius - chord * chord / 4.0, 0.0)) * sense
    center = np.array(
        [(x0 + x1) / 2.0 - rise * (y1 - y0) / chord, (y0 + y1) / 2.0 + rise * (x1 - x0) / chord]
    )
    a0, a1 = atan2(y0 - center[1], x0 - center[0]), atan2(y1 - center[1], x1 - center[0])
    sweep = (a1 - a0) % tau if sense > 0 else -((a0 - a1) % tau)
    return center, sweep


def turned(loop: Loop, angle: float, shift: tuple[float, float] = (0.0, 0.0)) -> Loop:
    """The ring turned by `angle` rad counterclockwise about the origin, then shifted (mm)."""
    c, s = cos(angle), sin(angle)
    spin = np.array([[c, s], [-s, c]])
    return Loop(loop.starts @ spin + shift, loop.sweeps, loop.centers @ spin + shift)
