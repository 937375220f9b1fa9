"""Tables on a page."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from viewer.drawing.layers import Layer
from viewer.drawing.letters import width, wrapped
from viewer.drawing.marks import Align, Fill
from viewer.drawing.page import Draft

PAD = 1.2
"""mm of paper between words and the lines of a table."""


class Table(Struct, frozen=True):
    """Columns by their titles, rows of words.

    aligns: one for each column; most: mm, the widest that a column may get (None: as wide as its words);
    height: of the capitals, mm.
    """

    titles: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    aligns: tuple[Align, ...]
    most: tuple[float | None, ...] = ()
    height: float = 2.0

    @property
    def widths(self) -> tuple[float, ...]:
        """mm: each column's, its words and the room round them."""
        out = []
        for i, title in enumerate(self.titles):
            words = [row[i] for row in self.rows]
            longest = max([width(w, self.height) for w in words] + _longest_line(title, self.height))
            most = self.most[i] if self.most else None
            out.append((longest if most is None else min(longest, most - 2.0 * PAD)) + 2.0 * PAD)
        return tuple(out)

    @property
    def width(self) -> float:
        """mm: of the whole table."""
        return sum(self.widths)

    def _lines(self, row: Sequence[str], title: bool) -> list[list[str]]:
        cells = []
        for words, wide in zip(row, self.widths, strict=True):
            lines = words.split("\n") if title else [words]
            room = wide - 2.0 * PAD + 1e-6
            cells.append([part for line in lines for part in wrapped(line, self.height, room, bold=title)])
        return cells

    def _tall(self, cells: list[list[str]]) -> float:
        return max(1, *(len(c) for c in cells)) * self.height * 1.5 + PAD

    def fit(self, room: float) -> int:
        """How many rows go into `room` mm, under the titles."""
        used = self._tall(self._lines(self.titles, True))
        for n, row in enumerate(self.rows):
            used += self._tall(self._lines(row, False))
            if used > room:
                return n
        return len(self.rows)

    def part(self, start: int, end: int) -> Table:
        """Some of the rows, at the same widths as all of them."""
        wide = self.widths
        return Table(self.titles, self.rows[start:end], self.aligns, wide, self.height)

    def draw(self, draft: Draft, x: float, top: float, lead: str = "") -> float:
        """Draw from (x, top), mm of paper, down, under a heading; answers its lower end."""
        if lead:
            top -= 2.4 * self.height
            draft.write(x, top + 0.8 * self.height, lead, self.height * 1.1, bold=True)
        wide = self.widths
        right = x + sum(wide)
        y = top
        for k, row in enumerate((self.titles, *self.rows)):
            cells = self._lines(row, k == 0)
            tall = self._tall(cells)
            if k == 0:
                corners = ((x, y - tall), (right, y - tall), (right, y), (x, y))
                draft.add(Fill(Layer.SHADE, tuple(draft.at(*c) for c in corners)))
                draft.rule(x, y, right, y, Layer.TABLE)
            self._write(draft, x, y, cells, bold=k == 0)
            y -= tall
            draft.rule(x, y, right, y, Layer.TABLE)
        edge = x
        for w in (0.0, *wide):
            edge += w
            draft.rule(edge, top, edge, y, Layer.TABLE)
        return y

    def _write(self, draft: Draft, x: float, y: float, cells: list[list[str]], bold: bool) -> None:
        for lines, wide, align in zip(cells, self.widths, self.aligns, strict=True):
            at = {"left": x + PAD, "center": x + wide / 2.0, "right": x + wide - PAD}[align]
            for n, line in enumerate(lines):
                base = y - PAD / 2.0 - (n + 1) * self.height * 1.5 + 0.4 * self.height
                draft.write(at, base, line, self.height, align, bold, Layer.TABLE)
            x += wide


def aligns(titles: Sequence[str], first: Align) -> tuple[Align, ...]:
    """Figures to the right, but the first column as said."""
    rest: list[Align] = ["right"] * (len(titles) - 1)
    return (first, *rest)


def _longest_line(title: str, height: float) -> list[float]:
    return [width(line, height, bold=True) for line in title.split("\n")]
