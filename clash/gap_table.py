"""Gaps as columns: what the kernel measured, for any number of piers."""

from __future__ import annotations

from collections.abc import Sequence
from enum import IntEnum

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from models.motion import Array
from models.pier import Pier

Index = NDArray[np.intp]

WITHIN = 150.0
"""mm: gaps are measured up to here unless asked otherwise (design: the reach of every published spacing)."""


class Face(IntEnum):
    """A face of concrete in place of a second part; negative, so that it cannot be a part's index.

    SIDE is all that is formed: the outline and the chamfers. GRADE_* are the faces of the grade beam below.
    """

    SIDE = -1
    TOP = -2
    BOTTOM = -3
    GRADE_SIDE = -4
    GRADE_BOTTOM = -5


class GapTable(Struct, frozen=True, eq=False):
    """Gaps in columns, sorted by pier.

    pier: (n,) index into the piers measured; a: (n,) index into that pier's parts; b: (n,) likewise, or a
    Face. Between parts a < b.
    gap: (n,) mm, negative = they overlap (or the part reaches out through the face).
    at_a, at_b: (n, 3) mm, in the pier's frame, the two nearest points; where parts overlap both are a point
    in or near the shared space.
    """

    pier: Index
    a: Index
    b: Index
    gap: Array
    at_a: Array
    at_b: Array

    def __len__(self) -> int:
        return len(self.gap)

    def rows(self, pier: int) -> GapTable:
        """The rows of one pier, as views."""
        lo, hi = np.searchsorted(self.pier, [pier, pier + 1])
        return self.take(slice(int(lo), int(hi)))

    def take(self, which: slice | Index | NDArray[np.bool_]) -> GapTable:
        """Some of the rows."""
        return GapTable(
            pier=self.pier[which],
            a=self.a[which],
            b=self.b[which],
            gap=self.gap[which],
            at_a=self.at_a[which],
            at_b=self.at_b[which],
        )


def face_id(pier: Pier, face: Face) -> str:
    """The id of a face, as it stands in JSON: `P7/concrete/side`."""
    name = {Face.SIDE: "side", Face.TOP: "top", Face.BOTTOM: "bottom"}.get(face)
    if name is not None:
        return f"{pier.mark}/concrete/{name}"
    return f"{pier.grade_beam}/{'side' if face is Face.GRADE_SIDE else 'bottom'}"


def side_id(pier: Pier, b: int) -> str:
    """The id of column b: a part's, or a face's."""
    return pier.parts[b].id if b >= 0 else face_id(pier, Face(b))


def labels(pier: Pier, indices: Sequence[int]) -> list[str]:
    """Labels of parts by index, faces in words."""
    words = {
        Face.SIDE: "the side of the pier",
        Face.TOP: "the top of concrete",
        Face.BOTTOM: "the bottom of the pier",
        Face.GRADE_SIDE: "the side of the grade beam",
        Face.GRADE_BOTTOM: "the bottom of the grade beam",
    }
    return [pier.parts[i].label if i >= 0 else words[Face(i)] for i in indices]
