"""Two reports compared: new, gone, better, worse, the same; by id alone."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import fields, replace

from clash.report.findings import Finding, Level
from clash.report.since import Earlier, EarlierReport, compared
from tests.viewer.reports import finding, missing, report


def earlier(*findings: Finding, **changes: Any) -> EarlierReport:
    """What a report that holds these findings says when it is read back."""
    rows = [Earlier(**{key.name: getattr(f, key.name) for key in fields(Earlier)}) for f in findings]
    return replace(EarlierReport("old.json", "Reedbank", "0" * 64, tuple(rows)), **changes)


def change(now: Finding, was: Finding) -> str:
    """What became of one finding."""
    since = compared(report(now), earlier(was))
    assert len(since.better) + len(since.worse) + since.same == 1
    assert (since.new, since.gone) == ((), ())
    return "better" if since.better else "worse" if since.worse else "same"


def test_new_and_gone_go_by_id() -> None:
    kept, fresh, left = finding(1), finding(2), finding(3)
    since = compared(report(fresh, kept), earlier(kept, left))
    assert since.new == (fresh,)
    assert [f.id for f in since.gone] == [left.id]
    assert (since.better, since.worse, since.same) == ((), (), 1)


@pytest.mark.parametrize(
    ("measured", "required", "became"),
    [
        (9.5, 25.4, "same"),
        (9.505, 25.4, "same"),
        (10.0, 25.4, "better"),
        (9.0, 25.4, "worse"),
        (9.5, 30.0, "worse"),
        (9.5, 20.0, "better"),
    ],
)
def test_better_and_worse_go_by_the_measurement_against_what_is_needed(
    measured: float, required: float, became: str
) -> None:
    assert change(finding(measured_mm=measured, required_mm=required), finding()) == became


@pytest.mark.parametrize(("reserve", "became"), [(-0.5, "worse"), (1.5, "better"), (1.0, "same")])
def test_what_is_tight_goes_by_what_placing_leaves(reserve: float, became: str) -> None:
    was = finding(level=Level.TIGHT, reserve_mm=1.0)
    assert change(finding(level=Level.TIGHT, reserve_mm=reserve), was) == became
    # What is on HOLD as drawn is the same, whatever the tolerance has become.
    assert change(finding(reserve_mm=reserve), finding(reserve_mm=1.0)) == "same"


@pytest.mark.parametrize(
    ("now", "was", "became"),
    [
        (Level.HOLD, Level.TIGHT, "worse"),
        (Level.HOLD, Level.NOT_CHECKED, "worse"),
        (Level.NOT_CHECKED, Level.TIGHT, "worse"),
        (Level.TIGHT, Level.HOLD, "better"),
        (Level.NOT_CHECKED, Level.HOLD, "better"),
        (Level.TIGHT, Level.TIGHT, "same"),
    ],
)
def test_the_level_comes_first(now: Level, was: Level, became: str) -> None:
    assert change(finding(level=now), finding(level=was)) == became


@pytest.mark.parametrize(
    ("limit", "measured", "became"),
    [("least", 10.0, "better"), ("least", 9.0, "worse"), ("most", 10.0, "worse"), ("most", 9.0, "better")],
)
def test_without_a_requirement_the_measurement_goes_by_its_limit(
    limit: str, measured: float, became: str
) -> None:
    now = finding(limit=limit, measured_mm=measured, required_mm=None, reserve_mm=None)
    assert change(now, finding(limit=limit, measured_mm=9.5, required_mm=None, reserve_mm=None)) == became


@pytest.mark.parametrize(
    ("limit", "measured", "required", "became"),
    [("least", 3.0, 4.0, "better"), ("least", 2.0, 5.0, "worse"), ("most", 3.0, 1.0, "worse")],
)
def test_counts_go_by_what_they_have_over_what_is_needed(
    limit: str, measured: float, required: float, became: str
) -> None:
    blank: dict[str, Any] = {"measured_mm": None, "reserve_mm": None, "unit": "rods", "limit": limit}
    was = finding(measured=2.0, required=4.0 if limit == "least" else 1.0, **blank)
    assert change(finding(measured=measured, required=required, **blank), was) == became


def test_what_lacks_a_figure_is_the_same_as_long_as_it_does() -> None:
    assert change(missing("P1"), missing("P1")) == "same"


def test_of_one_pier_alone_the_others_are_not_gone() -> None:
    here, there = finding(1), finding(2, pier="P8")
    assert compared(report(here), earlier(here, there), only="P7").gone == ()
    assert len(compared(report(here), earlier(here, there)).gone) == 1
