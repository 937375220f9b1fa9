"""The judge: comparing, counting, sorting, wording, and what is never silently clear."""

from __future__ import annotations

import re

import numpy as np
import pytest
from msgspec.structs import replace

import clash.judge
from clash.gap_table import Face, GapTable
from clash.judge import judge
from clash.needs.need import Missing, Need
from clash.report.findings import Level
from clash.report.wording import named
from clash.rule import EPSILON, Limit, Measured, Rule, rules
from models.part import Role
from models.problems import BadInput
from models.site import Site
from tests.support.placing import not_of_placing
from tests.support.tiny import INCH, STATED, bar, judged, only, rod, site, table, tie, vertical


def fake(
    monkeypatch: pytest.MonkeyPatch, measured: float, need: Need, limit: Limit, unit: str | None = None
) -> None:
    """Let one made-up rule measure the first part alone."""

    def measure(view: object) -> list[Measured]:
        one = np.zeros(1, dtype=np.intp)
        says = "{a}: {measured} there, {required} needed ({source})."
        at = np.full((1, 3), 5.0)
        return [Measured(one, one, np.array([measured]), (need,), at, says, limit=limit, unit=unit)]

    monkeypatch.setattr(
        clash.judge, "rules", lambda: (Rule("made up", "a made-up figure", "nobody", measure),)
    )


@pytest.mark.parametrize(
    ("limit", "measured", "level"),
    [
        ("least", 99.5, Level.HOLD),
        ("least", 100.0 - 2 * EPSILON, Level.HOLD),
        ("least", 100.0 - EPSILON / 2, None),
        ("least", 100.0, None),
        ("least", 100.5, None),
        ("most", 100.5, Level.HOLD),
        ("most", 100.0 + 2 * EPSILON, Level.HOLD),
        ("most", 100.0 + EPSILON / 2, None),
        ("most", 100.0, None),
        ("most", 99.5, None),
    ],
)
def test_a_limit_is_met_exactly_at_it(
    monkeypatch: pytest.MonkeyPatch, limit: Limit, measured: float, level: Level | None
) -> None:
    fake(monkeypatch, measured, Need(100.0, "nobody"), limit)
    report = judged(site([vertical(1)]))
    assert [f.level for f in report.findings] == ([] if level is None else [level])
    assert (report.checked, report.clear["made up"]) == (1, 1 if level is None else 0)
    for finding in report.findings:
        assert finding.reserve_mm == pytest.approx(-abs(measured - 100.0))
        assert finding.limit == limit


@pytest.mark.parametrize(
    ("limit", "measured", "level"),
    [
        ("least", 104.5, Level.TIGHT),
        ("least", 105.0, None),
        ("least", 100.0, Level.TIGHT),
        ("least", 99.5, Level.HOLD),
        ("most", 95.5, Level.TIGHT),
        ("most", 95.0, None),
        ("most", 100.5, Level.HOLD),
    ],
)
def test_a_tolerance_that_uses_up_the_reserve_is_tight(
    monkeypatch: pytest.MonkeyPatch, limit: Limit, measured: float, level: Level | None
) -> None:
    fake(monkeypatch, measured, Need(100.0, "nobody", tolerance=5.0), limit)
    report = judged(site([vertical(1)]))
    assert [f.level for f in report.findings] == ([] if level is None else [level])
    for finding in report.findings:
        reserve = measured - 100.0 if limit == "least" else 100.0 - measured
        assert finding.reserve_mm == pytest.approx(reserve - 5.0)
        assert ("placing may take 5.0 mm" in finding.says) is (level is Level.TIGHT)
    assert report.open == tuple(f for f in report.findings if f.level is Level.HOLD)


