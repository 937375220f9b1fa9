"""Laps of dowels, bars that may lap, hooked feet, and the steel of the section."""

from __future__ import annotations

from math import pi, sqrt
from typing import Any

import pytest

from clash.books import books
from clash.gaps import measure
from clash.judge import judge
from clash.measures.splices import laps, splice
from clash.pier_view import PierView
from clash.report.findings import Level
from models.site import Site
from tests.support.caged import INCH, caged_site, found, held_up, why_not

OFF = pytest.mark.parametrize(("off", "holds"), [(-0.5, True), (0.0, False), (0.5, False)])
MOST = pytest.mark.parametrize(("off", "holds"), [(-0.5, False), (0.0, False), (0.5, True)])
PSI = 4.4482216152605 / INCH**2
CLASS_B = 1.3 * 3.0 / 40.0 * 60_000.0 / sqrt(5000.0) * 0.8 / 2.5 * 0.75
"""in: No. 6, 5000 psi, Grade 60, confinement at its most of 2.5 (ACI 318-19 25.4.2.4a, 25.5.2.1): 19.86."""


def view(built: Site) -> PierView:
    """The only pier of a site."""
    return PierView(built.spec, books()[built.spec.site.rules], built.piers[0], measure(built.piers).rows(0))


# --- the lap


@OFF
def test_the_published_lap_where_the_site_gives_none(off: float, holds: bool) -> None:
    # Verticals start 2 in above the bottom: a dowel stands that much taller than its lap.
    built = caged_site(dowels={"height": (CLASS_B + 2.0) * INCH + off})
    own = held_up(built, "dowel lap", holds)
    if holds:
        assert own[0].measured_mm == pytest.approx(CLASS_B * INCH - 0.5)
        assert own[0].required_mm == pytest.approx(CLASS_B * INCH)
        assert "25.4.2.4a" in own[0].source
        assert "Grade 60" in own[0].source


@OFF
def test_a_compression_lap(off: float, holds: bool) -> None:
    # ACI 318-19 25.5.5.1: 30 d_b = 22.5 in.
    dowels = {"height": 24.5 * INCH + off, "lap_in": "compression"}
    held_up(caged_site(dowels=dowels), "dowel lap", holds)


def test_the_specified_lap_comes_first_and_a_shorter_one_than_published_is_told() -> None:
    short = judge(caged_site(dowels={"height": 17 * INCH, "lap": 15 * INCH}))
    assert found(short, "dowel lap") == []
    assert any("cage: dowels: lap" in told and "25.5.2.1" in told for told in short.overrides)
    long = judge(caged_site(dowels={"height": 40 * INCH, "lap": 30 * INCH}))
    assert found(long, "dowel lap") == []
    assert not any("lap" in told for told in long.overrides)


def test_neither_strength_nor_lap_is_not_checked_and_under_12_in_is_on_hold() -> None:
    (own,) = found(judge(caged_site(concrete={"strength": None}, dowels={})), "dowel lap")
    assert own.level is Level.NOT_CHECKED
    assert "concrete: strength, or cage: dowels: lap" in own.says
    short = caged_site(concrete={"strength": None}, dowels={"height": 13 * INCH})
    assert [f.level for f in found(judge(short), "dowel lap")] == [Level.HOLD]
    lapped = judge(caged_site(concrete={"strength": None}, dowels={"lap": 38 * INCH}))
    assert found(lapped, "dowel lap") == []


def test_en_leaves_the_lap_to_the_site() -> None:
    assert "asks for no lap" in why_not(caged_site(dowels={}, rules="en-1992"), "dowel lap")
    held_up(caged_site(dowels={"lap": 39 * INCH}, rules="en-1992"), "dowel lap", True)


