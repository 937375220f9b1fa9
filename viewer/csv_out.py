"""Findings as a spreadsheet reads them."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING, Any

from viewer.json_out import finding_row

if TYPE_CHECKING:
    from clash.findings import Report

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

DECIMALS = 6
"""Of a millimeter: what's beyond is float noise, and no tape shows it."""


def findings_csv(report: Report) -> bytes:
    """One line per finding, UTF-8 with a byte order mark and CRLF, as spreadsheets want it.

    Text that a spreadsheet would take for a formula gets an apostrophe before it; numbers stay plain, in mm
    with a point; what there is no number for is empty.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for finding in report.findings:
        row = finding_row(finding)
        row["x_mm"], row["y_mm"], row["z_mm"] = row["at_mm"] or (None, None, None)
        row["parts"], row["labels"] = "; ".join(row["parts"]), "; ".join(row["labels"])
        writer.writerow([_cell(row.get(column)) for column in COLUMNS])
    return text.getvalue().encode("utf-8-sig")


def _cell(value: Any) -> Any:
    """A cell that stays what it is: numbers as numbers, text as text, never a formula."""
    if isinstance(value, str) and value.startswith(("=", "+", "-", "@", "\t", "\r")):
        return "'" + value
    return round(value, DECIMALS) if isinstance(value, float) else value