@pytest.mark.parametrize(
    ("measured", "level"), [(39.5, Level.HOLD), (40.0, Level.NOT_CHECKED), (90.0, Level.NOT_CHECKED)]
)
def test_what_is_known_of_a_need_holds_and_the_rest_is_not_checked(
    monkeypatch: pytest.MonkeyPatch, measured: float, level: Level
) -> None:
    need = Need(40.0, "nobody", Missing("concrete.aggregate", "nobody said it; add it"))
    fake(monkeypatch, measured, need, "least")
    report = judged(site([vertical(1)]))
    (found,) = report.findings
    assert found.level is level
    assert report.checked == (1 if level is Level.HOLD else 0)
    assert report.not_checked == (0 if level is Level.HOLD else 1)
    assert report.clear["made up"] == 0
    if level is Level.NOT_CHECKED:
        assert found.id == "made up:P1:concrete.aggregate"
        assert found.parts == ("P1/vertical/1",)
        assert found.measured_mm is None
        assert "nobody said it; add it" in found.says


def test_a_need_without_figure_or_question_is_a_fault() -> None:
    with pytest.raises(ValueError, match="missing"):
        Need(None, "nobody")


def test_a_count_is_no_length(monkeypatch: pytest.MonkeyPatch) -> None:
    fake(monkeypatch, 3.0, Need(4.0, "nobody"), "least", unit="rods")
    (found,) = judged(site([vertical(1)])).findings
    assert (found.measured, found.required, found.unit) == (3.0, 4.0, "rods")
    assert (found.measured_mm, found.required_mm, found.reserve_mm) == (None, None, None)


# --- sentences


@pytest.mark.parametrize("units", ["mm", "ft-in"])
@pytest.mark.parametrize("measured", [38.1 - 2e-6, 38.1 - 1e-3, 38.09, 38.0, 25.4, 0.0])
def test_a_shown_hold_never_reads_as_met(units: str, measured: float) -> None:
    report = judged(
        site([vertical(1), vertical(2)], pier=STATED, units=units),
        [("P1/vertical/1", "P1/vertical/2", measured)],
    )
    (found,) = only(report, "bar spacing")
    shown = [float(figure) for figure in re.findall(r"(\d+\.\d+) (?:in|mm)\b", found.says)]
    assert len(shown) >= 2
    assert shown[0] < shown[-1], found.says


def test_a_sentence_names_both_things_the_place_the_figures_and_the_source() -> None:
    parts = [vertical(2, label="vertical at the SE corner"), rod(3, label="rod 3 (SE)")]
    built = site(parts, pier=STATED, units="ft-in")
    at = (200.0, -200.0, -11.375 * INCH)
    (found,) = only(judged(built, [("P1/rod/3", "P1/vertical/2", 0.38 * INCH, at)]), "rod to bar")
    assert found.says == (
        'Rod 3 (SE) and the vertical at the SE corner: 0.38 in clear at 11 3/8" below the top of concrete, '
        "1.00 in needed (practice: 4/3 of the largest aggregate)."
    )
    assert found.labels == ("rod 3 (SE)", "vertical at the SE corner")
    assert found.at_mm == pytest.approx(at)


@pytest.mark.parametrize(
    ("label", "words"),
    [
        ("rod 3 (SE)", "rod 3 (SE)"),
        ("bar anchor 2 (SE)", "bar anchor 2 (SE)"),
        ("tie 2 from top", "tie 2 from top"),
        ("beam B1", "beam B1"),
        ("the side of the pier", "the side of the pier"),
        ("plate", "the plate"),
        ("vertical at the SE corner", "the vertical at the SE corner"),
        ("vertical in the S face, 2nd from the W", "the vertical in the S face, 2nd from the W"),
        ("dowel beside vertical 3 of 8 (N)", "the dowel beside vertical 3 of 8 (N)"),
        ("nut at the foot of rod 1 (N)", "the nut at the foot of rod 1 (N)"),
    ],
)
def test_only_what_has_a_number_goes_without_the(label: str, words: str) -> None:
    assert named(label) == words


