"""The straight run of a bar or rod: the line that spacing, lap and edge distance are measured from."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from clash.gap_table import Index
from models.motion import Array
from models.part import Part
from models.solids import Swept


class Runs(Struct, frozen=True, eq=False):
    """Straight runs of n bars, their low ends first.

    low, high: (n, 3) mm, in the pier's frame; radius: (n,) mm.
    """

    low: Array
    high: Array
    radius: Array

    def at(self, z: Array | float) -> Array:
        """(n, 2) mm: where each run, or the line on beyond it, passes an elevation; if level, its low end."""
        rise = self.high[:, 2] - self.low[:, 2]
        level = np.abs(rise) < 1e-9
        share = np.where(level, 0.0, (z - self.low[:, 2]) / np.where(level, 1.0, rise))
        return np.asarray(self.low[:, :2] + share[:, None] * (self.high - self.low)[:, :2])

    def take(self, which: Index) -> Runs:
        """Some of the runs."""
        return Runs(self.low[which], self.high[which], self.radius[which])


def runs(parts: list[Part]) -> Runs:
    """The longest straight piece of each part. Raises TypeError for a part that is no bar."""
    low, high = np.zeros((len(parts), 3)), np.zeros((len(parts), 3))
    radius = np.zeros(len(parts))
    for i, part in enumerate(parts):
        solid = part.solid
        if not isinstance(solid, Swept):
            raise TypeError(f"{part.id} is no bar")
        longest = 0
        if len(solid.angles) > 1:
            chord = solid.knots[1:] - solid.knots[:-1]
            length2 = np.einsum("ij,ij->i", chord, chord)
            length2[solid.angles > 0.0] = -1.0
            longest = int(length2.argmax())
        start, end = solid.knots[longest], solid.knots[longest + 1]
        low[i], high[i] = (start, end) if start[2] <= end[2] else (end, start)
        radius[i] = solid.radius
    return Runs(low, high, radius)
