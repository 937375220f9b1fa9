"""Overlaps, clear spacing and cover: each rule just under its limit, exactly at it, and just over."""

from __future__ import annotations

import numpy as np
import pytest

from clash.gap_table import Face
from clash.report.findings import Level
from models.outline import rectangle
from models.part import Exit, Part, Role, Stage
from models.shapes.fitting import FITTING
from models.site import Site
from models.solids import Swept
from tests.support.tiny import (
    INCH,
    STATED,
    bar,
    expect,
    judged,
    only,
    rod,
    site,
    slab,
    tie,
    vertical,
)

OFF = pytest.mark.parametrize(("off", "holds"), [(-0.5, True), (0.0, False), (0.5, False)])


# --- overlap


@pytest.mark.parametrize(
    ("gap", "holds"), [(-0.5, True), (-1e-3, True), (-1e-7, False), (0.0, False), (0.5, False)]
)
def test_things_that_should_not_touch_may_touch_but_not_overlap(gap: float, holds: bool) -> None:
    report = judged(
        site([tie(1), rod(1)], pier=STATED | {"required": {"rod_bar_clear": 0}}),
        [("P1/tie/1", "P1/rod/1", gap)],
    )
    found = expect(report, "overlap", holds)
    if holds:
        assert found[0].measured_mm == gap
        assert found[0].required_mm == 0.0
        assert found[0].reserve_mm == gap


@pytest.mark.parametrize(
    ("gap", "holds"), [(-FITTING - 0.5, True), (-FITTING, False), (-FITTING + 0.5, False)]
)
def test_things_that_should_touch_may_overlap_by_the_fitting(gap: float, holds: bool) -> None:
    parts = [tie(1, touches=["P1/vertical/1"]), vertical(1)]
    expect(judged(site(parts, pier=STATED), [("P1/tie/1", "P1/vertical/1", gap)]), "overlap", holds)


def test_what_never_meets_and_what_flows_does_not_overlap() -> None:
    square = rectangle(200.0, 200.0)
    parts = [
        slab("P1/template/1", Role.TEMPLATE, square, 0.0, 20.0, stage=Stage.POUR),
        slab("P1/shim/1", Role.SHIM, square, 0.0, 20.0),
        slab("P1/grout/1", Role.GROUT, square, 0.0, 20.0, fluid=True),
    ]
    gaps = [("P1/template/1", "P1/shim/1", -20.0), ("P1/shim/1", "P1/grout/1", -20.0)]
    report = judged(site(parts), gaps)
    assert only(report, "overlap") == []
    assert report.clear["overlap"] == 0


def test_a_gap_that_is_no_number_is_not_checked() -> None:
    report = judged(site([tie(1), vertical(1)], pier=STATED), [("P1/tie/1", "P1/vertical/1", np.nan)])
    (found,) = only(report, "overlap")
    assert found.level is Level.NOT_CHECKED
    assert found.measured_mm is None
    assert "could not be measured" in found.says
    assert report.clear["overlap"] == 0
    assert found in report.open


# --- spacing


@OFF
def test_bars_are_clear_by_1_5_diameters(off: float, holds: bool) -> None:
    # ACI 318-19 25.2.3 (from memory): max(1 1/2 in, 1.5 x 1 in, 4/3 x 3/4 in) = 1.5 in = 38.1 mm.
    report = judged(
        site([vertical(1), vertical(2)], pier=STATED), [("P1/vertical/1", "P1/vertical/2", 38.1 + off)]
    )
    found = expect(report, "bar spacing", holds)
    if holds:
        assert found[0].required_mm == pytest.approx(38.1)
        assert found[0].reserve_mm == pytest.approx(off)
        assert found[0].limit == "least"


@OFF
def test_the_thicker_bar_of_two_decides(off: float, holds: bool) -> None:
    # No. 11: 1.5 x 1.410 in = 2.115 in.
    parts = [vertical(1), vertical(2, diameter=1.41 * INCH)]
    report = judged(site(parts, pier=STATED), [("P1/vertical/1", "P1/vertical/2", 2.115 * INCH + off)])
    expect(report, "bar spacing", holds)