def test_a_sentence_gives_the_wind_where_no_label_has_one() -> None:
    report = judged(
        site([tie(1)], pier=STATED, turn=90.0), [("P1/tie/1", Face.SIDE, 10.0, (240.0, 0.0, -300.0))]
    )
    (found,) = only(report, "cover")
    assert "on the N side" in found.says  # the pier's own x, turned 90 degrees, is the site's north
    assert found.at_mm == pytest.approx((0.0, 240.0, -300.0))


def test_nothing_is_ever_called_safe() -> None:
    words = " ".join(
        [*(f"{r.id} {r.title} {r.source}" for r in rules()), *(f.says for f in crowded().findings)]
    )
    assert not re.search(r"\b(safe|approved)\b", words, re.IGNORECASE)


# --- ids and order


def crowded(turn: float = 0.0, order: int = 1, units: str = "mm") -> clash.judge.Report:
    parts = [rod(1), rod(2, 60.0), vertical(1), vertical(2), tie(10), tie(2), bar("P1/dowel/1", Role.DOWEL)]
    gaps = [
        ("P1/rod/1", "P1/vertical/1", 12.0),
        ("P1/rod/1", "P1/tie/10", 3.0),
        ("P1/rod/1", "P1/tie/2", -3.0),
        ("P1/vertical/1", "P1/vertical/2", 30.0),
        ("P1/tie/2", Face.SIDE, 30.0),
        ("P1/tie/10", Face.SIDE, 30.0),
        ("P1/dowel/1", "P1/vertical/1", np.nan),
    ]
    pier = {"concrete": {"exposure": "weather"}, "required": {"rod_tie_clear": 12.0}}
    built = site(parts[::order], pier=pier, turn=turn, units=units)
    return judged(built, gaps[::order])


def test_ids_do_not_depend_on_order_units_or_turn() -> None:
    plain = crowded()
    ids = [f.id for f in plain.findings]
    assert len(set(ids)) == len(ids) >= 8
    for other in (crowded(order=-1), crowded(turn=33.0), crowded(units="ft-in")):
        assert [f.id for f in other.findings] == ids
        assert [f.level for f in other.findings] == [f.level for f in plain.findings]
        assert [f.parts for f in other.findings] == [f.parts for f in plain.findings]
        assert (other.checked, other.not_checked, other.clear) == (
            plain.checked,
            plain.not_checked,
            plain.clear,
        )


def test_like_findings_share_a_group_and_keep_their_own_ids() -> None:
    ties = [tie(k) for k in range(1, 13)]
    asked = STATED | {"required": {"rod_tie_clear": 12.0}}
    report = judged(site([rod(1), *ties], pier=asked), [("P1/rod/1", t.id, 5.0) for t in ties])
    found = only(report, "rod to tie")
    assert len(found) == len({f.id for f in found}) == 12
    assert len({f.group for f in found}) == 1
    assert [f.parts[1] for f in found] == [f"P1/tie/{k}" for k in range(1, 13)]  # 2 before 10


