"""What if: a change judged at once says what judging the whole changed site from the start says."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from clash.gap_table import GapTable
from clash.gaps import measure, measure_again
from clash.judge import judge
from clash.report.findings import Level, Report
from clash.report.judged import Judged
from clash.what_if import Trial, WhatIf
from models.build import CannotBuild, build_site
from models.changes.change import Change, MoveTie, NudgeRods, TurnRods
from models.changes.rebuilt import rebuilt
from models.lengths import Units
from models.reading.loading import load_site
from models.site import Site
from tests.support.hardware import beam_seat, everything, pier, site
from tests.support.reports import assert_same

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "models" / "examples"
FILES = {
    "reedbank": EXAMPLES / "reedbank" / "reedbank.yaml",
    "light pole": EXAMPLES / "light-pole" / "light-pole.yaml",
    "start": EXAMPLES / "start" / "site.yaml",
    **{path.stem: path for path in sorted((ROOT / "tests" / "faults" / "sites").glob("*.yaml"))},
}


@cache
def as_drawn(name: str) -> WhatIf:
    return WhatIf.of(everything() if name == "everything" else load_site(FILES[name]))


def cold(changed: Site) -> Report:
    """The whole changed site, built and judged from nothing."""
    return judge(build_site(changed.spec, changed.sha256))


@st.composite
def changes(draw: st.DrawFn, marks: list[str]) -> tuple[str, Change]:
    mark = draw(st.sampled_from(marks))
    steps = st.integers(-12, 12)
    change: Change = draw(
        st.one_of(
            st.builds(lambda x, y: NudgeRods(3.175 * x, 3.175 * y), steps, steps),
            st.builds(lambda d: TurnRods(float(d)), steps),
            st.builds(lambda n, up: MoveTie(n, 5.0 * up), st.integers(1, 8), steps),
        )
    )
    return mark, change


def refusal(now: Site, mark: str, change: Change) -> str:
    """Why the site with this change cannot be built from the start; empty where it can."""
    specs = {spec.mark: spec for spec in now.spec.piers}
    try:
        specs[mark] = change.applied(specs[mark], now.units)
        build_site(now.spec.model_copy(update={"piers": list(specs.values())}), "")
    except CannotBuild as error:
        return error.problems[0].wrong
    except ValueError as error:
        return str(error)
    return ""


def tried(start: WhatIf, all_of: list[tuple[str, Change]]) -> WhatIf:
    """As many of the changes as can be; what is refused is refused from the start too, in the same words."""
    now = start
    for mark, change in all_of:
        why = refusal(now.site, mark, change)
        if why:
            with pytest.raises(ValueError, match=re.escape(why)):
                now.with_change(mark, change)
        else:
            now = now.with_change(mark, change)
    return now


@pytest.mark.parametrize(
    ("name", "examples"),
    [("reedbank", 8), ("everything", 10), ("light pole", 6), ("start", 6)]
    + [(path.stem, 3) for path in sorted((ROOT / "tests" / "faults" / "sites").glob("*.yaml"))],
)
def test_random_changes_are_judged_as_from_the_start(name: str, examples: int) -> None:
    start = as_drawn(name)
    marks = [p.mark for p in start.site.piers]

    @settings(
        max_examples=examples, deadline=None, database=None, suppress_health_check=[HealthCheck.too_slow]
    )
    @given(st.lists(changes(marks), min_size=1, max_size=4))
    def check(all_of: list[tuple[str, Change]]) -> None:
        now = tried(start, all_of)
        assert_same(now.report, cold(now.site))

    check()


@pytest.mark.long
@settings(max_examples=150, deadline=None)
@given(st.data())
def test_many_random_changes_of_the_demo(data: st.DataObject) -> None:
    start = as_drawn("reedbank")
    now = tried(start, data.draw(st.lists(changes([p.mark for p in start.site.piers]), max_size=6)))
    assert_same(now.report, cold(now.site))


def test_as_drawn_is_what_judging_says() -> None:
    start = as_drawn("reedbank")
    assert start.report == judge(start.site)
    assert start.changed == ()


def test_the_conduit_of_p2_comes_clear_of_the_nut_and_fouls_it_again() -> None:
    """Conduit at (5 1/8, 3/8) in, 1.05 in thick; the nut at the foot of rod 2, at (4, 0), is a heavy hex
    of 1 in, 1 5/8 across its flats and so 1.876 across its corners (ASME B18.2.2).

    1/8 in west their axes are hypot(1.25, .375) = 1.305 apart, which is less than .525 + .8125 = 1.3375: they
    meet whichever way the nut is turned. 3/8 in west it is hypot(1.5, .375) = 1.546, more than .525 + .938 =
    1.463: they are clear whichever way.
    """
    start, fouls = as_drawn("reedbank"), "overlap:P2/embed/conduit:P2/head/2"

    def levels(now: WhatIf) -> list[Level]:
        return [f.level for f in now.findings("P2") if f.id == fouls]

    assert levels(start) == [Level.HOLD]
    eighth = start.with_change("P2", NudgeRods(-3.175, 0.0))
    assert levels(eighth) == [Level.HOLD]
    clear = eighth.with_change("P2", NudgeRods(-6.35, 0.0))
    assert levels(clear) == []
    back = clear.with_change("P2", NudgeRods(9.525, 0.0))
    assert_same(back.report, start.report)
    assert back.changed == ()


def test_findings_of_the_other_piers_are_kept_and_not_asked_again(monkeypatch: pytest.MonkeyPatch) -> None:
    import clash.what_if as module

    start, asked = as_drawn("reedbank"), []
    real = module.judge_pier

    def judged(site: Site, i: int, gaps: GapTable) -> Judged:
        asked.append(site.piers[i].mark)
        return real(site, i, gaps)

    monkeypatch.setattr(module, "judge_pier", judged)
    start.with_change("P1", NudgeRods(3.175, 0.0))
    assert asked == ["P1"]


def test_a_neighbor_under_the_same_beam_is_judged_again_where_a_hole_comes_near() -> None:
    """Two piers 700 mm apart: a hole of the one is within a beam's depth of the rods of the other."""
    seat = beam_seat()
    beam = {"name": "B1", "piers": ["P1", "P2"], "width": 133, "depth": 400, "hole": 27, "overhang": 300}
    start = WhatIf.of(site(pier(seat=seat), pier("P2", x=700, seat=seat), beams=[beam]))
    # nudged until the holes run to within a rod of the neighbor's own, and past them
    for x in (20.0, 200.0, 380.0, 450.0):
        now = start.with_change("P1", NudgeRods(x, 0.0))
        assert_same(now.report, cold(now.site))


