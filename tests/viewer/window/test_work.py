"""A site judged slice by slice comes out as in one piece, and nothing is shown before it was judged."""

from __future__ import annotations

from pathlib import Path

import pytest

from clash.judge import judge
from models.reading.loading import load_site
from tests.viewer.running import DEMO
from viewer.window import desk_of
from viewer.window.features.placed import draws, says, toggle
from viewer.window.features.walking import next_flagged
from viewer.window.spots import place_of
from viewer.window.work import Work


def test_slices_find_what_one_judging_finds() -> None:
    site = load_site(DEMO / "reedbank.yaml")
    whole = judge(site)
    work = Work(site)
    while work.pending:
        work.judge(5)
    found = [f for mark in work.marks for fold in work.looked(mark).folds for f in (fold.worst, *fold.others)]
    assert {f.id: f for f in found} == {f.id: f for f in whole.findings}
    assert len(found) == len(whole.findings) == 10
    assert work.elsewhere == []


def test_a_pier_is_judged_when_it_is_asked_for_and_has_no_level_before() -> None:
    work = Work(load_site(DEMO / "reedbank.yaml"))
    assert work.level("P15") is None
    assert work.flagged == ()
    assert [fold.worst.rule for fold in work.looked("P15").folds] == ["overlap"]
    assert work.flagged == ("P15",)
    assert work.level("P15").word == "HOLD"
    assert "P15" not in work.pending
    assert len(work.pending) == 23


def test_the_walk_waits_for_piers_that_are_not_judged_yet() -> None:
    desk = desk_of(Path(DEMO))
    desk.work = Work(desk.work.site)
    desk.work.judge(1)  # P1 alone, and it is clear
    desk.state.pier, desk.state.finding = "P1", None
    seen = []
    for _ in range(7):
        next_flagged(desk)
        seen.append(desk.state.pier)
    assert seen == ["P2", "P4", "P12", "P8", "P15", "P17", "P22"]


def test_what_was_surveyed_is_told_beside_what_is_drawn() -> None:
    """P14's anchor was knocked 1 in west (what-was-placed.md); the drawing's HOLDs stay."""
    desk = desk_of(Path(DEMO), "P14", Path(DEMO) / "shots.csv")
    assert desk.state.after is True
    assert any("does not drop on" in fold.worst.says for fold in desk.looked.folds)
    assert desk.work.placed is not None
    factor = desk.work.placed["P14"].factor
    (arrow,) = draws(desk)
    assert arrow.words.startswith("bar anchor 3 (NW): 1.00 in W")
    assert arrow.words.endswith(f"(x{factor})")
    assert (arrow.end - arrow.start)[0] == pytest.approx(-25.4 * factor, abs=0.3 * factor)  # sure to .005 ft
    assert list(says(desk)) == [f"Arrows from drawn to placed, {factor} times as long as measured."]
    assert {fold.worst.rule for fold in desk.work.looked("P15").folds} >= {"overlap"}
    toggle(desk)
    assert list(draws(desk)) == list(says(desk)) == []
    desk.go("P19")
    toggle(desk)
    assert "Not measured: rod 4 (SE)." in next(iter(says(desk)))
    assert desk.work.level_placed is not None
    assert desk.work.level_placed.placed is True


def test_what_was_measured_at_the_top_of_a_rod_is_shown_at_its_top() -> None:
    desk = desk_of(Path(DEMO), "P16", Path(DEMO) / "shots.csv")
    pier = next(p for p in desk.work.site.piers if p.mark == "P16")
    fold = next(f for f in desk.looked.folds if f.worst.rule == "as built top of rod")
    place = place_of(pier, fold.worst, desk.work.looked("P16").rows)
    assert place is not None
    # The anchors of row C are drawn 2 1/2 in above the concrete (reedbank.yaml, projection).
    assert place.spot.a[2] == pytest.approx(2.5 * 25.4, abs=1e-6)


def test_without_a_survey_the_key_says_what_is_missing() -> None:
    desk = desk_of(Path(DEMO))
    toggle(desk)
    assert "--shots" in desk.state.said
    assert desk.state.after is False
