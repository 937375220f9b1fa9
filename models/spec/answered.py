"""The engineer's answers to questions about findings."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import Field, ValidationInfo, WithJsonSchema

from models.lengths import length_from
from models.spec.base import Line, Spec
from models.spec.before import BeforeIn

_COUNTED = re.compile(r"([-+]?\d+(?:\.\d+)?)\s*(%|[a-z][a-z ]*)")


def _measurement(value: Any, info: ValidationInfo) -> str:
    try:
        return f"{length_from(value, (info.context or {}).get('units'))!r} mm"
    except ValueError:
        counted = _COUNTED.fullmatch(" ".join(str(value).lower().split())) if isinstance(value, str) else None
        if counted is None:
            raise
        return f"{float(counted[1])!r} {counted[2].strip()}"


Measurement = Annotated[
    str,
    BeforeIn(_measurement),
    WithJsonSchema(
        {
            "anyOf": [{"type": "string"}, {"type": "number"}],
            "description": "a measurement as the report shows it: a length, or a figure with its unit",
            "examples": ["0.35 in", "-8.8 mm", "0.498 %"],
        }
    ),
]
"""A measurement: the figure, a space, and mm or another unit."""


class Answered(Spec):
    """The engineer's answer to a question about a finding."""

    finding: Line = Field(description="the finding's id")
    by: Line
    date: Line
    reference: Line
    measured: Measurement | None = Field(
        None,
        description="the measurement that was answered, negative where things overlap; the answer lapses "
        "when it gets worse",
    )

    @property
    def figure(self) -> tuple[float, str] | None:
        """The measurement that was answered, and mm or its unit; None where the answer does not say."""
        if self.measured is None:
            return None
        value, _, unit = self.measured.partition(" ")
        return float(value), unit

    @property
    def words(self) -> str:
        """Who, when and where."""
        return ", ".join(word for word in (self.by, self.date, self.reference) if word)
