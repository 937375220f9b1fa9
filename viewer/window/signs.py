"""The signs of levels as flat shapes: outline, pattern and color, each of which tells a level alone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct, field

from models.motion import Array
from viewer.legend.looks import LevelLook, Pattern, Shape
from viewer.scene.meshes import rgb

if TYPE_CHECKING:
    import pyvista as pv

RIM = "#1c2326"
_CORNERS = {
    Shape.OCTAGON: (8, np.pi / 8.0, 1.0),
    Shape.TRIANGLE: (3, np.pi / 2.0, 1.15),
    Shape.SQUARE: (4, np.pi / 4.0, 1.05),
    Shape.CIRCLE: (24, 0.0, 0.82),
}
_LINES, _DOTS = 4, 4
"""Hatch lines, and dots in a row, across a sign."""


class Flat(Struct, eq=False):
    """Polygons and lines in a plane, each with its color; (n, 2) points."""

    fills: list[tuple[Array, str]] = field(default_factory=list)
    lines: list[tuple[Array, str]] = field(default_factory=list)

    def add(self, other: Flat) -> None:
        """Put another on top."""
        self.fills += other.fills
        self.lines += other.lines


def sign(look: LevelLook, x: float, y: float, radius: float) -> Flat:
    """The sign of a level about (x, y)."""
    count, start, share = _CORNERS[look.shape]
    angle = start + 2.0 * np.pi * np.arange(count) / count
    ring = np.array([x, y]) + share * radius * np.column_stack([np.cos(angle), np.sin(angle)])
    flat = Flat()
    flat.fills.append((ring, "#ffffff" if look.pattern is Pattern.EMPTY else look.color))
    if look.pattern is Pattern.HATCH:
        flat.lines += [(line, RIM) for line in _hatch(ring, 2.0 * radius / _LINES)]
    if look.pattern is Pattern.DOTS:
        flat.fills += [(dot, "#ffffff") for dot in _dots(ring, 2.0 * radius / _DOTS)]
    rim = look.color if look.pattern is Pattern.EMPTY else RIM
    flat.lines.append((closed(ring), rim))
    return flat


def closed(ring: Array) -> Array:
    """(n + 1, 2): a ring that ends where it began."""
    return np.vstack([ring, ring[:1]])


def _hatch(ring: Array, step: float) -> list[Array]:
    """Lines that rise to the right within a convex ring."""
    out = np.array([1.0, -1.0]) / np.sqrt(2.0)
    across = ring @ out
    found = []
    for c in np.arange(across.min() + step / 2.0, across.max(), step):
        hits = []
        for a, b, pa, pb in zip(across, np.roll(across, -1), ring, np.roll(ring, -1, axis=0), strict=True):
            if (a - c) * (b - c) < 0.0:
                hits.append(pa + (c - a) / (b - a) * (pb - pa))
        if len(hits) == 2:
            found.append(np.array(hits))
    return found


def _dots(ring: Array, step: float) -> list[Array]:
    """Small squares within a convex ring that runs counterclockwise."""
    middle, half = ring.mean(axis=0), step * 0.18
    square = half * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    edge = np.roll(ring, -1, axis=0) - ring
    found = []
    for i in np.arange(-2.0, 3.0):
        for j in np.arange(-2.0, 3.0):
            dot = middle + step * np.array([i, j]) * 0.75 + square
            off = dot[:, None] - ring
            if np.all(edge[:, 0] * off[..., 1] - edge[:, 1] * off[..., 0] > 0.0):
                found.append(dot)
    return found


def fills_data(flat: Flat, z: float = 0.0) -> pv.PolyData:
    """The polygons for VTK, cell_data `rgb`; later ones a hair higher, so that they cover."""
    points = [
        np.column_stack([ring, np.full(len(ring), z + 1e-3 * k)]) for k, (ring, _) in enumerate(flat.fills)
    ]
    return _data(points, [color for _, color in flat.fills], "faces")


def lines_data(flat: Flat, z: float = 0.0) -> pv.PolyData:
    """The lines for VTK, cell_data `rgb`."""
    points = [np.column_stack([line, np.full(len(line), z)]) for line, _ in flat.lines]
    return _data(points, [color for _, color in flat.lines], "lines")


def _data(points: Sequence[Array], colors: Sequence[str], kind: str) -> pv.PolyData:
    import pyvista as pv

    if not points:
        return pv.PolyData()
    counts = [len(p) for p in points]
    starts = np.cumsum([0, *counts[:-1]])
    cells = np.concatenate(
        [np.concatenate([[n], np.arange(s, s + n)]) for s, n in zip(starts, counts, strict=True)]
    )
    every = np.concatenate(points).astype(np.float32)
    data = pv.PolyData(every, faces=cells) if kind == "faces" else pv.PolyData(every, lines=cells)
    data.cell_data["rgb"] = np.array([rgb(color) for color in colors], dtype=np.uint8)
    data.cell_data.active_scalars_name = "rgb"
    return data
