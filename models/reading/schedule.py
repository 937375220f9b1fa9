"""Pier schedules: a CSV or XLSX table with one pier a row, its header naming the fields."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from pathlib import Path

from models.problems import BadInput, Place, Problem
from models.reading.merging import block_of
from models.reading.textfile import bytes_of, text_of
from models.reading.wording import given
from models.reading.yamlfile import Map, Text, field_name
from models.spec.base import Spec, nearest
from models.spec.pier import PierSpec

NEEDED = ("mark", "x", "y", "top", "bottom", "kind")
"""The columns that every schedule has."""
IGNORED = frozenset({"notes", "remarks"})
"""Columns for people."""
MOST_ROWS = 20_000

_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*"
_DATE = re.compile(
    rf"\d{{1,2}}[-/ ]{_MONTH}(?:[-/ ]\d{{2,4}})?|\d{{1,4}}[-/.]\d{{1,2}}[-/.]\d{{1,4}}(?: [\d:]+)?",
    re.IGNORECASE,
)
_MONTH_FIRST = re.compile(rf"{_MONTH}[-/ ]\d{{1,4}}", re.IGNORECASE)

Row = list[tuple[str, str | Problem]]
"""The cells of a row: address, and text or why the cell cannot be used."""


def address(row: int, column: int) -> str:
    """The address of a cell from its row and column, both from 1: (7, 3) is C7."""
    letters = ""
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters}{row}"


def read_schedule(path: Path, sheet: str | None) -> tuple[list[Map], list[Problem], bytes]:
    """The raw piers of a schedule, what is wrong with its cells, and the file's bytes.

    Every cell is Text with its address; blank rows are skipped, and empty cells left out, but for those of
    needed columns, which stay as empty fields with their address; a dotted header (cage.ties.spacing) makes
    nested blocks. Raises BadInput when the file cannot be read as a table of piers.
    """
    data = bytes_of(path, "schedule")
    ending = path.suffix.lower()
    if ending == ".xls":
        wrong = "the old .xls format is not read"
        raise BadInput([Problem(Place(path.name), wrong, "save it as .xlsx or .csv")])
    if ending == ".xlsx" or data[:4] == b"PK\x03\x04":
        from models.reading.workbook import rows_of_workbook

        rows = rows_of_workbook(data, path.name, sheet)
    else:
        if sheet is not None:
            raise BadInput([Problem(Place(path.name), "a CSV has no sheets", "leave sheet: off")])
        rows = _rows_of_csv(text_of(data, path.name, "schedule"), path.name)
    piers, problems = _piers(rows, path.name)
    return piers, problems, data


def _rows_of_csv(text: str, file: str) -> list[Row]:
    first = next(line for line in text.splitlines() if line.strip())
    delimiter = max(",;\t", key=first.count)
    out: list[Row] = []
    try:
        for number, cells in enumerate(
            csv.reader(io.StringIO(text, newline=None), delimiter=delimiter), start=1
        ):
            if number > MOST_ROWS:
                wrong = f"the schedule has more than {MOST_ROWS:,} rows"
                raise BadInput([Problem(Place(file), wrong, "split the site")])
            out.append([_csv_cell(file, number, i, cell) for i, cell in enumerate(cells, start=1)])
    except csv.Error:
        wrong = f"row {len(out) + 1} cannot be read as cells"
        raise BadInput([Problem(Place(file), wrong, "save it again as CSV")]) from None
    return out


def _csv_cell(file: str, row: int, column: int, cell: str) -> tuple[str, str | Problem]:
    at = address(row, column)
    if "\n" in cell:
        wrong = "this cell runs over several lines: a quote is opened and not closed"
        return at, Problem(
            Place(file, cell=at), wrong, 'close it; a quote inside a quoted cell is written ""'
        )
    return at, cell.strip()


def _piers(rows: list[Row], file: str) -> tuple[list[Map], list[Problem]]:
    filled = [row for row in rows if any(isinstance(text, Problem) or text for _, text in row)]
    if not filled:
        raise BadInput([Problem(Place(file), "the schedule is empty", f"name columns: {', '.join(NEEDED)}")])
    header, *body = filled
    columns, problems = _columns(header, file)
    missing = [name for name in NEEDED if (name,) not in columns.values()]
    if missing:
        start = Place(file, cell=header[0][0])
        many = "columns are" if len(missing) > 1 else "column is"
        wrong = f"the {many} missing in the header: {', '.join(missing)}"
        raise BadInput([*problems, Problem(start, wrong, f"the first row names {', '.join(NEEDED)}")])
    if not body:
        raise BadInput([*problems, Problem(Place(file), "the schedule has no piers below its header")])
    piers = []
    for row in body:
        if note := _note(row, file):
            problems.append(note)
            continue
        pier = Map(Place(file, cell=row[0][0]))
        for i, (at, text) in enumerate(row):
            place = Place(file, cell=at)
            if isinstance(text, Problem):
                problems.append(text)
            if i in columns and text:
                problems += _put(pier, columns[i], text, place)
            elif i >= len(header) and isinstance(text, str) and text:
                wrong = f"{text[:40]} stands in a column without a header"
                problems.append(Problem(place, wrong, "quote cells that hold the separator"))
        number = row[0][0].lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
        for i, names in columns.items():
            if names[0] in NEEDED and names[0] not in pier.keys_at:
                pier.put(names[0], None, Place(file, cell=address(int(number), i + 1)))
        piers.append(pier)
    return piers, problems


def _note(row: Row, file: str) -> Problem | None:
    """What to say of a row that holds nothing but one sentence, which is no pier's mark."""
    filled = [(at, text) for at, text in row if text]
    if len(filled) != 1 or not isinstance(filled[0][1], str) or " " not in filled[0][1]:
        return None
    at, text = filled[0]
    wrong = f"this row holds nothing but {given(text)}, and every row is a pier"
    return Problem(Place(file, cell=at), wrong, "empty it; notes go into a column named notes")