@OFF
def test_whether_the_lap_fits_the_pier_at_all(off: float, holds: bool) -> None:
    # Verticals from 2 in above the bottom to 3 in below the top leave the height less 5 in.
    height = 38 * INCH + 5 * INCH + off
    dowels = {"height": height - 3 * INCH, "lap": 38 * INCH}
    own = held_up(caged_site(height=height, dowels=dowels), "dowel lap", holds)
    if holds:
        assert "leaves room for a lap of 3'-1.98\" at most" in own[0].says
    low = judge(caged_site(height=60 * INCH, dowels={"height": 30 * INCH, "lap": 38 * INCH}))
    (short,) = found(low, "dowel lap")
    assert "leaves room" not in short.says


def test_what_a_lap_depends_on_by_plain_sums() -> None:
    built = caged_site(dowels={"coating": "epoxy"})
    found_laps = laps(view(built))
    assert found_laps is not None
    it = splice(view(built), found_laps)
    assert (it.dowel, it.vertical, it.epoxy, it.count) == (0.75 * INCH, 0.75 * INCH, True, 4)
    # The corner verticals are outermost, snug in bends of 1 in inside radius: 7 3/4 - 1/2 - 1 in to the
    # center of the bend, and (1 - 3/8) / sqrt 2 on from there.
    corner = 7.75 - 1.5 + 0.625 / sqrt(2.0)
    assert it.cover == pytest.approx((12.0 - corner - 0.375) * INCH, abs=1e-6)
    # A leg of a No. 4 tie, two of them, every 8 in.
    assert it.legs == pytest.approx(0.4 * INCH**2)
    assert it.tie_spacing == pytest.approx(8 * INCH)
    # Nearest bars of two laps, all 8 against all others by hand.
    pier = built.piers[0]
    bars = {part.id: part.solid for part in pier.parts if "/vertical/" in part.id or "/dowel/" in part.id}
    pairs = [
        (pier.parts[d].id, pier.parts[v].id)
        for d, v in zip(found_laps.dowels, found_laps.partners, strict=True)
    ]
    away = [
        float(((bars[a].knots[0, :2] - bars[b].knots[0, :2]) ** 2).sum() ** 0.5) - 0.75 * INCH
        for one in pairs
        for other in pairs
        if one != other
        for a in one
        for b in other
    ]
    assert it.clear == pytest.approx(min(away))


# --- which bars lap, and how far apart


@pytest.mark.parametrize(
    ("dowel", "vertical", "how", "holds"),
    [
        # ACI 318-19 25.5.1.1 (read): none thicker than No. 11 in tension; 16.3.5.4 (from memory): in
        # compression No. 14 and 18 lap with No. 11 and smaller.
        ("No. 11", "No. 11", "tension", False),
        ("No. 11", "No. 14", "tension", True),
        ("No. 11", "No. 14", "compression", False),
        ("No. 14", "No. 14", "compression", True),
        ("No. 8", "No. 18", "compression", False),
    ],
)
def test_no_14_and_18(dowel: str, vertical: str, how: str, holds: bool) -> None:
    dowels = {"size": dowel, "lap_in": how, "hook": "none", "embed": None, "lap": INCH}
    built = caged_site(
        verticals={"size": vertical, "count": 4}, ties={"bend": 70.0, "top_group": None}, dowels=dowels
    )
    held_up(built, "lapped sizes", holds)


@MOST
@pytest.mark.parametrize(("lap", "most"), [(20.0, 4.0), (38.0, 6.0)])
def test_bars_of_a_lap_that_do_not_touch(lap: float, most: float, off: float, holds: bool) -> None:
    # ACI 318-19 25.5.1.3 (from memory): a fifth of the lap, at most 6 in. A single vertical, dowel beside it.
    at = [[0.0, 0.0], [250.0, 0.0], [-250.0, 0.0], [0.0, 250.0]]
    dowels = {"count": None, "at": [[0.0, -most * INCH - off]], "lap": lap * INCH}
    own = held_up(caged_site(verticals={"at": at}, dowels=dowels, cage={"ties": None}), "lap spread", holds)
    if holds:
        assert own[0].measured_mm == pytest.approx(most * INCH + 0.5)