def test_a_dowel_against_its_vertical_is_a_lap_and_two_laps_keep_their_distance() -> None:
    dowels = [
        bar(f"P1/dowel/{k}", Role.DOWEL, low=-1000.0, exits=[Exit.BOTTOM], touches=[f"P1/vertical/{k}"])
        for k in (1, 2)
    ]
    gaps = [
        ("P1/dowel/1", "P1/vertical/1", 0.0),
        ("P1/dowel/2", "P1/vertical/2", FITTING),
        ("P1/dowel/1", "P1/vertical/2", 38.0),
        ("P1/vertical/1", "P1/vertical/2", 60.0),
    ]
    report = judged(site([*dowels, vertical(1), vertical(2)], pier=STATED), gaps)
    (found,) = only(report, "bar spacing")
    assert found.id == "bar spacing:P1/dowel/1:P1/vertical/2"
    # Six pairs: two laps and the finding, the pair 60 mm apart, and the two farther apart than 150 mm.
    assert report.clear["bar spacing"] == 3


def test_a_dowel_near_a_vertical_but_not_against_it_is_no_lap() -> None:
    parts = [bar("P1/dowel/1", Role.DOWEL, touches=["P1/vertical/1"]), vertical(1)]
    report = judged(site(parts, pier=STATED), [("P1/dowel/1", "P1/vertical/1", FITTING + 0.5)])
    assert [f.level for f in only(report, "bar spacing")] == [Level.HOLD]


@OFF
def test_feet_that_meet_in_the_grade_beam_do_not_hide_the_spacing_in_the_pier(
    off: float, holds: bool
) -> None:
    # The feet come within 5 mm of each other below the pier; in it the dowels stand 38.1 mm clear.
    def dowel(number: int, x: float, toward: float) -> Part:
        nan = np.full((2, 3), np.nan)
        knots = np.array([[x, 0.0, -400.0], [x, 0.0, -1200.0], [x + toward, 0.0, -1200.0]])
        part = bar(f"P1/dowel/{number}", Role.DOWEL, exits=[Exit.BOTTOM])
        return Part(
            **{s: getattr(part, s) for s in part.__slots__}
            | {"solid": Swept(knots, np.zeros(2), nan, nan, INCH / 2)}
        )

    parts = [dowel(1, 0.0, 20.0), dowel(2, 63.5 + off, -20.0)]
    built = site(parts, pier=STATED, grade_beam="GB1/grade-beam")
    report = judged(built, [("P1/dowel/1", "P1/dowel/2", 5.0, (30.0, 0.0, -1200.0))])
    found = expect(report, "bar spacing", holds)
    if holds:
        assert found[0].measured_mm == pytest.approx(38.1 + off)


@OFF
@pytest.mark.parametrize("role", [Role.ROD, Role.BAR_ANCHOR, Role.HEAD])
def test_rods_and_heads_are_clear_of_bars_by_4_3_of_the_aggregate(
    role: Role, off: float, holds: bool
) -> None:
    # Practice: 4/3 x 19.05 = 25.4 mm.
    rods = [rod(2)] if role is Role.HEAD else []
    report = judged(
        site([rod(1, role=role), *rods, vertical(1)], pier=STATED),
        [("P1/rod/1", "P1/vertical/1", 25.4 + off)],
    )
    found = expect(report, "rod to bar", holds)
    if holds:
        assert found[0].source.startswith("practice")


@OFF
def test_rods_are_clear_of_ties_where_the_site_asks_for_it(off: float, holds: bool) -> None:
    asked = STATED | {"required": {"rod_tie_clear": 12.0}}
    report = judged(site([rod(1), tie(1)], pier=asked), [("P1/tie/1", "P1/rod/1", 12.0 + off)])
    expect(report, "rod to tie", holds)
    assert "rod to bar" not in {f.rule for f in report.findings}


