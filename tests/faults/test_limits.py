"""Figures at their limits: half a millimeter short of one is on HOLD, exactly at it and past it is clear."""

from __future__ import annotations

from pathlib import Path

import pytest

from clash.report.findings import Finding, Level
from tests.faults.harness import SIDES, Limit, holds, judged, told
from tests.faults.limits_cage import LIMITS as CAGE
from tests.faults.limits_cover import LIMITS as COVER
from tests.faults.limits_rods import LIMITS as RODS
from tests.faults.limits_seat import LIMITS as SEAT
from tests.faults.on_the_ground import LIMITS as GROUND

LIMITS = [*CAGE, *COVER, *RODS, *SEAT, *GROUND]


@pytest.mark.parametrize("limit", LIMITS, ids=lambda limit: limit.name)
def test_at_the_limit(limit: Limit, tmp_path: Path) -> None:
    short, *met = judged(limit.site, [limit.at(reserve) for reserve in SIDES], tmp_path)
    for report in (short, *met):
        assert not holds(report, Level.NOT_CHECKED), told(report)
    for report in met:
        assert not holds(report), told(report)
    found, words = holds(short), told(short)
    if limit.tight:
        assert not found, words
        found = {limit.rule: holds(short, Level.TIGHT)[limit.rule]}
    assert set(found) == {limit.rule}, words
    assert all(limit.thing in ":".join(finding.parts) for finding in found[limit.rule]), words
    if found[limit.rule][0].unit is None:
        # The limit lies where the arithmetic says, to a thousandth of a millimeter.
        worst = min(_reserve(finding) for finding in found[limit.rule])
        assert worst == pytest.approx(SIDES[0], abs=1e-3), words


def _reserve(finding: Finding) -> float:
    assert finding.measured_mm is not None
    assert finding.required_mm is not None
    assert finding.reserve_mm is not None
    if finding.level is Level.TIGHT:
        return finding.reserve_mm
    left = finding.measured_mm - finding.required_mm
    return left if finding.limit == "least" else -left