def test_worst_comes_first_by_pier() -> None:
    pier = {"kind": "small", "x": 0, "y": 0, "top": 0, "bottom": -1000, "outline": {"square": 500}} | STATED
    marks = ["P1", "P2", "P3"]
    built = site(
        [vertical(1), vertical(2)],
        extra={"piers": [pier | {"mark": mark, "x": 5000 * k} for k, mark in enumerate(marks)]},
    )
    one = built.piers[0]
    three = tuple(
        replace(
            one,
            mark=mark,
            spec=built.spec.piers[k],
            parts=tuple(replace(part, id=part.id.replace("P1", mark)) for part in one.parts),
        )
        for k, mark in enumerate(marks)
    )
    whole = Site(built.spec, three, built.sha256)
    rows = [(0, 1, 30.0), (1, 1, 10.0), (1, int(Face.SIDE), 20.0), (2, 1, np.nan)]
    n = len(rows)
    gaps = GapTable(
        np.array([r[0] for r in rows]),
        np.zeros(n, dtype=np.intp),
        np.array([r[1] for r in rows]),
        np.array([r[2] for r in rows], dtype=float),
        np.zeros((n, 3)),
        np.zeros((n, 3)),
    )
    report = judge(whole, gaps)
    assert [(f.pier, f.level) for f in report.findings][:3] == [
        ("P2", Level.HOLD),  # 20 of 50.8 mm
        ("P2", Level.HOLD),  # 10 of 38.1 mm
        ("P1", Level.HOLD),
    ]
    assert {f.pier for f in report.findings[3:]} == {"P3"}
    alone = judge(whole, gaps, only="P1")
    assert [f.pier for f in alone.findings] == ["P1"]
    assert alone.piers == 1
    with pytest.raises(BadInput, match="there is no pier P9 on this site; write one of P1, P2, P3"):
        judge(whole, gaps, only="P9")


# --- answers, overrides


def test_an_answered_finding_stays_and_holds_nothing_up() -> None:
    answer = {
        "finding": "bar spacing:P1/vertical/1:P1/vertical/2",
        "by": "the engineer",
        "date": "2026-03-02",
        "reference": "RFI 12",
    }
    built = site([vertical(1), vertical(2)], pier=STATED, extra={"answered": [answer]})
    report = judged(built, [("P1/vertical/1", "P1/vertical/2", 30.0), ("P1/vertical/1", Face.SIDE, 10.0)])
    (found,) = only(report, "bar spacing")
    assert found.level is Level.HOLD
    assert found.answered == "the engineer, 2026-03-02, RFI 12"
    assert [f.rule for f in report.open] == ["cover"]
    assert report.findings[-1] is found


def test_the_sites_own_figure_comes_first_and_a_looser_one_is_told_once() -> None:
    required = {"required": {"bar_clear": 25.0, "rod_bar_clear": 30.0}}
    parts = [vertical(1), vertical(2), vertical(3), rod(1)]
    gaps = [
        ("P1/vertical/1", "P1/vertical/2", 25.0),
        ("P1/vertical/2", "P1/vertical/3", 24.5),
        ("P1/vertical/1", "P1/rod/1", 29.5),
    ]
    report = judged(site(parts, pier=STATED | required), gaps)
    (found,) = only(report, "bar spacing")
    assert found.required_mm == 25.0
    assert found.source == "as specified, required: bar clear"
    # 30 mm is more than the 25.4 mm of practice: stricter, so judged, but not told as looser.
    assert len(only(report, "rod to bar")) == 1
    assert not_of_placing(report.overrides) == (
        "Pier P1: clear spacing between longitudinal bars is 25.0 mm (as specified, required: bar clear), "
        "less than the 38.1 mm of ACI 318-19 25.2.3, from memory: for any bar.",
    )


def test_a_looser_cover_is_told_by_face_with_the_largest_figure_it_replaces() -> None:
    concrete = {
        "aggregate": 19.05,
        "exposure": "weather",
        "cover": {"side": 30.0, "top": 60.0, "bottom": 76.2},
    }
    report = judged(site([vertical(1), tie(1)], pier={"concrete": concrete}))
    (told,) = not_of_placing(report.overrides)
    assert "cover at the side is 30.0 mm (as specified" in told
    assert "50.8 mm of ACI 318-19 Table 20.5.1.3.1" in told


def test_a_looser_figure_is_told_even_where_nothing_comes_near() -> None:
    report = judged(site([vertical(1), vertical(2)], pier=STATED | {"required": {"bar_clear": 20.0}}))
    assert len(not_of_placing(report.overrides)) == 1


# --- never silently clear


