"""What lies near a place on a page: things sorted into the cells of a coarse grid."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor
from typing import Generic, TypeVar

from viewer.drawing.marks import Box

_ACROSS = 32
"""Cells along the longer side of a page."""

T = TypeVar("T")


class Cells(Generic[T]):
    """Things with a box each, found again by a box that may touch theirs."""

    def __init__(self, page: Box) -> None:
        """page: mm of the thing drawn; what lies off it is kept in the outermost cells."""
        self._left, self._low = page.left, page.low
        self._size = max(page.right - page.left, page.high - page.low) / _ACROSS
        self._held: dict[tuple[int, int], list[T]] = {}

    def add(self, box: Box, thing: T) -> None:
        """Keep a thing."""
        for cell in self._covered(box):
            self._held.setdefault(cell, []).append(thing)

    def near(self, box: Box) -> Iterator[T]:
        """Everything whose box could touch this one, some of it more than once."""
        for cell in self._covered(box):
            yield from self._held.get(cell, ())

    def _covered(self, box: Box) -> Iterator[tuple[int, int]]:
        left, right = self._cell(box.left - self._left), self._cell(box.right - self._left)
        low, high = self._cell(box.low - self._low), self._cell(box.high - self._low)
        for i in range(left, right + 1):
            for j in range(low, high + 1):
                yield i, j

    def _cell(self, off: float) -> int:
        return max(-1, min(_ACROSS + 1, floor(off / self._size)))
