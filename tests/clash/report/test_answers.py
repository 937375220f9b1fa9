"""Answered findings: they stay, they lapse loudly when they get worse, and none goes unmatched in silence."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from pydantic import ValidationError

from clash.judge import judge
from clash.report.findings import Finding, Level, Report
from models.outline import circle, rectangle
from models.part import Role
from models.spec.answered import Answered
from tests.support.tiny import STATED, bar, judged, only, rod, site, slab, table, tie, vertical

ID = "bar spacing:P1/vertical/1:P1/vertical/2"
BY: dict[str, Any] = {"by": "the engineer", "date": "2026-03-02", "reference": "RFI 12"}


def answered(gap: float, units: str = "mm", finding: str = ID, **given: Any) -> Report:
    """Two verticals that need 38.1 mm, `gap` mm apart, with an answer."""
    built = site(
        [vertical(1), vertical(2)],
        pier=STATED,
        units=units,
        extra={"answered": [{"finding": finding, **BY, **given}]},
    )
    return judged(built, [("P1/vertical/1", "P1/vertical/2", gap)])


def one(report: Report, rule: str = "bar spacing") -> Finding:
    (found,) = only(report, rule)
    return found


@pytest.mark.parametrize(("measured", "holds"), [("30.0", True), ("30.5", False), ("29.5", True)])
def test_an_answer_holds_down_to_the_measurement_that_it_was_given_for(measured: str, holds: bool) -> None:
    report = answered(30.0, measured=float(measured))
    found = one(report)
    assert found.level is Level.HOLD
    assert (found.answered is not None) is holds
    assert (report.open == ()) is holds
    if not holds:
        assert found.lapsed == (
            "The answer (the engineer, 2026-03-02, RFI 12) has lapsed: it was given for 30.5 mm, and now it "
            "is 30.0 mm; ask again."
        )
    else:
        assert (found.answered, found.lapsed) == ("the engineer, 2026-03-02, RFI 12", None)


def test_an_answer_without_a_measurement_stands() -> None:
    assert one(answered(1.0)).answered is not None


@pytest.mark.parametrize("units", ["mm", "ft-in"])
@pytest.mark.parametrize("gap", [30.0, 29.97, 25.4, 25.399, 12.345, 0.6])
def test_the_measurement_may_be_copied_from_the_report(units: str, gap: float) -> None:
    """As it is shown: rounded toward danger."""
    says = one(answered(gap, units)).says
    shown = says.partition(": ")[2].partition(" clear")[0]
    assert one(answered(gap, units, measured=shown)).answered is not None
    worse = one(answered(gap - 0.5, units, measured=shown))
    assert worse.answered is None
    assert worse.lapsed is not None


def overlapping(measured: str) -> Finding:
    extra = {"answered": [{"finding": "overlap:P1/rod/1:P1/tie/1", **BY, "measured": measured}]}
    report = judged(site([rod(1), tie(1)], pier=STATED, extra=extra), [("P1/rod/1", "P1/tie/1", -8.8)])
    return one(report, "overlap")


def test_an_overlap_is_a_negative_measurement_and_says_so() -> None:
    assert overlapping("-8.8 mm").answered is not None
    assert overlapping("-8.0 mm").lapsed is not None
    found = overlapping("8.8 mm")
    assert found.answered is None
    assert "an overlap is a negative measurement" in (found.lapsed or "")


def most(measured: str, units: str = "mm") -> Finding:
    """A plate with holes of 40 mm for 1 in rods, where at most 35 mm are allowed: worse is more."""
    plate = slab("P1/plate/1", Role.PLATE, rectangle(300.0, 300.0), 40.0, 52.0, holes=[circle(40.0, (0, 0))])
    seat = {
        "type": "plate",
        "rods": {"diameter": 25.4, "pattern": {"at": [[0, 0]]}, "embedment": 600, "projection": 150},
        "plate": {"outline": {"square": 300}, "thickness": 12, "above": 40, "holes": {"diameter": 40}},
    }
    pier = {"seat": seat, "required": {"largest_hole": 35.0}}
    extra = {"answered": [{"finding": "hole size:P1/plate/1", **BY, "measured": measured}]}
    built = site([plate, rod(1)], pier=STATED | pier, extra=extra, units=units)
    return one(judged(built, [("P1/rod/1", "P1/plate/1", 7.3)]), "hole size")


def test_where_the_limit_is_a_most_worse_is_more() -> None:
    assert most("40 mm").answered is not None
    assert most("40.5 mm").answered is not None
    assert most("39.5 mm").lapsed is not None


def test_what_cannot_be_measured_any_more_lapses() -> None:
    report = answered(np.nan, measured=30.0)
    assert one(report).level is Level.NOT_CHECKED
    assert "nothing could be measured" in (one(report).lapsed or "")
    assert report.open != ()


def test_a_count_is_answered_in_its_own_unit() -> None:
    seat = {"seat": {"type": "none", "column": "yes"}}

    def rods(measured: str, count: int) -> Finding:
        answers = [{"finding": "column rods:P1/rod/1", **BY, "measured": measured}]
        built = site([rod(k + 1) for k in range(count)], pier=STATED | seat, extra={"answered": answers})
        return one(judged(built), "column rods")

    assert rods("3 rods", 3).answered is not None
    assert "given for 3 rods, and now it is 2 rods" in (rods("3 rods", 2).lapsed or "")
    assert "no measurement of this finding" in (rods("76 mm", 3).lapsed or "")


def test_answers_that_match_nothing_are_told_and_are_no_finding() -> None:
    report = answered(50.0)
    assert report.findings == ()
    assert report.answers == (
        f"No finding is called {ID}, which the engineer, 2026-03-02, RFI 12 answers: leave it out if the "
        "finding is gone",
    )
    near = answered(30.0, finding=ID.replace("vertical/2", "vertical/22"))
    assert near.answers[0].endswith(f"did you mean {ID}?")
    assert near.open != ()
    assert answered(30.0).answers == ()


def test_of_one_pier_alone_answers_for_others_are_not_told() -> None:
    built = site([vertical(1)], pier=STATED, extra={"answered": [{"finding": "cover:P2/tie/1", **BY}]})
    assert judge(built, table(built, []), only="P1").answers == ()
    assert len(judge(built, table(built, [])).answers) == 1


@pytest.mark.parametrize(
    ("written", "units", "figure"),
    [
        ("0.35 in", "ft-in", (0.35 * 25.4, "mm")),
        ("-0.35 in", "ft-in", (-0.35 * 25.4, "mm")),
        (8.8, "mm", (8.8, "mm")),
        ("-8.8 mm", "mm", (-8.8, "mm")),
        ("0.498 %", "mm", (0.498, "%")),
        ("144 degrees", "mm", (144.0, "degrees")),
        ("2 ties", "ft-in", (2.0, "ties")),
    ],
)
def test_a_measurement_is_a_length_or_a_figure_with_its_unit(
    written: Any, units: str, figure: tuple[float, str]
) -> None:
    answer = Answered.model_validate({"finding": ID, **BY, "measured": written}, context={"units": units})
    assert answer.figure is not None
    assert answer.figure[0] == pytest.approx(figure[0])
    assert answer.figure[1] == figure[1]


@pytest.mark.parametrize("written", ["", "about an inch", "%", "0.3", ["1 in"], True])
def test_what_is_no_measurement_is_refused(written: Any) -> None:
    with pytest.raises(ValidationError):
        Answered.model_validate({"finding": ID, **BY, "measured": written}, context={"units": "ft-in"})


def test_a_tight_finding_that_is_answered_stays_too() -> None:
    answers = {"answered": [{"finding": "overlap:P1/rod/1:P1/tie/1", **BY, "measured": "5.0 mm"}]}
    placing = {"placing": {"rods_set_by": "hand", "tolerances": {}}}
    parts = [rod(1), tie(1), bar("P1/dowel/1", Role.DOWEL)]
    report = judged(site(parts, pier=STATED, extra=answers | placing), [("P1/rod/1", "P1/tie/1", 5.0)])
    found = one(report, "overlap")
    assert (found.level, found.answered is not None) == (Level.TIGHT, True)
