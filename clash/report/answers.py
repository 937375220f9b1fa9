"""Answers stay with their findings, lapse when a measurement gets worse, and are told if they match none."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from clash.report.findings import Finding
from clash.report.wording import shown
from models.lengths import INCH, Toward, Units
from models.spec.answered import Answered
from models.spec.base import nearest

STEP = {Units.FT_IN: INCH / 100.0, Units.MM: 0.1}
"""mm: the last digit of a shown measurement; an answer copied from a report is known to half of it."""
COUNTED = 1e-3
"""The last digit of a shown figure that is no length."""


def answered(
    findings: Sequence[Finding], answers: Sequence[Answered], units: Units, whole: bool
) -> tuple[list[Finding], tuple[str, ...]]:
    """The findings with their answers, and a sentence for each answer that matches none of them.

    whole: whether the findings are those of the whole site; of one pier alone, the answers for others match
    nothing and are not told.
    """
    by_id = {answer.finding: answer for answer in answers}
    out = [_with_answer(finding, by_id.pop(finding.id, None), units) for finding in findings]
    if not whole:
        return out, ()
    return out, tuple(_unmatched(answer, [finding.id for finding in findings]) for answer in by_id.values())


def _with_answer(finding: Finding, answer: Answered | None, units: Units) -> Finding:
    if answer is None:
        return finding
    worse = _worse(finding, answer, units)
    if worse:
        return replace(finding, lapsed=f"The answer ({answer.words}) has lapsed: {worse}")
    return replace(finding, answered=answer.words)


def _worse(finding: Finding, answer: Answered, units: Units) -> str:
    """Why an answer holds no more; empty where it holds."""
    if answer.figure is None:
        return ""
    was, unit = answer.figure
    length = finding.unit is None
    now = finding.measured_mm if length else finding.measured
    if now is None:
        return f"it was given for {answer.measured}, and now nothing could be measured; ask again."
    if (unit == "mm") != length or (not length and unit.rstrip("s") != (finding.unit or "").rstrip("s")):
        return f"it was given for {answer.measured}, which is no measurement of this finding; ask again."
    slack = STEP[units] / 2.0 if length else COUNTED / 2.0
    if (was - now if finding.limit == "least" else now - was) <= slack:
        return ""
    toward: Toward = "measured least" if finding.limit == "least" else "measured most"
    then, since = (shown(figure, finding.unit, units, toward) for figure in (was, now))
    overlap = " (an overlap is a negative measurement)" if now < 0.0 <= was else ""
    return f"it was given for {then}, and now it is {since}{overlap}; ask again."


def _unmatched(answer: Answered, ids: Sequence[str]) -> str:
    near = nearest(answer.finding, ids)
    hint = f"did you mean {near}?" if near else "leave it out if the finding is gone"
    return f"No finding is called {answer.finding}, which {answer.words} answers: {hint}"
