"""The concrete that parts stand in, sorted by how its faces are measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import pi, sqrt

import numpy as np

from clash.kernel.cover.planes import Planes
from clash.kernel.cover.round import Cones
from clash.kernel.prism_table import PrismTable
from clash.kernel.tables import Index
from models.motion import Array, Motion
from models.outline import Outline
from models.solids import Prism

_DIAGONAL = sqrt(0.5)
_FAR = 1e5
"""mm: how far a ring of walls is drawn out up and down, so that only its walls matter."""


@dataclass(frozen=True, slots=True, eq=False)
class Container:
    """An outline under an upright motion, between heights low and high (mm, pier's frame), its chamfer at z
    = 0.
    """

    outline: Outline
    motion: Motion
    low: float
    high: float
    chamfer: float = 0.0


@dataclass(slots=True)
class Containers:
    """Containers of many piers, each filed by its shape: between planes, round, or any ring of edges."""

    shape: list[str] = field(default_factory=list)
    place: list[int] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    chamfer: list[float] = field(default_factory=list)
    _normals: list[Array] = field(default_factory=list)
    _offsets: list[Array] = field(default_factory=list)
    _circles: list[tuple[float, float, float]] = field(default_factory=list)
    _rings: list[Prism] = field(default_factory=list)

    def add(self, container: Container) -> int:
        """File one; its number comes back."""
        outer = container.outline.outer
        if _convex(container.outline):
            self.shape.append("planes")
            self.place.append(len(self._normals))
            normals, offsets = _planes(container)
            self._normals.append(normals)
            self._offsets.append(offsets)
        elif not container.outline.holes and len(outer.sweeps) == 1 and abs(outer.sweeps[0]) > 2 * pi - 1e-9:
            self.shape.append("round")
            self.place.append(len(self._circles))
            x, y, _ = container.motion.points(np.append(outer.centers[0], 0.0))
            self._circles.append((float(x), float(y), float(np.hypot(*(outer.starts[0] - outer.centers[0])))))
        else:
            self.shape.append("ring")
            self.place.append(len(self._rings))
            self._rings.append(Prism(container.outline, -_FAR, _FAR, container.motion))
        self.low.append(container.low)
        self.high.append(container.high)
        self.chamfer.append(container.chamfer)
        return len(self.shape) - 1

    def planes(self) -> Planes:
        """The planes of those between planes."""
        return planes_of(self._normals, self._offsets)

    def rings(self) -> PrismTable:
        """The rings, drawn out up and down."""
        return PrismTable.of(self._rings)

    def cones(self, place: Index, chamfer: Array | None) -> Cones:
        """Sides of the round ones at `place` (n,), or with `chamfer` (n,) mm the cones of their chamfers."""
        circles = np.array(self._circles, dtype=float).reshape(-1, 3)[place]
        n = len(place)
        if chamfer is None:
            return Cones(circles[:, 0], circles[:, 1], np.ones(n), np.zeros(n), circles[:, 2])
        diagonal = np.full(n, _DIAGONAL)
        offset = (circles[:, 2] - chamfer) * _DIAGONAL
        return Cones(circles[:, 0], circles[:, 1], diagonal, diagonal, offset)


def planes_of(normals: Sequence[Array], offsets: Sequence[Array]) -> Planes:
    """Planes of several containers: normals (k, 3) and offsets (k,) of each."""
    first = np.concatenate([[0], np.cumsum([len(o) for o in offsets])]).astype(np.intp)
    if not offsets:
        return Planes(first, np.zeros((3, 0)), np.zeros(0))
    return Planes(first, np.ascontiguousarray(np.concatenate(normals).T), np.concatenate(offsets))


def _convex(outline: Outline) -> bool:
    """Whether the outline is one ring of straight edges that nowhere turns right."""
    if outline.holes or np.any(outline.outer.sweeps != 0.0):
        return False
    starts = outline.outer.starts
    edge = np.concatenate([starts[1:], starts[:1]]) - starts
    after = np.concatenate([edge[1:], edge[:1]])
    turn = edge[:, 0] * after[:, 1] - edge[:, 1] * after[:, 0]
    size = np.sqrt(np.sum(edge**2, axis=1) * np.sum(after**2, axis=1))
    return bool(np.all(turn >= -1e-12 * size))


def _planes(container: Container) -> tuple[Array, Array]:
    """Planes of the sides, and of the chamfers that leave each side a leg below the top."""
    start = container.outline.outer.starts
    edge = np.concatenate([start[1:], start[:1]]) - start
    length = np.sqrt(np.sum(edge**2, axis=1))
    keep = length > 0.0
    start, edge = start[keep], edge[keep] / length[keep, None]
    flat = np.column_stack([edge[:, 1], -edge[:, 0], np.zeros(len(edge))])
    normal = container.motion.vectors(flat)
    corner = container.motion.points(np.column_stack([start, np.zeros(len(start))]))
    offset = np.sum(normal * corner, axis=1)
    if container.chamfer <= 0.0:
        return normal, offset
    sloped = (normal + np.array([0.0, 0.0, 1.0])) * _DIAGONAL
    return np.concatenate([normal, sloped]), np.concatenate(
        [offset, (offset - container.chamfer) * _DIAGONAL]
    )
