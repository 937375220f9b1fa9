"""The concrete that parts stand in, sorted by how its faces are measured."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, pi, sqrt

import numpy as np
from msgspec import Struct, field

from clash.kernel.cover.planes import Planes
from clash.kernel.cover.round import Cones
from clash.kernel.prism_table import PrismTable
from clash.kernel.tables import Index
from models.motion import Array, Motion
from models.outline import Loop, Outline
from models.solids import Prism

Vector = tuple[float, float, float]
_DIAGONAL = sqrt(0.5)
_FAR = 1e5
"""mm: how far a ring of walls is drawn out up and down, so that only its walls matter."""


class Container(Struct, frozen=True, eq=False):
    """An outline under an upright motion, between heights low and high (mm, pier's frame), its chamfer at z
    = 0.
    """

    outline: Outline
    motion: Motion
    low: float
    high: float
    chamfer: float = 0.0


class Containers(Struct):
    """Containers of many piers, each filed by its shape: between planes, round, or any ring of edges.

    Many piers are cast in one form: what differs only in its heights shares its place.

    form: of each container, equal where outline, motion and chamfer are. low, high, chamfer: mm, of each.
    outline, motion, leg, shape, place: of each form; half: mm, half the lesser side of its box in plan.
    """

    form: list[int] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    chamfer: list[float] = field(default_factory=list)
    outline: list[Outline] = field(default_factory=list)
    motion: list[Motion] = field(default_factory=list)
    leg: list[float] = field(default_factory=list)
    shape: list[str] = field(default_factory=list)
    place: list[int] = field(default_factory=list)
    half: list[float] = field(default_factory=list)
    _known: dict[tuple[bytes, ...], int] = field(default_factory=dict)
    _normals: list[list[Vector]] = field(default_factory=list)
    _offsets: list[list[float]] = field(default_factory=list)
    _circles: list[tuple[float, float, float]] = field(default_factory=list)
    _rings: list[Prism] = field(default_factory=list)

    def add(self, container: Container) -> int:
        """File one; its number comes back."""
        form = self._known.setdefault(_contents(container), len(self.shape))
        if form == len(self.shape):
            self._cast(container)
        self.form.append(form)
        self.low.append(container.low)
        self.high.append(container.high)
        self.chamfer.append(container.chamfer)
        return len(self.form) - 1

    def _cast(self, container: Container) -> None:
        """File a form that was not there yet."""
        outer = container.outline.outer
        self.outline.append(container.outline)
        self.motion.append(container.motion)
        self.leg.append(container.chamfer)
        self.half.append(_half(outer))
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

    def planes(self) -> Planes:
        """The side planes of those between planes."""
        return planes_of(self._normals, self._offsets)

    def slopes(self) -> Planes:
        """The chamfer planes of those between planes; a side each, whether there is a chamfer or not."""
        sides = self.planes()
        legs = [leg for leg, shape in zip(self.leg, self.shape, strict=True) if shape == "planes"]
        leg = np.repeat(np.array(legs, dtype=float), np.diff(sides.first))
        normal = (sides.normal + np.array([[0.0], [0.0], [1.0]])) * _DIAGONAL
        return Planes(sides.first, normal, (sides.offset - leg) * _DIAGONAL)

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


def planes_of(normals: Sequence[Sequence[Vector]], offsets: Sequence[Sequence[float]]) -> Planes:
    """Planes of several containers: k normals and k offsets of each."""
    first = np.concatenate([[0], np.cumsum([len(o) for o in offsets])]).astype(np.intp)
    normal = np.array([n for some in normals for n in some], dtype=float).reshape(-1, 3)
    offset = np.array([o for some in offsets for o in some], dtype=float)
    return Planes(first, np.ascontiguousarray(normal.T), offset)


def _contents(container: Container) -> tuple[bytes, ...]:
    """What makes a form: two containers with the same contents differ in their heights at most."""
    rings = (container.outline.outer, *container.outline.holes)
    arrays = [a for ring in rings for a in (ring.starts, ring.sweeps, ring.centers)]
    arrays += [container.motion.rotation, container.motion.shift, np.array([container.chamfer])]
    return tuple(a.tobytes() for a in arrays)


def _half(ring: Loop) -> float:
    """Half the lesser side of a box that holds the ring and the circles of its arcs: nothing lies deeper."""
    arc = ring.sweeps != 0.0
    middle = np.where(arc[:, None], ring.centers, ring.starts)
    arm = np.hypot(*(ring.starts - middle).T)[:, None]
    return float(np.min(np.max(middle + arm, axis=0) - np.min(middle - arm, axis=0))) / 2.0


def _convex(outline: Outline) -> bool:
    """Whether the outline is one ring of straight edges that nowhere turns right."""
    if outline.holes or outline.outer.sweeps.any():
        return False
    corners = outline.outer.starts.tolist()
    edges = [(b[0] - a[0], b[1] - a[1]) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    return all(
        ax * by - ay * bx >= -1e-12 * hypot(ax, ay) * hypot(bx, by)
        for (ax, ay), (bx, by) in zip(edges, edges[1:] + edges[:1], strict=True)
    )


def _planes(container: Container) -> tuple[list[Vector], list[float]]:
    """Normals, outward, and offsets of the side planes. Plain numbers: a ring has few edges."""
    r, shift = container.motion.rotation.tolist(), container.motion.shift.tolist()
    corners = container.outline.outer.starts.tolist()
    normals, offsets = [], []
    for (x, y), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True):
        length = hypot(x1 - x, y1 - y)
        if length == 0.0:
            continue
        nx, ny = (y1 - y) / length, (x - x1) / length
        normal = (r[0][0] * nx + r[0][1] * ny, r[1][0] * nx + r[1][1] * ny, r[2][0] * nx + r[2][1] * ny)
        normals.append(normal)
        offsets.append(nx * x + ny * y + sum(n * s for n, s in zip(normal, shift, strict=True)))
    return normals, offsets
