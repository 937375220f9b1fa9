"""How a site file points to a schedule of piers in place of listing them."""

from __future__ import annotations

from typing import Any

from pydantic import Field

from models.spec.base import Line, Spec


class ScheduleSpec(Spec):
    """A CSV or XLSX table of piers, one a row, its header naming their fields."""

    schedule: Line = Field(description="the file, beside the site file: piers.csv or piers.xlsx")
    sheet: Line | None = Field(None, description="which sheet of an XLSX; needed when it has several")
    differences: dict[str, dict[str, Any]] = Field(
        default_factory=dict, description="by mark: what differs from the schedule and the kind"
    )