def _columns(header: Row, file: str) -> tuple[dict[int, tuple[str, ...]], list[Problem]]:
    """Which field each column names, by its index; and the header cells that name none."""
    columns: dict[int, tuple[str, ...]] = {}
    problems: list[Problem] = []
    cells: dict[tuple[str, ...], str] = {}
    for i, (at, text) in enumerate(header):
        place = Place(file, cell=at)
        if isinstance(text, Problem):
            problems.append(text)
            continue
        names = tuple(field_name(part) for part in text.split("."))
        if not text or names[0] in IGNORED:
            continue
        if wrong := _unknown(names):
            problems.append(Problem(place, f"{text[:60]} is no column of a schedule", wrong))
        elif names in cells:
            wrong = f"the column {text[:60]} is there twice, here and in {cells[names]}"
            problems.append(Problem(place, wrong, "keep one of them"))
        else:
            columns[i] = names
            cells[names] = at
    return columns, problems


def _unknown(names: Sequence[str]) -> str:
    """What to write where a dotted header names no field; empty where it does name one."""
    model: type[Spec] | None = PierSpec
    for i, name in enumerate(names):
        if model is None:
            return f"{'.'.join(names[:i])} has nothing below it"
        if name not in model.model_fields:
            before = "".join(f"{part}." for part in names[:i])
            near = nearest(name, model.model_fields)
            if near:
                return f"did you mean {before}{near}?"
            return f"write one of {', '.join(before + field for field in model.model_fields)}"
        model = block_of(model, name)
    return ""


def _put(pier: Map, names: tuple[str, ...], text: str | Problem, place: Place) -> list[Problem]:
    """Set a field, in nested blocks where its name is dotted; a cell with a problem makes it an empty one."""
    block = pier
    for i, name in enumerate(names):
        below = block.get(name)
        if i == len(names) - 1:
            break
        if below is None:
            below = Map(place)
            block.put(name, below, place)
        elif not isinstance(below, Map):
            return [_both(place, names, name)]
        block = below
    if isinstance(below, Map):
        return [_both(place, names, names[-1])]
    is_name = names in (("mark",), ("kind",))
    dated = not isinstance(text, Problem) and (
        _DATE.fullmatch(text) or (not is_name and _MONTH_FIRST.fullmatch(text))
    )
    usable = not dated and not isinstance(text, Problem)
    block.put(names[-1], Text(str(text), place) if usable else None, place)
    return [date_problem(place, str(text))] if dated else []


def _both(place: Place, names: tuple[str, ...], name: str) -> Problem:
    return Problem(
        place, f"{name} is given as a whole and in part", f"empty one of the two, {'.'.join(names)}"
    )


def date_problem(place: Place, shown: str) -> Problem:
    """What to say of a cell that a spreadsheet has turned into a date."""
    wrong = f"the spreadsheet has turned this cell into a date ({shown})"
    return Problem(place, wrong, "format it as text and type it again, like 3'-6\" or 0.5 in")
