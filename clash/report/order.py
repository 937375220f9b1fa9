"""The orders of a report: ids as people count, and findings with the worst first."""

from __future__ import annotations

import re
from collections.abc import Sequence

import numpy as np

from clash.report.findings import Finding, Level

_ORDER = {Level.HOLD: 0, Level.TIGHT: 1, Level.NOT_CHECKED: 2}


def worst_first(findings: Sequence[Finding]) -> list[Finding]:
    """By pier, the pier with the worst first, and worst first within it; equals by mark and id."""
    by_pier: dict[str, list[Finding]] = {}
    for finding in sorted(findings, key=lambda f: (_badness(f), natural(f.id))):
        by_pier.setdefault(finding.pier, []).append(finding)
    piers = sorted(by_pier, key=lambda pier: (_badness(by_pier[pier][0]), natural(pier)))
    return [finding for pier in piers for finding in by_pier[pier]]


def _badness(finding: Finding) -> tuple[int, bool, float]:
    """Least is worst: the level, then what nobody has answered, then the smallest reserve."""
    reserve = finding.reserve_mm
    if reserve is None:
        reserve = -np.inf if finding.unit is not None else 0.0
    # A thousandth of a millimeter decides no order, so that turning a site does not shuffle its report.
    return _ORDER[finding.level], finding.answered is not None, round(float(reserve), 3)


def natural(text: str) -> tuple[tuple[bool, int, str], ...]:
    """A sort key that puts tie/2 before tie/10."""
    pieces = re.findall(r"\d+|\D+", text)
    return tuple((piece.isdigit(), int(piece) if piece.isdigit() else 0, piece) for piece in pieces)
