"""Rows of uneven length laid side by side: expanding them and reducing them again."""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from clash.kernel.tables import Index
from models.motion import Array


class Ragged(Struct, frozen=True, eq=False):
    """Items of n rows, flat.

    row: (m,) which row an item belongs to, ascending; item: (m,) which item it is.
    offset: (n,) where each row begins in the flat list.
    """

    row: Index
    item: Index
    offset: Index

    @staticmethod
    def of(first: Index, which: Index) -> Ragged:
        """Lay out items first[k] : first[k + 1] for every k of `which` (repeats allowed, no row empty)."""
        counts = first[which + 1] - first[which]
        offset = np.cumsum(counts) - counts
        row = np.repeat(np.arange(len(which)), counts)
        item = np.arange(len(row)) + np.repeat(first[which] - offset, counts)
        return Ragged(row, item, offset)

    def least(self, values: Array) -> tuple[Array, Index]:
        """Least value of each row (n,), and the flat position (n,) where it stands."""
        if len(self.offset) == 0:
            return np.zeros(0), np.zeros(0, dtype=np.intp)
        low = np.minimum.reduceat(values, self.offset)
        hits = np.flatnonzero(values == low[self.row])[::-1]
        at = np.zeros(len(self.offset), dtype=np.intp)
        at[self.row[hits]] = hits
        return low, at

    def odd(self, flags: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """(n,) bool: whether an odd number of a row's flags (m,) bool is set."""
        if len(self.offset) == 0:
            return np.zeros(0, dtype=bool)
        return np.logical_xor.reduceat(flags, self.offset)
