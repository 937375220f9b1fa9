"""Two reports that have to say the same, whichever way each was come by."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import fields

from clash.report.findings import Finding, Report

FLOAT = 1e-6
"""mm: the one named epsilon of the design; two ways to the same figure may differ by float noise."""


def assert_same(one: Report, other: Report) -> None:
    """Every field of two reports and of all their findings, in order; figures within FLOAT."""
    for f in fields(Report):
        if f.name not in ("findings", "input_sha256"):
            assert getattr(one, f.name) == getattr(other, f.name), f.name
    assert [x.id for x in one.findings] == [x.id for x in other.findings]
    for a, b in zip(one.findings, other.findings, strict=True):
        for f in fields(Finding):
            assert _near(getattr(a, f.name), getattr(b, f.name)), (a.id, f.name)


def _near(a: Any, b: Any) -> bool:
    numbers = isinstance(a, float) or (isinstance(a, tuple) and a and isinstance(a[0], float))
    if not numbers or type(a) is not type(b):
        return bool(a == b)
    return bool(a == pytest.approx(b, abs=FLOAT, rel=0.0))
