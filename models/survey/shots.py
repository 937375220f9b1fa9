"""Surveyors' files: point, northing, easting, elevation, description (`tape` reads a crew's tape)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from msgspec import Struct

from models.lengths import FARTHEST, FOOT, SURVEY_FOOT, Units, length_from
from models.problems import BadInput, Place, Problem
from models.reading.textfile import bytes_of, text_of
from models.spec.site import SiteSpec
from models.survey.descriptions import Descriptions, What
from models.survey.tape import Taped, is_tape, read_tape

UNITS = {"ft": FOOT, "us survey ft": SURVEY_FOOT, "m": 1000.0, "mm": 1.0}
"""mm in each unit that shots come in."""
MOST_LINES = 100_000
MOST_PROBLEMS = 50
"""More than these say no more about a file that is wrong all through."""

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)", re.ASCII)
_NAMES = {
    "P": ("p", "pt", "pnt", "point", "point number", "point no", "no", "number", "id", "name"),
    "N": ("n", "north", "northing", "y"),
    "E": ("e", "east", "easting", "x"),
    "Z": ("z", "el", "elev", "elevation", "height"),
    "D": ("d", "desc", "description", "code", "remarks", "note"),
}
_WORDS = {"N": "northing", "E": "easting", "Z": "elevation"}
_HEADER_UNITS = {
    "ft": "ft", "feet": "ft", "foot": "ft", "usft": "us survey ft", "us survey ft": "us survey ft",
    "us ft": "us survey ft", "sft": "us survey ft", "m": "m", "meters": "m", "metres": "m", "mm": "mm",
}  # fmt: skip


class Shot(Struct, frozen=True):
    """One point as shot.

    at: easting, northing and elevation, mm, as they stand in the file (elevation NaN where it has none);
    mark, what, which: as in `models.survey.descriptions.Named`.
    """

    point: str
    at: tuple[float, float, float]
    mark: str
    what: What
    which: str
    place: Place

    @property
    def label(self) -> str:
        """The shot in words, as a crew would say it."""
        return " ".join(
            word for word in (self.mark, "" if self.what == "control" else self.what, self.which) if word
        )


class Shots(Struct, frozen=True):
    """A surveyor's file.

    unmatched: the lines whose description names nothing of this site, as they stand; unit: of its numbers.
    tape: rods by tape, where the file is a crew's and not a surveyor's; then there are no shots in it.
    """

    file: str
    shots: tuple[Shot, ...]
    unmatched: tuple[tuple[Place, str], ...]
    unit: str
    tape: tuple[Taped, ...] = ()


class _Line(NamedTuple):
    number: int
    cells: list[str]


def read_shots(path: Path, site: SiteSpec) -> Shots:
    """The shots in a file, and the lines that name nothing of this site.

    Raises BadInput with one line for each mistake in it.
    """
    text = text_of(bytes_of(path, "shots file"), path.name, "shots file")
    return shots_in(text, path.name, site)


def shots_in(text: str, file: str, site: SiteSpec) -> Shots:
    """The same, of the text of a file. Raises BadInput."""
    lines = _lines(text, file)
    if is_tape([_unquoted(cell) for cell in lines[0].cells]):
        rows = [(line.number, [_unquoted(cell) for cell in line.cells]) for line in lines]
        return Shots(file, (), (), "", read_tape(rows, file, site))
    columns, said, body = _columns(lines, file, site)
    unit = _unit(said, file, site)
    try:
        names = Descriptions(
            site.shots, (pier.mark for pier in site.piers), (c.name for c in site.site.control_points)
        )
    except ValueError as unclear:
        raise BadInput([Problem(Place("site file"), f"shots: {unclear}", "write MARK WHAT NUMBER")]) from None
    shots: list[Shot] = []
    unmatched: list[tuple[Place, str]] = []
    problems: list[Problem] = []
    points: dict[str, int] = {}
    for line in body:
        place = Place(file, line.number)
        read = _cells(line, columns)
        if isinstance(read, str):
            problems.append(Problem(place, read, f"write the columns {', '.join(_said(columns))}"))
            continue
        named = names.read(read["D"])
        at, wrongs = _at(read, place, unit, columns)
        problems += wrongs
        if at is None:
            continue
        point = read.get("P", "")
        if point and point in points:
            wrong = f"point {point} is there twice, here and on line {points[point]}"
            problems.append(Problem(place, wrong, "keep the one that holds"))
        points.setdefault(point, line.number)
        if named is None:
            unmatched.append((place, " ".join(line.cells)))
        else:
            shots.append(Shot(point or f"line {line.number}", at, *named, place))
    if problems:
        raise BadInput(_some(problems, file))
    if not body:
        raise BadInput([Problem(Place(file), "the file has no points")])
    return Shots(file, tuple(shots), tuple(unmatched), unit)


def _lines(text: str, file: str) -> list[_Line]:
    """The cells of every line that is neither blank nor a comment."""
    filled = [
        (k, line)
        for k, line in enumerate(text.splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if len(filled) > MOST_LINES:
        raise BadInput([Problem(Place(file), f"the file has more than {MOST_LINES:,} points", "split it")])
    if not filled:
        raise BadInput([Problem(Place(file), "the file has no points")])
    first = filled[0][1]
    mark = next((c for c in "\t,;" if first.count(c) >= 2), None)
    return [
        _Line(k, [cell.strip() for cell in (line.split(mark) if mark else line.split())])
        for k, line in filled
    ]


def _columns(lines: list[_Line], file: str, site: SiteSpec) -> tuple[str, str, list[_Line]]:
    """Which column is which, as letters (? for others); the unit that a header names; the lines below it."""
    first = lines[0]
    bare = [re.sub(r"[\[(].*|_", " ", cell.strip('"').lower()).strip(" .") for cell in first.cells]
    letters = [next((k for k, names in _NAMES.items() if cell in names), "?") for cell in bare]
    if not {"N", "E"} <= set(letters):
        numbers = sum(_NUMBER.fullmatch(cell) is not None for cell in first.cells)
        if numbers < 2:
            wrong = "the first line is neither a point nor a header that names northing and easting"
            raise BadInput(
                [
                    Problem(
                        Place(file, first.number), wrong, "write Point,Northing,Easting,Elevation,Description"
                    )
                ]
            )
        return site.shots.columns, "", lines
    twice = [letter for letter in "PNEZD" if letters.count(letter) > 1]
    if twice or "D" not in letters:
        wrong = f"the header names {_said(twice[0])[0]} twice" if twice else "the header names no description"
        raise BadInput(
            [Problem(Place(file, first.number), wrong, "write Point,Northing,Easting,Elevation,Description")]
        )
    said = re.search(r"[\[(]\s*([a-z .]+?)\s*[\])]", first.cells[letters.index("N")].lower())
    return "".join(letters), said[1] if said else "", lines[1:]


def _said(columns: str) -> list[str]:
    return [{"P": "point", "D": "description", "?": "(other)", **_WORDS}[c] for c in columns]


def _unit(said: str, file: str, site: SiteSpec) -> str:
    """The unit of the numbers: the site file's word, the header's, or the site's own."""
    own = site.shots.units
    if said and said not in _HEADER_UNITS:
        wrong = f"the header gives coordinates in {said}, which is not known here"
        raise BadInput([Problem(Place(file, 1), wrong, f"write one of {', '.join(UNITS)}")])
    header = _HEADER_UNITS[said] if said else None
    if own and header and own != header:
        wrong = f"the header gives coordinates in {header}, and the site file says shots: units: {own}"
        raise BadInput([Problem(Place(file, 1), wrong, "make them agree")])
    if own or header:
        return own or header or ""
    if site.site.units == "mm":
        return "mm"
    return "ft" if site.site.foot == "international" else "us survey ft"


