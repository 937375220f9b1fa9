"""XLSX workbooks as rows of text cells; what a spreadsheet did to a cell is told, not guessed around."""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from typing import TYPE_CHECKING, Any

from models.problems import BadInput, Place, Problem
from models.reading.schedule import MOST_ROWS, Row, address, date_problem
from models.spec.base import nearest

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

MOST_UNPACKED = 100_000_000
"""bytes: a workbook unpacks to less."""
MOST_COLUMNS = 200


def rows_of_workbook(data: bytes, file: str, sheet: str | None) -> list[Row]:
    """The rows of one sheet, from its first cell; `sheet` may be left out where only one has anything in it.

    Raises BadInput when the workbook or the sheet cannot be read, or has merged cells.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            if sum(item.file_size for item in packed.infolist()) > MOST_UNPACKED:
                wrong = "the workbook unpacks to more than 100 MB"
                raise BadInput([Problem(Place(file), wrong, "save the schedule alone")])
            formulas = any(
                b"<f>" in text or b"<f " in text or b"<f/" in text
                for name in packed.namelist()
                if name.startswith("xl/worksheets/")
                for text in (packed.read(name),)
            )
        values = _sheet(data, file, sheet, cached=True)
        if not formulas:
            return _rows(values, None, file)
        return _rows(values, _sheet(data, file, sheet, cached=False), file)
    except BadInput:
        raise
    # A damaged workbook makes the readers of packed files and XML raise nearly anything; it all means this.
    except Exception:
        raise BadInput(
            [Problem(Place(file), "this is no workbook that can be read", "save it again")]
        ) from None


def _sheet(data: bytes, file: str, sheet: str | None, *, cached: bool) -> Worksheet:
    import openpyxl

    book = openpyxl.load_workbook(io.BytesIO(data), data_only=cached)
    sheets = {ws.title: ws for ws in book.worksheets}
    if sheet is not None:
        if sheet not in sheets:
            near = nearest(sheet, sheets)
            instead = f"did you mean {near}?" if near else f"it has {', '.join(sheets)}"
            raise BadInput([Problem(Place(file), f"there is no sheet {sheet}", instead)])
        return sheets[sheet]
    full = [ws for ws in sheets.values() if ws.max_row > 1 or ws.max_column > 1 or ws["A1"].value is not None]
    if len(full) > 1:
        names = ", ".join(ws.title for ws in full)
        wrong = f"the workbook has several sheets: {names}"
        raise BadInput([Problem(Place(file), wrong, f"say which, like sheet: {full[0].title}")])
    if not full:
        raise BadInput([Problem(Place(file), "the schedule is empty", "name its columns in the first row")])
    return full[0]


def _rows(values: Worksheet, formulas: Worksheet | None, file: str) -> list[Row]:
    if merged := [str(cells) for cells in values.merged_cells.ranges]:
        raise BadInput(
            [
                Problem(Place(file, cell=cells), "these cells are merged", "unmerge them and fill each in")
                for cells in sorted(merged)
            ]
        )
    if values.max_row > MOST_ROWS or values.max_column > MOST_COLUMNS:
        wrong = f"the sheet has {values.max_row:,} rows and {values.max_column} columns"
        most = f"delete the empty ones, or split it: {MOST_ROWS:,} rows and {MOST_COLUMNS} columns at most"
        raise BadInput([Problem(Place(file), wrong, most)])
    return [
        [
            _cell(file, address(r, c), cell.value, cell.data_type, formulas, cell.number_format)
            for c, cell in enumerate(row, start=1)
        ]
        for r, row in enumerate(values.iter_rows(min_row=1, min_col=1), start=1)
    ]


def _cell(
    file: str, at: str, value: Any, data_type: str, formulas: Worksheet | None, shown_as: str
) -> tuple[str, str | Problem]:
    place = Place(file, cell=at)
    if value is None:
        if formulas is not None and formulas[at].data_type == "f":
            wrong = "this cell holds a formula whose value was not saved"
            return at, Problem(place, wrong, "open the workbook, save it, or type the value")
        return at, ""
    if isinstance(value, datetime.datetime | datetime.date | datetime.time | datetime.timedelta):
        return at, date_problem(place, f"{value}")
    if isinstance(value, bool):
        return at, "yes" if value else "no"
    if data_type == "e":
        return at, Problem(place, f"this cell holds the error {value}", "type the value")
    if not isinstance(value, int | float):
        return at, str(value).strip()
    number = f"{value:.10f}".rstrip("0").rstrip(".") if abs(value) < 1e15 else f"{value:g}"
    if unit := _unit_shown(shown_as):
        wrong = f"Excel shows the unit {unit} here, but the cell itself holds the bare number {number}"
        return at, Problem(place, wrong, f"format the cell as text and type {number} {unit}")
    return at, number


def _unit_shown(number_format: str) -> str:
    """The unit of length that a cell's format shows behind its number; empty where it shows none.

    Millimeters do not count: a bare number in a site of mm is what they show.
    """
    bare = re.sub(r"\[[^\]]*\]", "", number_format)
    literal = "".join(a or b or c for a, b, c in re.findall(r"\"([^\"]*)\"|\\(.)|(')", bare)).strip()
    if re.fullmatch(r"''|[\"\u2033\u201d]", literal):
        return "in"
    if re.fullmatch(r"['\u2032\u2019]", literal):
        return "ft"
    word = re.fullmatch(r"(ft|feet|foot|in|inch|inches|cm|m)\.?", literal.lower())
    return word[1] if word else ""