def test_ties_that_cross_rods_may_touch_them_unless_the_site_asks_for_more() -> None:
    report = judged(site([rod(1), tie(1)], pier=STATED), [("P1/tie/1", "P1/rod/1", 0.0)])
    assert report.findings == ()
    assert "may touch" in report.does_not_apply["rod to tie"]


def test_a_tie_drawn_to_touch_a_rod_needs_no_room() -> None:
    asked = STATED | {"required": {"rod_tie_clear": 12.0}}
    report = judged(site([rod(1), tie(1, touches=["P1/rod/1"])], pier=asked), [("P1/tie/1", "P1/rod/1", 0.0)])
    assert only(report, "rod to tie") == []
    assert only(report, "overlap") == []


# --- cover


@OFF
@pytest.mark.parametrize(("face", "need"), [(Face.SIDE, 2.0), (Face.TOP, 2.0), (Face.BOTTOM, 3.0)])
def test_cover_of_a_no_8_bar_by_face(face: Face, need: float, off: float, holds: bool) -> None:
    # ACI 318-19 Table 20.5.1.3.1: 2 in exposed to weather, 3 in cast against the ground.
    report = judged(site([vertical(1)], pier=STATED), [("P1/vertical/1", face, need * INCH + off)])
    expect(report, "cover", holds)


@OFF
def test_cover_of_a_small_bar_and_of_a_bottom_on_a_grade_beam(off: float, holds: bool) -> None:
    built = site([tie(1)], pier=STATED, grade_beam="GB1/grade-beam")
    expect(judged(built, [("P1/tie/1", Face.BOTTOM, 1.5 * INCH + off)]), "cover", holds)


def test_a_part_is_not_measured_to_the_face_that_it_leaves_through() -> None:
    report = judged(site([rod(1)], pier=STATED))
    assert report.clear["cover"] == 2  # side and bottom: both farther than gaps are measured up to


def test_a_need_beyond_the_reach_of_the_gaps_is_not_taken_for_met() -> None:
    parts = [vertical(1)]
    report = judged(site(parts, pier={"concrete": {"cover": {"side": 160.0, "top": 40.0, "bottom": 40.0}}}))
    (found,) = only(report, "cover")
    assert found.level is Level.NOT_CHECKED
    assert found.required_mm == 160.0
    assert report.clear["cover"] == 2


def test_what_reaches_out_through_a_face_says_so() -> None:
    (found,) = only(judged(site([vertical(1)], pier=STATED), [("P1/vertical/1", Face.SIDE, -4.0)]), "cover")
    assert "reaches 4.0 mm out through the side of the pier" in found.says


@OFF
def test_cover_in_the_grade_beam_as_specified(off: float, holds: bool) -> None:
    report = judged(in_grade_beam(cover=76.2), [("P1/dowel/1", Face.GRADE_SIDE, 76.2 + off)])
    found = expect(report, "grade beam cover", holds)
    if holds:
        assert found[0].id == "grade beam cover:P1/dowel/1:GB1/grade-beam/side"
    else:
        assert report.clear["grade beam cover"] == 4  # two dowels, two faces


def test_a_grade_beam_without_a_cover_is_not_checked_once() -> None:
    report = judged(
        in_grade_beam(cover=None),
        [("P1/dowel/1", Face.GRADE_SIDE, 10.0), ("P1/dowel/2", Face.GRADE_SIDE, 10.0)],
    )
    (found,) = only(report, "grade beam cover")
    assert found.level is Level.NOT_CHECKED
    assert "add it (grade beams: GB1: cover)" in found.says
    assert report.clear["grade beam cover"] == 0


def in_grade_beam(cover: float | None) -> Site:
    parts = [
        bar(f"P1/dowel/{k}", Role.DOWEL, 100.0 * k, low=-1300.0, high=-400.0, exits=[Exit.BOTTOM])
        for k in (1, 2)
    ]
    beam = {"name": "GB1", "start": [-2000, 0], "end": [2000, 0], "width": 600, "top": -1000, "depth": 600}
    beams = [beam | ({} if cover is None else {"cover": cover})]
    return site(parts, pier=STATED, grade_beam="GB1/grade-beam", extra={"grade_beams": beams})
