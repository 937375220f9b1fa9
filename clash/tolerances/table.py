"""The published tolerances as data, and what they are taken from."""

from __future__ import annotations

import csv
from fractions import Fraction
from functools import cache
from math import inf
from pathlib import Path

from msgspec import Struct

from clash.figures import UNITS

ALONG = ("plan", "height", "cover", "spacing", "length")
TEMPLATE = "template"
"""The edition of what a template gives: practice."""


class Row(Struct, frozen=True):
    """One published tolerance, mm.

    a, b: the things, b empty for one thing alone; over: for sizes larger than this; minus, plus: how far to
    either side; share: at most this share of the measurement or of what is required (None: no such bound);
    metric: whether the document counts in mm.
    """

    edition: str
    a: str
    b: str
    along: str
    over: float
    minus: float
    plus: float
    share: float | None
    source: str
    metric: bool


class From(Struct, frozen=True):
    """What is taken from one rule's measurements: see the head of `taken_from.csv`."""

    rule: str
    along: str
    moves: str
    least: str
    most: str
    met: str


@cache
def published() -> tuple[Row, ...]:
    """Every row of `figures.csv`. Raises KeyError for a unit or state, ValueError for what is no number."""
    return tuple(_row(row) for row in _read("figures.csv"))


@cache
def taken_from() -> dict[str, From]:
    """What is taken from each rule, by its id."""
    return {row["rule"]: From(**row) for row in _read("taken_from.csv")}


@cache
def find(editions: tuple[str, ...], a: str, b: str, along: str, size: float = inf) -> Row | None:
    """The row of the first of these editions that has one for things of this size; None where none has."""
    for edition in editions:
        rows = [r for r in published() if (r.edition, r.a, r.b, r.along) == (edition, a, b, along)]
        fitting = [row for row in rows if size > row.over + 1e-6]
        if fitting:
            return max(fitting, key=lambda row: row.over)
    return None


def _read(name: str) -> list[dict[str, str]]:
    with Path(__file__).with_name(name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def _row(row: dict[str, str]) -> Row:
    unit = UNITS[row["unit"]]
    if row["along"] not in ALONG:
        raise ValueError(f"{row['along']} is no way that a tolerance goes")
    over, minus, plus = (
        float(Fraction(row[name])) * unit if row[name] else inf for name in ("over", "minus", "plus")
    )
    document = "" if row["edition"] == TEMPLATE else row["edition"]
    named = " ".join(word for word in (document, row["clause"]) if word)
    source = {"read": named, "memory": f"{named}, from memory", "practice": f"practice: {named}"}
    return Row(
        row["edition"],
        row["a"],
        row["b"],
        row["along"],
        over,
        minus,
        plus,
        float(Fraction(row["share"])) if row["share"] else None,
        source[row["state"]],
        row["unit"] == "mm",
    )
