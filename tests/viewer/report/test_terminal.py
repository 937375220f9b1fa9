"""The report on the screen: what it says, in which order, how wide."""

from __future__ import annotations

import re

import pytest

from clash.report.findings import Level
from tests.viewer.reports import SHA, finding, missing, report
from viewer.report.terminal import FROM_MEMORY, meaning, report_text, summary

ANSI = re.compile(r"\x1b\[[0-9;]*m")
FULL = report(
    *(finding(n) for n in range(1, 13)),
    finding(1, id="x", pier="P8", level=Level.TIGHT, group="", says="Only just fits.", reserve_mm=1.0),
    finding(2, id="y", pier="P8", group="", answered="A. Engineer, 2025-03-14, RFI 12", says="Was asked."),
    *(missing(f"P{n}") for n in range(1, 25)),
    does_not_apply={"dowel-lap": "no dowels"},
    overrides=("rod bar clear 1/2 in is looser than the published 1.00 in.",),
)


def test_order_of_the_page() -> None:
    text = report_text(FULL, "reedbank.yaml", 80)
    marks = [
        "Reedbank Field Station",
        "reedbank.yaml, sha256 " + SHA[:12],
        "rule book  ACI 318-19",
        "feet and inches",
        "no structural design",
        "Looser than published",
        "Pier P7",
        "HOLD",
        "Pier P8",
        "TIGHT",
        "answered: A. Engineer, 2025-03-14, RFI 12",
        "Checked and clear",
        "4,000  parts that share space",
        "Not checked",
        "NOT CHECKED Clear spacing between bars: the site file does not say the aggregate",
        "Outside of this check",
        "Steel in the grade beam",
        "Lap of dowels with the verticals: no dowels.",
        "12 HOLD on 1 pier, 1 TIGHT, 24 NOT CHECKED, 1 answered, 4,312 measurements checked",
    ]
    places = [" ".join(text.split()).find(" ".join(mark.split())) for mark in marks]
    assert -1 not in places, marks[places.index(-1)]
    assert places == sorted(places)


def test_like_findings_are_folded_to_the_worst() -> None:
    text = " ".join(report_text(FULL, "reedbank.yaml", 80).split())
    assert "and 11 more like it: ties 2 to 12 from top" in text
    assert text.count("0.37 in clear") == 1
    assert text.count("does not say the aggregate") == 1
    assert "the same at 24 piers: P1 to P24" in text


def test_piers_that_read_the_same_are_told_once() -> None:
    alike = [finding(n, id=f"{pier}{n}", pier=pier) for pier in ("P2", "P3", "P4", "P9") for n in (1, 2)]
    other = finding(1, id="z", pier="P5", says="Something else.")
    text = report_text(report(*alike[:2], other, *alike[2:]), "f", 80)
    assert "\nPiers P2 to P4, P9, each\n" in text
    assert text.count("0.37 in clear") == 1
    assert "\nPier P5\n" in text
    assert "9 HOLD on 5 piers" in text


@pytest.mark.parametrize("width", [40, 60, 80, 132])
def test_no_line_is_wider_than_the_terminal(width: int) -> None:
    for line in report_text(FULL, "reedbank.yaml", width).splitlines():
        assert len(line) <= width, line


def test_colors_change_nothing_but_color() -> None:
    plain = report_text(FULL, "reedbank.yaml", 80)
    colored = report_text(FULL, "reedbank.yaml", 80, colors=True)
    assert "\x1b[" not in plain
    assert "\x1b[1;31mHOLD\x1b[0m" in colored
    assert ANSI.sub("", colored) == plain


def test_the_sentence_hangs() -> None:
    lines = report_text(report(finding()), "f", 60).splitlines()
    first = next(i for i, line in enumerate(lines) if line.startswith("  HOLD"))
    column = lines[first].index("Rod 3")
    assert lines[first + 1].startswith(" " * column)
    assert lines[first + 1][column] != " "


@pytest.mark.parametrize(
    ("findings", "said", "code"),
    [
        ((), "0 HOLD, 0 NOT CHECKED, 4,312 measurements checked on 24 piers.", "0"),
        ((finding(1), finding(2)), "2 HOLD on 1 pier, 0 NOT CHECKED,", "1"),
        ((finding(1), finding(2, pier="P8")), "2 HOLD on 2 piers, 0 NOT CHECKED,", "1"),
        ((missing("P1"),), "0 HOLD, 1 NOT CHECKED,", "1"),
        ((finding(1, answered="RFI 1"),), "0 HOLD, 0 NOT CHECKED, 1 answered,", "0"),
        ((finding(1, level=Level.TIGHT),), "0 HOLD, 1 TIGHT, 0 NOT CHECKED,", "0"),
    ],
)
def test_summary_and_what_the_code_means(findings: tuple, said: str, code: str) -> None:
    made = report(*findings)
    assert summary(made).startswith(said)
    assert f"Exit code {code}:" in meaning(made)
    assert bool(made.open) == (code == "1")


def test_tolerances_lapsed_answers_and_answers_without_a_finding_are_told() -> None:
    lapsed = "The answer (A. Engineer, RFI 12) has lapsed: it was given for 0.40 in, and now it is 0.37 in."
    made = report(
        finding(1, lapsed=lapsed),
        placing="ACI 117-10; rods set by hand; worst case",
        both_axes=("Pier P7: play of rods: met along one axis, not along both at once.",),
        answers=("No finding is called x.",),
    )
    text = report_text(made, "f", 80)
    flat = " ".join(text.split())
    assert "tolerances ACI 117-10; rods set by hand; worst case" in text
    assert "\n  LAPSED " in text
    assert lapsed in flat
    assert "Along both axes at once Pier P7: play of rods" in flat
    assert "Answers that match no finding No finding is called x." in flat
    assert "1 HOLD on 1 pier, 0 NOT CHECKED, 1 answer lapsed," in flat
    plain = report_text(report(finding(1)), "f", 80)
    for word in ("LAPSED", "lapsed", "tolerances", "both axes", "Answers"):
        assert word not in plain


def test_a_figure_keeps_its_unit() -> None:
    made = report(finding(says='0.37 in at 3 1/2" below the top, 1.00 in or 25.4 mm needed. ' * 3))
    for width in range(40, 90):
        for line in report_text(made, "f", width).splitlines():
            assert not line.endswith(("0.37", " 3", "1.00", "25.4")), line


def test_one_pier_alone_is_said() -> None:
    assert "pier P7 alone" in report_text(report(), "f", 80, only="P7").splitlines()[0]


@pytest.mark.parametrize("width", [40, 80])
def test_from_memory_is_explained_once_where_it_is_said(width: int) -> None:
    said = [finding(n, pier=f"P{n}", says="Short (ACI 357R splash zone, from memory).") for n in (1, 2)]
    text = " ".join(report_text(report(*said), "f", width).split())
    assert text.count(FROM_MEMORY) == 1
    assert text.index(FROM_MEMORY) > text.rindex("splash zone")
    assert FROM_MEMORY not in " ".join(report_text(report(finding()), "f", width).split())


def test_never_safe_nor_approved() -> None:
    for made in (FULL, report()):
        text = (report_text(made, "f", 80) + meaning(made)).lower()
        assert "safe" not in text
        assert "approved" not in text
