"""What was found at each pier, numbered: one numbering for report, briefing, pictures and window."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from msgspec import Struct

from viewer.wording.fold import folded

if TYPE_CHECKING:
    from clash.report.findings import Finding, Report

Place = tuple[float, float, float]


class Watch(Struct, frozen=True):
    """A finding, and those that are like it, as people are told of it.

    number: from 1 at each pier, worst first; at: site axes, mm, None without a place; others: the places of
    those that are like it; parts: ids of what the worst of them is about.
    """

    number: int
    level: str
    says: str
    answered: str | None
    at: Place | None
    others: tuple[Place, ...] = ()
    parts: tuple[str, ...] = ()


def watched(findings: Iterable[Finding]) -> tuple[Watch, ...]:
    """The findings of one pier, folded and numbered in the order of the report."""
    return tuple(
        Watch(
            number,
            fold.worst.level.value,
            fold.worst.says + (f" ({fold.more})" if fold.others else ""),
            fold.worst.answered,
            fold.worst.at_mm,
            tuple(other.at_mm for other in fold.others if other.at_mm is not None),
            fold.worst.parts,
        )
        for number, fold in enumerate(folded(findings), start=1)
    )


def by_pier(report: Report) -> dict[str, tuple[Watch, ...]]:
    """What to watch at each pier at which there is something, by its mark."""
    found: dict[str, list[Finding]] = {}
    for finding in report.findings:
        found.setdefault(finding.pier, []).append(finding)
    return {mark: watched(findings) for mark, findings in found.items()}