def test_a_beam_carries_the_holes_to_every_pier_it_runs_over() -> None:
    start = as_drawn("everything")
    now = start.with_change("P2", NudgeRods(15.0, 0.0))
    whole = build_site(now.site.spec, "")
    for mark in ("P2", "P3"):
        mine, theirs = (
            next(part for p in s.piers if p.mark == mark for part in p.parts if part.id == "B1/beam").solid
            for s in (now.site, whole)
        )
        assert [h.starts.tolist() for h in mine.outline.holes] == [
            h.starts.tolist() for h in theirs.outline.holes
        ]


@pytest.mark.parametrize("change", [NudgeRods(7.0, -3.0), TurnRods(4.0), MoveTie(2, -12.0)])
@pytest.mark.parametrize("mark", ["P1", "P4", "P20"])
def test_what_is_measured_again_is_what_measuring_all_says(mark: str, change: Change) -> None:
    start = as_drawn("reedbank").site
    was = next(p for p in start.piers if p.mark == mark)
    after = rebuilt(start, change.applied(was.spec, Units.FT_IN))
    now = next(p for p in after.piers if p.mark == mark)
    again, whole = measure_again(now, was, measure([was])), measure([now])
    assert (again.a.tolist(), again.b.tolist()) == (whole.a.tolist(), whole.b.tolist())
    assert np.allclose(again.gap, whole.gap, atol=1e-9)
    assert np.allclose(np.linalg.norm(again.at_a - again.at_b, axis=1), np.abs(again.gap), atol=1e-6) or (
        np.min(whole.gap) < 0.0
    )


def test_undo_and_redo_walk_the_list_of_changes() -> None:
    start = as_drawn("start")
    trial = Trial((start,))
    assert trial.undone().now is start
    one = trial.tried("P1", NudgeRods(3.175, 0.0))
    two = one.tried("P1", MoveTie(2, 3.175))
    assert two.undone().now is one.now
    assert two.undone().undone().now is start
    assert two.undone().redone().now is two.now
    other = two.undone().tried("P2", TurnRods(1.0))
    assert other.redone().now is other.now
    assert [now.mark for _, now in other.now.changed] == ["P1", "P2"]


def test_a_change_that_cannot_be_leaves_everything_as_it_was() -> None:
    start = as_drawn("start")
    before = start.report
    with pytest.raises(ValueError, match="tie 40 is moved"):
        start.with_change("P1", MoveTie(40, 3.175))
    assert start.report is before
    with pytest.raises(KeyError):
        start.with_change("P99", TurnRods(1.0))
