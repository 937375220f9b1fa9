"""What is wrong with an input, collected as data: one clear line per mistake."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct


class Place(Struct, frozen=True):
    """Where in a file: line and column count from 1; a spreadsheet has a cell ("C7") instead."""

    file: str
    line: int | None = None
    column: int | None = None
    cell: str | None = None

    def __str__(self) -> str:
        if self.cell is not None:
            return f"{self.file}, cell {self.cell}"
        if self.line is None:
            return self.file
        return f"{self.file}, line {self.line}" + (f", column {self.column}" if self.column else "")


class Problem(Struct, frozen=True):
    """One mistake: where it is, what is wrong (the field in words, what was given), what to write instead."""

    place: Place
    wrong: str
    instead: str = ""

    def __str__(self) -> str:
        text = f"{self.place}: {self.wrong}" + (f"; {self.instead}" if self.instead else "")
        # What was given may hold anything; on a screen it is one line of printable letters.
        return "".join(c if c.isprintable() else "?" for c in " ".join(text.split()))


class BadInput(Exception):
    """Input that cannot be used: carries every problem found, never just the first."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__("\n".join(str(p) for p in self.problems))
