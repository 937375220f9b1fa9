"""What changed since an earlier report: new, gone, better, worse, by id."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from clash.report.findings import Finding, Level, Report

SAME = 0.01
"""mm, or the unit of what is no length: less is no change."""
_WORST = {Level.TIGHT: 0, Level.NOT_CHECKED: 1, Level.HOLD: 2}


class Earlier(Struct, frozen=True):
    """One finding of an earlier report; the fields are those of `clash.report.findings.Finding`."""

    id: str
    level: Level
    pier: str
    says: str
    limit: Literal["least", "most"] | None = None
    measured_mm: float | None = None
    required_mm: float | None = None
    reserve_mm: float | None = None
    measured: float | None = None
    required: float | None = None
    unit: str | None = None


class EarlierReport(Struct, frozen=True):
    """An earlier report: its file, its site, the hash of what it was made of, and its findings."""

    file: str
    site: str
    input_sha256: str
    findings: tuple[Earlier, ...]


class Since(Struct, frozen=True):
    """Findings compared by id, in the order of the newer report; gone ones in that of the earlier.

    better, worse: each with what it was; same: how many are as they were.
    """

    earlier: EarlierReport
    new: tuple[Finding, ...]
    gone: tuple[Earlier, ...]
    better: tuple[tuple[Finding, Earlier], ...]
    worse: tuple[tuple[Finding, Earlier], ...]
    same: int


def compared(report: Report, earlier: EarlierReport, only: str | None = None) -> Since:
    """A report against an earlier one; only: the mark of the one pier that the newer report is about.

    A finding is worse when its level is (HOLD, NOT CHECKED, TIGHT from the worst), else when its measurement
    is, against what is needed; of what is TIGHT, when less is left after placing.
    """
    before = {f.id: f for f in earlier.findings if only is None or f.pier == only}
    now = {f.id for f in report.findings}
    kept = [(f, before[f.id], _change(f, before[f.id])) for f in report.findings if f.id in before]
    return Since(
        earlier,
        tuple(f for f in report.findings if f.id not in before),
        tuple(f for f in before.values() if f.id not in now),
        tuple((f, was) for f, was, change in kept if change > 0.0),
        tuple((f, was) for f, was, change in kept if change < 0.0),
        sum(change == 0.0 for _, _, change in kept),
    )


def _change(now: Finding, was: Earlier) -> float:
    """Above zero: better; below: worse; zero: the same."""
    if now.level is not was.level:
        return float(_WORST[was.level] - _WORST[now.level])
    for one, other in _pairs(now, was):
        if one is not None and other is not None:
            return 0.0 if abs(one - other) < SAME else one - other
    return 0.0


def _pairs(now: Finding, was: Earlier) -> Sequence[tuple[float | None, float | None]]:
    """What may be compared, more is better; what is not there on both sides is passed over."""
    sign = -1.0 if now.limit == "most" else 1.0
    reserves = (now.reserve_mm, was.reserve_mm)
    drawn = (
        (_over(now.measured_mm, now.required_mm, sign), _over(was.measured_mm, was.required_mm, sign)),
        (_over(now.measured, now.required, sign), _over(was.measured, was.required, sign)),
    )
    return (reserves, *drawn) if now.level is Level.TIGHT else (*drawn, reserves)


def _over(measured: float | None, required: float | None, sign: float) -> float | None:
    """How far a measurement lies on the better side of what is needed; of zero where that is unknown."""
    return None if measured is None else sign * (measured - (required or 0.0))
