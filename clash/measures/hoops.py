"""The laps of hoops: where their ends begin, how far they run past each other, what they hook round."""

from __future__ import annotations

from math import atan2, tau

import numpy as np
from msgspec import Struct

from models.motion import Array
from models.solids import Swept


class HoopLap(Struct, frozen=True, eq=False):
    """The lap of one hoop.

    center: (2,) mm, of its circle; radius: of its centerline, mm, at the middles of its arcs, where a
    climbing hoop reaches out to its circle.
    begin: direction (rad, counterclockwise from x) in which the hoop's run begins past its first hook; past:
    rad, how far it runs beyond a full turn; hooked: (n,) for each end that is hooked, (2,) the center of the
    hook's bend and its inside radius, mm.
    """

    center: Array
    radius: float
    begin: float
    past: float
    hooked: tuple[tuple[Array, float], ...]

    @property
    def length(self) -> float:
        """The lap along the centerline, mm; negative where the ends do not meet."""
        return self.past * self.radius


def lap_of(hoop: Swept) -> HoopLap:
    """The lap of a hoop: all its turn between the hooks at its ends, less a full turn.

    The run is the pieces whose bends are wide; what lies beyond them at an end is its hook. Raises ValueError
    for a bar without wide bends.
    """
    radius = np.linalg.norm(hoop.knots[:-1] - hoop.centers, axis=1)
    if not np.any(hoop.angles > 0.0):
        raise ValueError("a straight bar is no hoop")
    wide = np.flatnonzero((hoop.angles > 0.0) & (radius > 0.6 * np.nanmax(radius)))
    first, last = int(wide[0]), int(wide[-1])
    run = hoop.knots[first : last + 2, :2]
    center = _center(run)
    rel = run - center
    steps = np.arctan2(
        rel[:-1, 0] * rel[1:, 1] - rel[:-1, 1] * rel[1:, 0], np.einsum("ij,ij->i", rel[:-1], rel[1:])
    )
    hooks = [
        (hoop.centers[k, :2], float(radius[k]) - hoop.radius)
        for k in (first - 1, last + 1)
        if 0 <= k < len(hoop.angles) and hoop.angles[k] > 0.0
    ]
    out = rel[:-1] + rel[1:]
    out /= np.linalg.norm(out, axis=1)[:, None]
    middle = np.einsum("ij,ij->i", hoop.centers[wide, :2] - center, out) + radius[wide]
    return HoopLap(
        center,
        float(np.mean(middle)),
        atan2(float(rel[0, 1]), float(rel[0, 0])) % tau,
        abs(float(np.sum(steps))) - tau,
        tuple(hooks),
    )


def _center(points: Array) -> Array:
    """(2,) the center of the circle through (n, 2) points of it, by least squares."""
    rows = np.column_stack([2.0 * points, np.ones(len(points))])
    found = np.linalg.lstsq(rows, np.sum(points**2, axis=1), rcond=None)[0]
    return np.asarray(found[:2])