def test_without_aggregate_and_exposure_what_depends_on_them_is_not_checked() -> None:
    parts = [vertical(1), vertical(2), rod(1)]
    gaps = [("P1/vertical/1", "P1/vertical/2", 100.0), ("P1/vertical/1", "P1/rod/1", 100.0)]
    report = judged(site(parts), gaps)
    missing = {f.id: f for f in report.findings}
    assert set(missing) == {
        "bar spacing:P1:concrete.aggregate",
        "rod to bar:P1:concrete.aggregate",
        "cover:P1:concrete.exposure",
    }
    assert all(f.level is Level.NOT_CHECKED for f in missing.values())
    assert "add it (concrete: aggregate)" in missing["rod to bar:P1:concrete.aggregate"].says
    assert missing["cover:P1:concrete.exposure"].parts == ("P1/rod/1", "P1/vertical/1", "P1/vertical/2")
    assert report.clear["bar spacing"] == report.clear["rod to bar"] == 0
    # The bottom, cast against the ground, needs 3 in whatever the exposure, and all three keep farther off.
    assert report.clear["cover"] == 3


def test_less_than_any_exposure_allows_is_on_hold_though_the_exposure_is_missing() -> None:
    report = judged(site([vertical(1)]), [("P1/vertical/1", Face.SIDE, 1.5 * INCH - 0.5)])
    assert sorted((f.level, f.id) for f in only(report, "cover")) == [
        (Level.HOLD, "cover:P1/vertical/1:P1/concrete/side"),
        (Level.NOT_CHECKED, "cover:P1:concrete.exposure"),
    ]


def test_bars_far_apart_are_clear_only_where_the_whole_need_is_known() -> None:
    bars = [vertical(1), vertical(2), vertical(3)]
    assert judged(site(bars, pier=STATED)).clear["bar spacing"] == 3
    report = judged(site(bars, pier={"concrete": {"exposure": "weather"}}))
    assert report.clear["bar spacing"] == 0
    assert [f.id for f in report.findings] == ["bar spacing:P1:concrete.aggregate"]


def test_a_need_beyond_the_reach_of_the_gaps_leaves_pairs_unlooked_at_and_says_so() -> None:
    asked = STATED | {"required": {"bar_clear": 160.0, "rod_bar_clear": 150.0}}
    report = judged(site([vertical(1), vertical(2), rod(1)], pier=asked))
    (found,) = report.findings
    assert found.level is Level.NOT_CHECKED
    assert found.id == "bar spacing:P1:reach"
    assert "gaps are measured up to 150 mm, and 160.0 mm is needed" in found.says


def test_steel_in_the_grade_beam_is_told_as_not_modelled_and_is_no_finding() -> None:
    report = judged(site([vertical(1)], pier=STATED, grade_beam="GB1/grade-beam"))
    assert report.findings == ()
    assert len(report.not_modelled) == 1
    assert "GB1" in report.not_modelled[0]


def test_every_rule_is_found_once_and_says_where_it_comes_from() -> None:
    found = rules()
    assert [r.id for r in found] == sorted(r.id for r in found)
    core = "overlap,bar spacing,rod to bar,rod to tie,cover,grade beam cover,rod edge,rod spacing,rod in hole"
    more = "rod without a hole,hole without a rod,dowel lap"
    assert {r.id for r in found} >= set(f"{core},{more}".split(","))
    assert all(r.title and r.source for r in found)


def test_a_rule_either_applied_or_says_why_not() -> None:
    report = crowded()
    assert set(report.clear) | set(report.does_not_apply) == {r.id for r in rules()}
    assert not set(report.clear) & set(report.does_not_apply)
    assert all(report.does_not_apply.values())


def test_gaps_of_a_tiny_table_reach_their_rows() -> None:
    built = site([vertical(1), vertical(2)])
    gaps = table(built, [("P1/vertical/2", "P1/vertical/1", 7.0), ("P1/vertical/2", Face.TOP, 9.0)])
    assert gaps.a.tolist() == [0, 1]
    assert gaps.b.tolist() == [1, int(Face.TOP)]
