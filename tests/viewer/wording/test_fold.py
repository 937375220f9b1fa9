"""Folding: what goes together, and how it is named."""

from __future__ import annotations

from clash.report.findings import Level
from tests.viewer.reports import finding
from viewer.wording.fold import folded, named, spans


def test_runs_of_numbers_are_drawn_together() -> None:
    assert named([f"tie {n} from top" for n in range(2, 13)]) == "ties 2 to 12 from top"
    assert named(["tie 2 from top", "tie 5 from top"]) == "ties 2, 5 from top"
    assert named(["vertical at the NE corner"]) == "vertical at the NE corner"
    assert named(["P1", "P2", "P3", "P7"]) == "P1 to P3, P7"
    assert named(["rod 3 (SE)", "tie 1 from top"]) == "rod 3 (SE), tie 1 from top"
    assert spans([4, 2, 3, 9, 8]) == "2 to 4, 8, 9"


def test_beyond_a_handful_they_are_counted() -> None:
    corners = [f"vertical at the {w} corner" for w in ("NE", "NW", "SE", "SW")]
    assert named(corners) == ", ".join(corners)
    assert named([*corners, "rod"]) == ", ".join(corners[:3]) + ", 2 others"


def test_numbers_that_are_marks_of_their_own_stay() -> None:
    assert named(["dowel B2-1 of 3"]) == "dowel B2-1 of 3"


def test_neither_levels_nor_answers_nor_rules_mix() -> None:
    alike = [
        finding(1),
        finding(2),
        finding(3, level=Level.TIGHT),
        finding(4, answered="RFI 3"),
        finding(5, rule="other"),
    ]
    assert [1 + len(f.others) for f in folded(alike)] == [2, 1, 1, 1]


def test_without_a_group_a_finding_stands_alone() -> None:
    assert len(folded([finding(1, group=""), finding(2, group="")])) == 2


def test_the_first_given_is_the_worst() -> None:
    (fold,) = folded([finding(5), finding(1), finding(2)])
    assert fold.worst.id.endswith("/tie/5")
    assert fold.more == "and 2 more like it: ties 1, 2 from top"


def test_like_findings_without_names_of_their_own() -> None:
    (fold,) = folded([finding(1, labels=()), finding(2, labels=())])
    assert fold.more == "and 1 more like it"