def test_laps_in_contact_and_en_have_no_spread() -> None:
    assert "without touching" in why_not(caged_site(dowels={}), "lap spread")
    assert "no dowels" in why_not(caged_site(), "lapped sizes")
    for rule in ("lap spread", "lapped sizes"):
        dowels = {"count": None, "at": [[0.0, -100.0]]}
        assert why_not(caged_site(dowels=dowels, rules="en-1992"), rule)


# --- feet


HOOK = 60_000.0 * (4.0 / 15.0 + 0.6) / (55.0 * sqrt(4000.0)) * 0.75**1.5
"""in: No. 6, 4000 psi, Grade 60 (ACI 318-19 25.4.3.1): 9.71."""


@OFF
def test_depth_of_hooked_feet(off: float, holds: bool) -> None:
    built = caged_site(dowels={"embed": HOOK * INCH + off}, grade_beam={})
    own = held_up(built, "hook development", holds)
    if holds:
        assert own[0].parts == ("P1/dowel/1",)
        assert own[0].measured_mm == pytest.approx(HOOK * INCH - 0.5)


def test_feet_near_the_side_of_a_narrow_grade_beam_need_more() -> None:
    # Grade beam 22 in wide: the feet of a 15 1/2 in cage lie under 6 d_b = 4 1/2 in from its side: 1.25.
    dowels = {"embed": 1.25 * HOOK * INCH - 0.5, "hook_to": "in", "bend": 4.5 * INCH, "tail": INCH}
    report = judge(caged_site(dowels=dowels, grade_beam={"width": 22 * INCH}))
    (own,) = found(report, "hook development")
    assert own.required_mm == pytest.approx(1.25 * HOOK * INCH)


@OFF
def test_thick_feet_look_farther_than_gaps_are_measured(off: float, holds: bool) -> None:
    # No. 9: 6 d_b = 6.768 in, more than the 150 mm that gaps are measured up to. How far out the
    # feet are, and the half width that leaves them exactly that.
    dowels = {"size": "No. 9", "embed": 20 * INCH, "hook_to": "in"}
    wide = caged_site(dowels=dowels, grade_beam={})
    out = max(
        float(abs(part.solid.knots[part.solid.knots[:, 2] < -60 * INCH, 1]).max())
        for part in wide.piers[0].parts
        if "/dowel/" in part.id
    )
    half = out + 0.564 * INCH + 6.768 * INCH + off
    plain = 60_000.0 * (4.0 / 15.0 + 0.6) / (55.0 * sqrt(4000.0)) * 1.128**1.5
    need = plain * (1.25 if holds else 1.0) * INCH
    built = caged_site(dowels=dowels | {"embed": need - 0.5}, grade_beam={"width": 2.0 * half})
    (own,) = found(judge(built), "hook development")
    assert own.required_mm == pytest.approx(need)


def test_the_strength_of_a_grade_beam_is_asked_for_once() -> None:
    report = judge(caged_site(dowels={}, grade_beam={"strength": None}))
    (own,) = found(report, "hook development")
    assert own.level is Level.NOT_CHECKED
    assert own.id == "hook development:GB1/grade-beam:grade_beams.strength"
    assert "add it (grade beams: strength)" in own.says
    # Whatever the strength, 8 d_b = 6 in is the least.
    shallow = judge(caged_site(dowels={"embed": 5.9 * INCH}, grade_beam={"strength": None}))
    assert [f.level for f in found(shallow, "hook development")] == [Level.HOLD]


def test_feet_that_are_not_modelled_and_en_have_no_depth() -> None:
    assert "no dowels with hooked feet" in why_not(caged_site(dowels={"embed": None}), "hook development")
    en = caged_site(dowels={}, grade_beam={}, rules="en-1992")
    assert "no figure" in why_not(en, "hook development")


# --- steel ratio


def bars(count: int, size: str = "No. 6", **more: Any) -> dict[str, Any]:
    """A round cage of that many bars in a 30 in shaft with 3 in of cover."""
    return {
        "outline": {"round": 30 * INCH},
        "cage": {"size": 24 * INCH},
        "verticals": {"count": count, "size": size},
    } | more


