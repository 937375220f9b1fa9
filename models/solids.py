"""The two families of solids: swept bars and prisms."""

from __future__ import annotations

from math import pi

import numpy as np
from msgspec import Struct, field

from models.motion import Array, Motion
from models.outline import Outline


class Swept(Struct, frozen=True, eq=False):
    """A round bar: a centerline of straight pieces and circular bends, a radius, flat ends.

    knots: (n + 1, 3) mm; piece i runs from knots[i] to knots[i + 1].
    angles: (n,) rad; 0 for a straight piece, else the angle of the bend (0 < angle <= pi).
    centers: (n, 3) mm, the center of a bend; NaN for a straight piece.
    axes: (n, 3) unit; the bend turns counterclockwise about its axis; NaN for a straight piece.
    radius: mm.
    The centerline's tangent is continuous; its two ends are flat, square to the tangent there.
    """

    knots: Array
    angles: Array
    centers: Array
    axes: Array
    radius: float

    @property
    def lengths(self) -> Array:
        """(n,) mm: the length of each piece along the centerline."""
        chord = np.linalg.norm(np.diff(self.knots, axis=0), axis=1)
        bend = np.linalg.norm(self.knots[:-1] - self.centers, axis=1) * self.angles
        lengths: Array = np.where(self.angles > 0.0, bend, chord)
        return lengths

    @property
    def length(self) -> float:
        """Centerline length, mm: the cut length of a bar."""
        return float(np.sum(self.lengths))

    @property
    def volume(self) -> float:
        """mm3: section times centerline length (Pappus; exact while no bend is tighter than the bar)."""
        return pi * self.radius**2 * self.length

    def moved(self, motion: Motion) -> Swept:
        """The same bar under a rigid motion."""
        return Swept(
            motion.points(self.knots),
            self.angles,
            motion.points(self.centers),
            motion.vectors(self.axes),
            self.radius,
        )


class Prism(Struct, frozen=True, eq=False):
    """A plan outline between two elevations (mm), under a rigid motion.

    The outline lies in the xy plane of the prism's own frame; `motion` carries that frame into the pier's.
    """

    outline: Outline
    bottom: float
    top: float
    motion: Motion = field(default_factory=Motion.identity)

    @property
    def volume(self) -> float:
        """mm3, closed form."""
        return self.outline.area * (self.top - self.bottom)

    def moved(self, motion: Motion) -> Prism:
        """The same prism under a further rigid motion."""
        return Prism(self.outline, self.bottom, self.top, motion.after(self.motion))


Solid = Swept | Prism


def same_solid(a: Solid, b: Solid) -> bool:
    """Whether two solids are the same to the last digit."""
    if a is b:
        return True
    if isinstance(a, Swept) and isinstance(b, Swept):
        return a.radius == b.radius and _same(
            (a.knots, a.angles, a.centers, a.axes), (b.knots, b.angles, b.centers, b.axes)
        )
    if not (isinstance(a, Prism) and isinstance(b, Prism)) or (a.bottom, a.top) != (b.bottom, b.top):
        return False
    return _same(_numbers(a), _numbers(b))


def _numbers(solid: Prism) -> tuple[Array, ...]:
    rings = (solid.outline.outer, *solid.outline.holes)
    motion = solid.motion
    return (motion.rotation, motion.shift, *(x for r in rings for x in (r.starts, r.sweeps, r.centers)))


def _same(a: tuple[Array, ...], b: tuple[Array, ...]) -> bool:
    return len(a) == len(b) and all(
        x is y or np.array_equal(x, y, equal_nan=True) for x, y in zip(a, b, strict=True)
    )
