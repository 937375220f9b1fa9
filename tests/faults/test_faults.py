"""Single faults in clean sites: each is found by the rules listed for it, and nothing else goes on HOLD."""

from __future__ import annotations

from pathlib import Path

import pytest

from clash.report.findings import Finding, Level
from tests.faults.faults_cage import FAULTS as CAGE
from tests.faults.faults_cage import STILL_CLEAN as CAGE_CLEAN
from tests.faults.faults_cover import FAULTS as COVER
from tests.faults.faults_rods import FAULTS as RODS
from tests.faults.faults_seat import FAULTS as SEAT
from tests.faults.faults_seat import STILL_CLEAN as SEAT_CLEAN
from tests.faults.harness import SITES, Change, Fault, holds, judged, told
from tests.faults.on_the_ground import FAULTS as GROUND

FAULTS = [*CAGE, *COVER, *RODS, *SEAT, *GROUND]
CLEAN = [
    *((f"{path.stem} as it is", path.stem, {}) for path in sorted(SITES.glob("*.yaml"))),
    *CAGE_CLEAN,
    *SEAT_CLEAN,
]


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_a_fault_is_found_and_nothing_else(fault: Fault, tmp_path: Path) -> None:
    (report,) = judged(fault.site, [fault.change], tmp_path)
    found, words = holds(report), told(report)
    assert set(found) == set(fault.holds), words
    assert not holds(report, Level.NOT_CHECKED), words
    for rule, thing in fault.holds.items():
        assert all(thing in ":".join(finding.parts) for finding in found[rule]), words
    for rule, value in fault.measured.items():
        worst = [_measured(f) for f in found[rule]]
        assert (min if found[rule][0].limit == "least" else max)(worst) == pytest.approx(value, abs=1e-3), (
            words
        )


@pytest.mark.parametrize(("name", "site", "change"), CLEAN, ids=[name for name, _, _ in CLEAN])
def test_a_clean_site_is_clean(name: str, site: str, change: Change, tmp_path: Path) -> None:
    (report,) = judged(site, [change], tmp_path)
    assert not [f for f in report.findings if f.level is not Level.TIGHT], told(report)
    assert report.checked > 100


def _measured(finding: Finding) -> float:
    value = finding.measured_mm if finding.unit is None else finding.measured
    assert value is not None
    return value
