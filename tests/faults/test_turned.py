"""The same faults, and the same limits to half a millimeter, on turned piers and at survey coordinates."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.faults.harness import SIDES, Change, Fault, Limit, clean, holds, judged, told
from tests.faults.test_faults import FAULTS
from tests.faults.test_limits import LIMITS

pytestmark = pytest.mark.long
TURNS = (37.3, -128.9)
"""degrees; the second lies 600 km east and 4,500 km north of the origin, except where a grade beam lies."""


def turned(site: str, change: Change, by: float) -> Change:
    """The same change on the same pier, turned by so many degrees with what lies on it."""
    file = clean(site)
    more = {"/piers/0/turn": file["piers"][0].get("turn", 0) + by}
    if "beams" in file:
        more["/beams/0/direction"] = file["beams"][0]["direction"] + by
    if by < 0.0 and "grade beams" not in file:
        more |= {"/piers/0/x": "600000 m", "/piers/0/y": "4500000 m"}
    return {**change, **more}


def of_the_pier(name: str, change: Change) -> bool:
    """A grade beam does not turn with its pier, nor does another pier go where one goes."""
    return "grade beam" not in name and "/piers/+" not in change


@pytest.mark.parametrize("by", TURNS)
@pytest.mark.parametrize("fault", [f for f in FAULTS if of_the_pier(f.name, f.change)], ids=lambda f: f.name)
def test_a_fault_is_found_however_the_pier_is_turned(fault: Fault, by: float, tmp_path: Path) -> None:
    (report,) = judged(fault.site, [turned(fault.site, fault.change, by)], tmp_path)
    assert set(holds(report)) == set(fault.holds), told(report)


@pytest.mark.parametrize("by", TURNS)
@pytest.mark.parametrize(
    "limit", [one for one in LIMITS if of_the_pier(one.name, one.at(0.0))], ids=lambda x: x.name
)
def test_a_limit_stays_where_it_is(limit: Limit, by: float, tmp_path: Path) -> None:
    short, *met = judged(limit.site, [turned(limit.site, limit.at(left), by) for left in SIDES], tmp_path)
    assert set(holds(short)) == (set() if limit.tight else {limit.rule}), told(short)
    for report in met:
        assert not holds(report), told(report)
