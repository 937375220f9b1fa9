"""Light-pole shafts of a state DOT standard sheet: 30 in round, 1 in rods on a 15 or 17 in circle.

Read on the sheet: the shaft, both rod circles, the rods, 3 in cover on all steel. Assumed, because the sheet
doesn't say: 8 No. 6 verticals, No. 3 hoops, a rod straight in from every other vertical. Worked out:

    bar circle, radius   15 - 3 - 3/8 - 3/4 / 2         = 11.25 in
    rod to bar, clear    11.25 - 15/2 - 3/8 - 1/2       =  2.875 in;   17 in circle: 1.875 in
    rod to edge          15 - 15/2                      =  7.50 in;    17 in circle: 6.50 in
    rod to rod           sqrt(2) x 15/2                 = 10.607 in;   17 in circle: 12.021 in
    bar to bar, clear    2 x 11.25 x sin(22.5 deg) - 3/4 = 7.860 in
"""

from __future__ import annotations

from math import pi, sin, sqrt
from typing import Any

import numpy as np
import pytest

from clash.gap_table import Face
from clash.gaps import measure
from clash.judge import judge
from clash.report.findings import Level, Report
from models.build import build_site
from models.part import Role
from models.site import Site
from models.spec.site import SiteSpec

INCH = 25.4
SHAFTS = pytest.mark.parametrize(
    ("circle", "rod_to_bar", "rod_to_edge"), [(15, 2.875, 7.50), (17, 1.875, 6.50)]
)


def shaft(circle: float, **required: float) -> Site:
    """The shaft as a site of one pier, 5 ft deep, cast against the ground."""
    cage: dict[str, Any] = {
        "verticals": {"size": "No. 6", "count": 8, "top": 3 * INCH, "bottom": 3 * INCH},
        "ties": {"size": "No. 3", "spacing": 12 * INCH, "top": 3.1 * INCH, "lap": 12 * INCH},
    }
    rods = {
        "diameter": INCH,
        "pattern": {"circle": circle * INCH, "count": 4},
        "embedment": 36 * INCH,
        "projection": 5 * INCH,
        "end": "plain",
    }
    cover = {"side": 3 * INCH, "top": 3 * INCH, "bottom": 3 * INCH}
    kind = {
        "outline": {"round": 30 * INCH},
        "concrete": {"aggregate": 0.75 * INCH, "exposure": "ground", "cover": cover},
        "required": {key: value * INCH for key, value in required.items()},
        "cage": cage,
        "seat": {"type": "none", "rods": rods},
    }
    spec = {
        "site": {"name": "A light pole", "units": "ft-in"},
        "kinds": {"shaft": kind},
        "piers": [kind | {"mark": "S1", "kind": "shaft", "x": 0, "y": 0, "top": 0, "bottom": -60 * INCH}],
    }
    return build_site(SiteSpec.model_validate(spec), "0" * 64)


def least_gap(site: Site, first: Role, second: Role) -> float:
    """The least gap between parts of two roles, in."""
    pier, gaps = site.piers[0], measure(site.piers)
    role = np.array([part.role for part in pier.parts])
    parts = gaps.b >= 0
    a, b = role[gaps.a[parts]], role[gaps.b[parts]]
    pairs = ((a == first) & (b == second)) | ((a == second) & (b == first))
    return float(np.min(gaps.gap[parts][pairs])) / INCH


@SHAFTS
def test_rods_keep_the_worked_distance_from_the_bars(
    circle: float, rod_to_bar: float, rod_to_edge: float
) -> None:
    assert least_gap(shaft(circle), Role.ROD, Role.VERTICAL) == pytest.approx(rod_to_bar, abs=1e-3)


@SHAFTS
def test_steel_has_the_cover_of_the_sheet(circle: float, rod_to_bar: float, rod_to_edge: float) -> None:
    built = shaft(circle)
    pier, gaps = built.piers[0], measure(built.piers)
    side = gaps.b == int(Face.SIDE)
    cover: dict[Role, float] = {}
    for a, gap in zip(gaps.a[side], gaps.gap[side], strict=True):
        role = pier.parts[a].role
        cover[role] = min(cover.get(role, np.inf), gap / INCH)
    assert cover[Role.HOOP] == pytest.approx(3.0, abs=1e-3)
    assert cover[Role.VERTICAL] == pytest.approx(3.375, abs=1e-3)
    # The face of the rod lies half a diameter nearer than its center.
    assert cover.get(Role.ROD, rod_to_edge - 0.5) == pytest.approx(rod_to_edge - 0.5, abs=1e-3)


def holds(report: Report, rule: str) -> int:
    return sum(f.rule == rule and f.level is Level.HOLD for f in report.findings)


@SHAFTS
@pytest.mark.parametrize(("over", "on_hold"), [(-0.002, 0), (0.002, 4)])
def test_the_rules_find_the_worked_figures(
    circle: float, rod_to_bar: float, rod_to_edge: float, over: float, on_hold: int
) -> None:
    asked = {
        "rod_bar_clear": rod_to_bar + over,
        "rod_edge": rod_to_edge + over,
        "rod_spacing": sqrt(2.0) * circle / 2.0 + over,
    }
    report = judge(shaft(circle, **asked))
    assert holds(report, "rod to bar") == on_hold
    assert holds(report, "rod edge") == on_hold
    assert holds(report, "rod spacing") == on_hold


def test_bars_farther_apart_than_gaps_are_measured_are_not_called_clear() -> None:
    clear = (2.0 * 11.25 * sin(pi / 8.0) - 0.75) * INCH
    assert clear > 150.0
    report = judge(shaft(15, bar_clear=8.0))
    assert [f.id for f in report.findings if f.rule == "bar spacing"] == ["bar spacing:S1:reach"]
    assert report.clear["bar spacing"] == 0


@SHAFTS
def test_as_drawn_the_shaft_lacks_only_steel_and_top_ties(
    circle: float, rod_to_bar: float, rod_to_edge: float
) -> None:
    # 8 No. 6 are .498 % of a 30 in shaft (arith; Illinois Tollway H1-09, read, is the same), and hoops 12 in
    # apart are no group around the rods within 5 in of the top (ACI 318-19 10.7.6.1.5).
    report = judge(shaft(circle))
    assert {f.rule for f in report.findings if f.level is not Level.TIGHT} == {"steel ratio", "top ties"}
    assert report.clear["rod to bar"] >= 4
    assert report.clear["rod spacing"] == 6
    assert report.clear["cover"] > 20
