"""Published figures as data: a CSV of a rule book, each row with its clause and how it is known."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

from msgspec import Struct

UNITS = {"in": 25.4, "mm": 1.0, "times": 1.0, "percent": 1.0, "degrees": 1.0}


class Figure(Struct, frozen=True):
    """One figure: mm, or a factor (`times`); source: document, clause, and whether from memory."""

    value: float
    source: str


def figures(path: Path) -> dict[str, Figure]:
    """Read a book's figures by name.

    Columns: figure, value (a decimal or a fraction such as 4/3), unit (one of UNITS), document, clause,
    state: `read`, `memory` or `practice`. Lines that start with # say what the file is. Raises KeyError for a
    unit or a state that is none of these, ValueError for a value that is no number or a figure that is there
    twice.
    """
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    book = {
        row["figure"]: Figure(float(Fraction(row["value"])) * UNITS[row["unit"]], _source(row))
        for row in rows
    }
    if len(book) != len(rows):
        raise ValueError(f"{path.name} has a figure twice")
    return book


def _source(row: dict[str, str]) -> str:
    named = " ".join(word for word in (row["document"], row["clause"]) if word)
    return {"read": named, "memory": f"{named}, from memory", "practice": f"practice: {named}"}[row["state"]]
