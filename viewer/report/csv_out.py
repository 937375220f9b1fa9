"""Findings as a spreadsheet reads them."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Any

from models.lengths import INCH, Units
from viewer.report.json_out import finding_row

if TYPE_CHECKING:
    from clash.report.findings import Report

COLUMNS = (
    "level",
    "pier",
    "says",
    "measured_mm",
    "required_mm",
    "limit",
    "reserve_mm",
    "tolerance_mm",
    "measured",
    "required",
    "unit",
    "labels",
    "rule",
    "source",
    "answered",
    "lapsed",
    "x_mm",
    "y_mm",
    "z_mm",
    "parts",
    "id",
)

INCHES = ("measured_in", "required_in", "reserve_in")
"""In a site of feet and inches, before the columns of mm: the same as plain numbers, to sort by."""

DECIMALS = 6
"""Of a millimeter: what's beyond is float noise, and no tape shows it."""
INCH_DECIMALS = 8
"""Of an inch: finer than DECIMALS of a millimeter, so that no HOLD reads as met."""


def findings_csv(report: Report) -> bytes:
    """One line per finding, UTF-8 with a byte order mark and CRLF, as spreadsheets want it.

    Text that a spreadsheet would take for a formula gets an apostrophe before it; numbers stay plain, in mm
    with a point; what there is no number for is empty.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    columns = columns_of(report)
    writer.writerow(columns)
    for finding in report.findings:
        row = finding_row(finding)
        row["x_mm"], row["y_mm"], row["z_mm"] = row["at_mm"] or (None, None, None)
        row["parts"], row["labels"] = "; ".join(row["parts"]), "; ".join(row["labels"])
        for name in INCHES:
            mm = row[name.replace("_in", "_mm")]
            row[name] = None if mm is None else round(mm / INCH, INCH_DECIMALS)
        writer.writerow([_cell(row.get(column), column) for column in columns])
    return text.getvalue().encode("utf-8-sig")


def columns_of(report: Report) -> tuple[str, ...]:
    """The names of the columns, in their order."""
    if report.units != Units.FT_IN:
        return COLUMNS
    at = COLUMNS.index("measured_mm")
    return (*COLUMNS[:at], *INCHES, *COLUMNS[at:])


def _cell(value: Any, column: str) -> Any:
    """A cell that stays what it is: numbers as numbers, text as text, never a formula."""
    if isinstance(value, str) and value.startswith(("=", "+", "-", "@", "\t", "\r")):
        return "'" + value
    return round(value, DECIMALS) if isinstance(value, float) and column not in INCHES else value
