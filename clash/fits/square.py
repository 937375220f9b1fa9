"""Square of the whole grid: its diagonals, and the line of every row."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

import numpy as np
from msgspec import Struct

from clash.fits.placed import PlacedPier
from models.motion import Array
from models.site import Site

IN_LINE = 1.0
"""mm: piers that are drawn nearer than this to one line along site x or y make a row."""
FEWEST = 3


class Row(Struct, frozen=True):
    """A row of piers. axis: 0 where it runs along x, 1 along y; piers: indices, in order; off: mm, by pier,
    how far each stands to the left of the straight line through the first and the last of them as placed."""

    axis: int
    piers: tuple[int, ...]
    off: tuple[float, ...]

    @property
    def worst(self) -> float:
        """The greatest distance from the line, mm."""
        return max(abs(off) for off in self.off)


class Diagonal(Struct, frozen=True):
    """A diagonal between two corner piers. drawn, measured: mm."""

    start: int
    end: int
    drawn: float
    measured: float


class Square(Struct, frozen=True):
    """Diagonals of the four corner piers, where the grid has them and all were measured; and its rows."""

    diagonals: tuple[Diagonal, ...]
    rows: tuple[Row, ...]


def square(site: Site, piers: Sequence[PlacedPier]) -> Square:
    """The diagonals and rows of the piers whose place in plan was measured."""
    drawn = np.array([[p.spec.x, p.spec.y] for p in site.piers])
    known = np.array([p.stand.known for p in piers])
    at = drawn + np.array([p.stand.off if p.stand.known else [0.0, 0.0] for p in piers])
    rows = [row for axis in (0, 1) for row in _rows(axis, drawn, at, known)]
    return Square(tuple(_diagonals(drawn, at, known)), tuple(rows))


def _rows(axis: int, drawn: Array, at: Array, known: Array) -> list[Row]:
    across = 1 - axis
    order = np.lexsort((drawn[:, axis], np.round(drawn[:, across] / IN_LINE)))
    groups: list[list[int]] = []
    for k in order:
        if not known[k]:
            continue
        if groups and abs(drawn[groups[-1][0], across] - drawn[k, across]) <= IN_LINE:
            groups[-1].append(int(k))
        else:
            groups.append([int(k)])
    found = []
    for group in groups:
        if len(group) < FEWEST:
            continue
        line = at[group[-1]] - at[group[0]]
        length = hypot(*line)
        if length <= 0.0:
            continue
        off = at[group] - at[group[0]]
        left = (line[0] * off[:, 1] - line[1] * off[:, 0]) / length
        found.append(Row(axis, tuple(group), tuple(left.tolist())))
    return found


def _diagonals(drawn: Array, at: Array, known: Array) -> list[Diagonal]:
    """Between the piers that stand in the corners of the grid's rectangle, both of each pair measured."""
    (west, south), (east, north) = drawn.min(axis=0), drawn.max(axis=0)
    if east - west <= IN_LINE or north - south <= IN_LINE:
        return []
    found = []
    for start, end in (((west, south), (east, north)), ((west, north), (east, south))):
        pair = [_pier_at(corner, drawn) for corner in (start, end)]
        a, b = pair
        if a is None or b is None or not (known[a] and known[b]):
            return []
        found.append(
            Diagonal(a, b, float(np.hypot(*(drawn[b] - drawn[a]))), float(np.hypot(*(at[b] - at[a]))))
        )
    return found


def _pier_at(corner: tuple[float, float], drawn: Array) -> int | None:
    away = np.hypot(*(drawn - np.array(corner)).T)
    k = int(np.argmin(away))
    return k if away[k] <= IN_LINE else None