def _cells(line: _Line, columns: str) -> dict[str, str] | str:
    """The cells of a line by their letter, or what is wrong with the line. A description runs to the end."""
    cells = line.cells
    if columns.endswith("D") and len(cells) > len(columns):
        cells = [*cells[: len(columns) - 1], " ".join(cells[len(columns) - 1 :])]
    if len(cells) > len(columns) and any(cells[len(columns) :]):
        return f"there are {len(cells)} columns here, and the file has {len(columns)}"
    least = len(columns) - (1 if columns.endswith("D") else 0)
    if len(cells) < least:
        return f"there are only {len(cells)} columns here, and the file has {len(columns)}"
    read = {letter: cell for letter, cell in zip(columns, cells, strict=False) if letter != "?"}
    return {**read, "D": _unquoted(read.get("D", ""))}


def _unquoted(cell: str) -> str:
    return cell[1:-1].replace('""', '"').strip() if len(cell) > 1 and cell[0] == cell[-1] == '"' else cell


def _at(
    read: dict[str, str], place: Place, unit: str, columns: str
) -> tuple[tuple[float, float, float] | None, list[Problem]]:
    """Easting, northing and elevation, mm; elevation NaN where its cell is empty or there is none."""
    values: dict[str, float] = {}
    problems: list[Problem] = []
    for letter, word in _WORDS.items():
        text = _unquoted(read.get(letter, ""))
        if not text and letter == "Z":
            values[letter] = float("nan")
            continue
        try:
            values[letter] = _number(text, unit)
        except ValueError as wrong:
            column = columns.index(letter) + 1
            problems.append(
                Problem(place, f"{word} (column {column}): {wrong}", "write a number like 1023.45")
            )
    if problems:
        return None, problems
    return (values["E"], values["N"], values["Z"]), []


def _number(text: str, unit: str) -> float:
    shown = text if len(text) <= 40 else text[:37] + "..."
    if _NUMBER.fullmatch(text):
        value = float(text) * UNITS[unit]
    elif text and re.search(r"[a-z'\"]", text.lower()):
        try:
            value = length_from(text, Units.FT_IN, "us survey" if unit == "us survey ft" else "international")
        except ValueError:
            raise ValueError(f"{shown} is not a coordinate") from None
    else:
        raise ValueError(f"{shown} is not a number" if text else "it is empty")
    if abs(value) > FARTHEST:
        raise ValueError(f"{shown} is farther than anything on earth")
    return value


def _some(problems: Sequence[Problem], file: str) -> list[Problem]:
    if len(problems) <= MOST_PROBLEMS:
        return list(problems)
    more = Problem(Place(file), f"and {len(problems) - MOST_PROBLEMS} more lines like these")
    return [*problems[:MOST_PROBLEMS], more]
