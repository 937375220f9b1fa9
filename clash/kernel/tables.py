"""Swept solids as columns: every straight piece and bend of many parts, side by side."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from models.motion import Array
from models.solids import Swept

Index = NDArray[np.intp]


class SweptTable(Struct, frozen=True, eq=False):
    """Pieces of n swept solids in columns; pieces of solid i are first[i] : first[i + 1].

    first: (n + 1,); radius: (n,) mm, of each solid.
    start, end: (m, 3) mm; angle: (m,) rad, 0 where straight; center, axis: (m, 3), NaN where straight.
    free_start, free_end: (m,) bool, whether the piece's start or end is a flat end of its solid.
    """

    first: Index
    radius: Array
    start: Array
    end: Array
    angle: Array
    center: Array
    axis: Array
    free_start: NDArray[np.bool_]
    free_end: NDArray[np.bool_]

    def take(self, which: Index) -> SweptTable:
        """Some of the solids, by index."""
        counts = self.first[which + 1] - self.first[which]
        first = np.concatenate([[0], np.cumsum(counts)]).astype(np.intp)
        piece = np.arange(first[-1]) + np.repeat(self.first[which] - first[:-1], counts)
        pieces = {
            name: getattr(self, name)[piece]
            for name in ("start", "end", "angle", "center", "axis", "free_start", "free_end")
        }
        return SweptTable(first=first, radius=self.radius[which], **pieces)

    def beside(self, other: SweptTable) -> SweptTable:
        """The solids of this table, then those of another."""
        joined = {
            name: np.concatenate([getattr(self, name), getattr(other, name)])
            for name in ("radius", "start", "end", "angle", "center", "axis", "free_start", "free_end")
        }
        return SweptTable(first=np.concatenate([self.first, self.first[-1] + other.first[1:]]), **joined)

    @staticmethod
    def of(solids: Sequence[Swept]) -> SweptTable:
        """Lay the pieces of many solids side by side."""
        counts = np.array([len(s.angles) for s in solids], dtype=np.intp)
        first = np.concatenate([[0], np.cumsum(counts)]).astype(np.intp)
        free_start = np.zeros(int(first[-1]), dtype=bool)
        free_end = np.zeros(int(first[-1]), dtype=bool)
        free_start[first[:-1]] = True
        free_end[first[1:] - 1] = True

        def join(rows: list[Array], width: int | None) -> Array:
            shape = (0,) if width is None else (0, width)
            return np.concatenate(rows) if rows else np.zeros(shape)

        return SweptTable(
            first=first,
            radius=np.array([s.radius for s in solids], dtype=float),
            start=join([s.knots[:-1] for s in solids], 3),
            end=join([s.knots[1:] for s in solids], 3),
            angle=join([s.angles for s in solids], None),
            center=join([s.centers for s in solids], 3),
            axis=join([s.axes for s in solids], 3),
            free_start=free_start,
            free_end=free_end,
        )
