"""What a measurement answers: a gap and two nearest points, for n pairs."""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from models.motion import Array


class Nearest(Struct, frozen=True, eq=False):
    """Gaps of n pairs in columns.

    gap: (n,) mm, negative where they overlap, NaN where it could not be measured.
    at_a, at_b: (n, 3) mm, the nearest point of each; where they overlap, a point in or near the shared space.
    """

    gap: Array
    at_a: Array
    at_b: Array

    def __len__(self) -> int:
        return len(self.gap)

    @staticmethod
    def unmeasured(n: int) -> Nearest:
        """Room for n pairs, none of them measured yet: NaN throughout."""
        return Nearest(np.full(n, np.nan), np.full((n, 3), np.nan), np.full((n, 3), np.nan))

    def swapped(self, which: NDArray[np.bool_] | bool = True) -> Nearest:
        """The same measurements, those of `which` (n,) seen from b to a."""
        turned = np.broadcast_to(which, self.gap.shape)[:, None]
        return Nearest(
            self.gap, np.where(turned, self.at_b, self.at_a), np.where(turned, self.at_a, self.at_b)
        )
