"""The least gap found so far for each of many pairs, with its two points."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from clash.kernel.tables import Index
from models.motion import Array


class Best:
    """A running minimum over candidates: every candidate is a real pair of points, so the least is the
    answer.

    gap: (n,) mm, infinite at first; at_a, at_b: (n, 3) mm; settled: (n,) bool, an overlap's depth is already
    final.
    """

    def __init__(self, n: int) -> None:
        self.gap: Array = np.full(n, np.inf)
        self.at_a: Array = np.full((n, 3), np.nan)
        self.at_b: Array = np.full((n, 3), np.nan)
        self.settled: NDArray[np.bool_] = np.zeros(n, dtype=bool)

    def offer(
        self, pair: Index, gap: Array, at_a: Array, at_b: Array, settled: NDArray[np.bool_] | None = None
    ) -> None:
        """Take candidates that are less than what is there; pairs may repeat.

        pair, gap: (k,); at_a, at_b: (3, k), components first.
        """
        k = np.flatnonzero(gap < self.gap[pair])
        if len(k) == 0:
            return
        k = k[np.argsort(-gap[k], kind="stable")]  # of repeated pairs the last assignment stays: the least
        where = pair[k]
        self.gap[where] = gap[k]
        self.at_a[where] = at_a.take(k, axis=1).T
        self.at_b[where] = at_b.take(k, axis=1).T
        self.settled[where] = False if settled is None else settled[k]
