"""Tape as crews deliver it: per rod, its offsets from two faces of the pier, and distances to other rods."""

from __future__ import annotations

import re
from typing import TypeVar

from msgspec import Struct

from models.lengths import Units, length_from
from models.problems import BadInput, Place, Problem
from models.spec.base import nearest
from models.spec.site import SiteSpec
from models.winds import WINDS

T = TypeVar("T", str, int)

_PIER = ("pier", "mark")
_ROD = ("rod", "anchor", "bolt")
_WINDS = "|".join(sorted(WINDS, key=len, reverse=True))
_FROM = re.compile(rf"from\s+(?:the\s+)?({_WINDS})(?:\s+face)?", re.IGNORECASE)
_TO = re.compile(r"to\s+(?:rod\s+)?(\d{1,3})", re.IGNORECASE)


class Taped(Struct, frozen=True):
    """One rod by tape, center to face and center to center.

    faces: two of (wind of the face, mm); others: (number of another rod, mm).
    """

    mark: str
    number: int
    faces: tuple[tuple[str, float], ...]
    others: tuple[tuple[int, float], ...]
    place: Place


def is_tape(header: list[str]) -> bool:
    """Whether a header names a pier, a rod, and offsets from faces."""
    words = [cell.strip().lower() for cell in header]
    return bool({*words} & {*_PIER}) and bool({*words} & {*_ROD}) and any(map(_FROM.fullmatch, words))


def read_tape(lines: list[tuple[int, list[str]]], file: str, site: SiteSpec) -> tuple[Taped, ...]:
    """The rods of a file of tape measurements; lines: number and cells, the header first.

    Raises BadInput with one line for each mistake.
    """
    header = [cell.strip().lower() for cell in lines[0][1]]
    columns = {k: found[1].upper() for k, cell in enumerate(header) if (found := _FROM.fullmatch(cell))}
    to = {k: int(found[1]) for k, cell in enumerate(header) if (found := _TO.fullmatch(cell))}
    pier = next(k for k, cell in enumerate(header) if cell in _PIER)
    rod = next(k for k, cell in enumerate(header) if cell in _ROD)
    marks = {p.mark.lower(): p.mark for p in site.piers}
    taped: list[Taped] = []
    problems: list[Problem] = []
    for number, cells in lines[1:]:
        place = Place(file, number)
        cells = [*cells, *[""] * (len(header) - len(cells))]
        mark = marks.get(cells[pier].lower())
        if mark is None:
            near = nearest(cells[pier], marks.values())
            problems.append(
                Problem(
                    place, f"there is no pier {cells[pier][:24]}", f"did you mean {near}?" if near else ""
                )
            )
            continue
        if not cells[rod].isdigit():
            said = cells[rod][:24] or "nothing"
            problems.append(Problem(place, f"{said} is no number of a rod", "write 1, 2, ..."))
            continue
        faces, wrong = _lengths(cells, columns, site, place, "from the ")
        others, more = _lengths(cells, to, site, place, "to rod ")
        problems += wrong + more
        if not wrong and len(faces) != 2:
            said = "one face" if len(faces) == 1 else f"{len(faces)} faces"
            wrong_count = f"{mark} rod {cells[rod]} is measured from {said}"
            problems.append(Problem(place, wrong_count, "measure it from two"))
        taped.append(Taped(mark, int(cells[rod]), tuple(faces), tuple(others), place))
    twice = {(t.mark, t.number): t for t in taped}
    problems += [
        Problem(t.place, f"{t.mark} rod {t.number} is there twice", "keep the line that holds")
        for t in taped
        if twice[t.mark, t.number] is not t
    ]
    if problems:
        raise BadInput(problems)
    return tuple(taped)


def _lengths(
    cells: list[str], columns: dict[int, T], site: SiteSpec, place: Place, word: str
) -> tuple[list[tuple[T, float]], list[Problem]]:
    found: list[tuple[T, float]] = []
    problems: list[Problem] = []
    for k, what in columns.items():
        if not cells[k]:
            continue
        try:
            found.append((what, length_from(cells[k], Units(site.site.units))))
        except ValueError as wrong:
            said, _, instead = str(wrong).partition("; ")
            problems.append(Problem(place, f"{word}{what} (column {k + 1}): {said}", instead))
    return found, problems