def test_the_shaft_of_h1_09_is_just_short() -> None:
    # Illinois Tollway Standard H1-09 (read): 30 in round, 8 No. 6: 8 x 0.44 / 706.86 = .498 % (arith), under
    # the 1 % of columns and just under .5 %.
    for use, least in (("pedestal", 0.5), ("column", 1.0), (None, 0.5)):
        (own,) = held_up(caged_site(**bars(8, use=use)), "steel ratio", True, ":least")
        assert own.measured == pytest.approx(100.0 * 8 * 0.44 / (pi * 15.0**2))
        assert own.measured == pytest.approx(0.498, abs=5e-4)
        assert (own.required, own.unit, own.limit) == (least, "%", "least")
        assert "0.497 %" in own.says


@pytest.mark.parametrize(("ratio", "holds"), [(0.499, True), (0.5, False), (0.501, False)])
def test_half_a_percent_exactly(ratio: float, holds: bool) -> None:
    # 8 No. 6 are 3.52 in2: the side of the square that makes them the ratio.
    side = sqrt(3.52 / (ratio / 100.0)) * INCH
    held_up(caged_site(outline={"square": side}), "steel ratio", holds, ":least")


@pytest.mark.parametrize(("ratio", "holds"), [(0.999, True), (1.0, False)])
def test_a_column_needs_one_percent(ratio: float, holds: bool) -> None:
    side = sqrt(3.52 / (ratio / 100.0)) * INCH
    built = caged_site(outline={"square": side}, use="column", cage={"size": 14 * INCH})
    held_up(built, "steel ratio", holds, ":least")


@pytest.mark.parametrize(("off", "asked"), [(-0.5, False), (0.0, False), (0.5, True)])
def test_up_to_3_times_its_least_side_it_is_a_pedestal_unasked(off: float, asked: bool) -> None:
    report = judge(caged_site(use=None, height=72 * INCH + off))
    own = found(report, "steel ratio")
    assert [f.level for f in own] == ([Level.NOT_CHECKED] if asked else [])
    if asked:
        assert "its bars are 0.611 % of its section" in own[0].says  # 3.52 / 576, rounded down
        assert "use: column or use: pedestal" in own[0].says


def test_what_would_do_for_a_column_needs_no_asking() -> None:
    report = judge(caged_site(use=None, height=100 * INCH, verticals={"size": "No. 8"}))
    assert found(report, "steel ratio") == []  # 6.32 / 576 = 1.097 %


@pytest.mark.parametrize(("rules", "most", "lapped"), [("aci-318-19", 8.0, 8.0), ("en-1992", 4.0, 8.0)])
def test_most_steel_alone_and_in_the_lap(rules: str, most: float, lapped: float) -> None:
    # 16 No. 11 are 24.96 in2, 4 No. 11 dowels 6.24.
    for share, tag in ((most, "vertical/1:most"), (lapped, "dowel/1:most")):
        area = 24.96 + (6.24 if "dowel" in tag else 0.0)
        for factor, holds in ((1.001, True), (1.0, False)):
            side = sqrt(area / (share / 100.0) / factor) * INCH
            built = caged_site(
                outline={"square": side},
                cage={"size": None},
                concrete={"cover": {"side": 0.5 * INCH, "top": 3 * INCH, "bottom": 2 * INCH}},
                verticals={"size": "No. 11", "count": 16},
                dowels={"size": "No. 11", "embed": None},
                ties={"top_group": None, "spacing": 12 * INCH},
                rules=rules,
            )
            assert len(found(judge(built), "steel ratio", tag)) == int(holds)


@pytest.mark.parametrize(("ratio", "holds"), [(0.1999, True), (0.2, False)])
def test_least_steel_by_en(ratio: float, holds: bool) -> None:
    # EN 1992-1-1 9.5.2(2) (from memory): 0.002 A_c; the term for the axial force is the engineer's.
    side = sqrt(3.52 / (ratio / 100.0)) * INCH
    held_up(caged_site(outline={"square": side}, rules="en-1992"), "steel ratio", holds, ":least")
