"""Verticals held by corners of ties, diamonds and crossties (ACI 318-19 25.7.2.3; EN 1992-1-1 9.5.3(6))."""

from __future__ import annotations

from math import cos, pi, sin, sqrt
from typing import Any

import pytest

from clash.books import books
from clash.gaps import measure
from clash.judge import judge
from clash.measures.holding import held
from clash.pier_view import PierView
from models.site import Site
from tests.support.caged import INCH, caged_site, found, why_not

MOST = pytest.mark.parametrize(("off", "holds"), [(-0.5, False), (0.0, False), (0.5, True)])
NO_GROUP: dict[str, Any] = {"top_group": None, "top": 4 * INCH}


def clear_beside(size: float) -> float:
    """mm between a corner bar and the middle bar of a face, 8 No. 6 in No. 4 ties, by plain sums.

    The corner bar is snug in the bend: inside radius 1 in (2 d), bar radius 3/8: its center lies
    tie + inside - (inside - bar radius) / sqrt 2 in from the face of the tie, on the diagonal; the middle bar
    touches the leg.
    """
    corner = size / 2.0 - INCH * (0.5 + 1.0 - (1.0 - 0.375) / sqrt(2.0))
    across = size / 2.0 - INCH * (0.5 + 0.375)
    return float(sqrt(corner**2 + (across - corner) ** 2)) - 0.75 * INCH


def size_for(clear: float) -> float:
    """Size of the cage, mm, for that clear distance: by halving."""
    low, high = 200.0, 800.0
    for _ in range(80):
        middle = (low + high) / 2.0
        low, high = (middle, high) if clear_beside(middle) < clear else (low, middle)
    return low


def beside(built: Site) -> list[str]:
    """Ids of all that the rule found."""
    return [f.id for f in found(judge(built), "held bars")]


@MOST
def test_a_bar_that_is_not_held_stands_at_most_6_in_from_one_that_is(off: float, holds: bool) -> None:
    size = size_for(6 * INCH + off)
    report = judge(caged_site(cage={"size": size}))
    own = found(report, "held bars")
    assert [f.id for f in own] == (["held bars:P1/vertical/2:beside"] if holds else [])
    if holds:
        assert own[0].measured_mm == pytest.approx(6 * INCH + off, abs=1e-6)
        assert own[0].required_mm == pytest.approx(6 * INCH)
        assert "4 such places" in own[0].says


@MOST
def test_by_en_150_mm_from_the_nearest_held_bar(off: float, holds: bool) -> None:
    built = caged_site(cage={"size": size_for(150.0 + off)}, rules="en-1992")
    assert len(beside(built)) == (1 if holds else 0)


def test_crossties_hold_the_bars_that_they_hook_and_no_other() -> None:
    both = {"crossties": {"pairs": [[2, 6], [4, 8]]}} | NO_GROUP
    one = {"crossties": {"pairs": [[2, 6]]}} | NO_GROUP
    wide = {"size": 18 * INCH}
    assert beside(caged_site(cage=wide, ties=both)) == []
    assert beside(caged_site(cage=wide, ties=one)) == ["held bars:P1/vertical/4:beside"]


def test_a_diamond_holds_the_middle_bars() -> None:
    built = caged_site(cage={"size": 18 * INCH}, ties={"diamond": True} | NO_GROUP)
    assert beside(built) == []
    assert judge(built).clear["held bars"] == 1, "nothing was looked at"


def test_two_bars_in_a_row_are_one_finding() -> None:
    # 12 bars, 4 to a face: two between the corners, close enough but neither of them held.
    report = judge(caged_site(verticals={"count": 12}))
    own = found(report, "held bars")
    assert [(f.id, f.measured, f.required) for f in own] == [("held bars:P1/vertical/3:in a row", 2.0, 1.0)]
    assert "4 such places" in own[0].says
    held_one = judge(caged_site(verticals={"count": 12}, ties={"crossties": {"pairs": [[2, 9]]}} | NO_GROUP))
    (two,) = found(held_one, "held bars")
    assert "2 such places" in two.says


def test_by_en_bars_in_a_row_only_have_their_distance() -> None:
    assert beside(caged_site(verticals={"count": 12}, rules="en-1992")) == []


def ring(corners: int, across: float = 24 * INCH) -> dict[str, Any]:
    """A regular outline with that many corners, by the radius of its corners."""
    r = across / 2.0
    turns = [2.0 * pi * k / corners for k in range(corners)]
    return {"edges": [{"x": r * cos(t), "y": r * sin(t)} for t in turns]}


def bars_in(corners: int, radius: float) -> list[list[float]]:
    """A bar in each corner of a regular cage, that far from the center."""
    turns = [2.0 * pi * k / corners for k in range(corners)]
    return [[radius * cos(t), radius * sin(t)] for t in turns]


@pytest.mark.parametrize(
    ("corners", "holds"),
    # Inside angle of a regular polygon: 180 (n - 2) / n: 120, 135 exactly, 140, 144 degrees.
    [(6, False), (8, False), (9, True), (10, True)],
)
def test_a_corner_of_more_than_135_degrees_holds_no_bar(corners: int, holds: bool) -> None:
    out = 12 * INCH
    # From the face of the pier: 3 in cover, the tie and the bar, along the apothem; then out to the corner.
    inner = out * cos(pi / corners) - 3 * INCH - 0.5 * INCH - 1.0 * INCH  # center of the bend
    radius = inner / cos(pi / corners) + (1.0 - 0.375) * INCH
    built = caged_site(
        outline=ring(corners),
        cage={"size": None},
        verticals={"at": bars_in(corners, radius)},
        ties=NO_GROUP,
    )
    report = judge(built)
    own = found(report, "held bars", ":corner")
    # The corner of the two hooks is sharp at its own level and blunt at all others.
    assert len(own) == (1 if holds else 0)
    if holds:
        assert own[0].measured == pytest.approx(180.0 - 360.0 / corners)
        assert (own[0].required, own[0].unit, own[0].limit) == (135.0, "degrees", "most")
    else:
        assert report.clear["held bars"] == 1


def test_hoops_hold_all_round() -> None:
    built = caged_site(outline={"round": 24 * INCH}, cage={"size": 18 * INCH})
    assert "hoops" in why_not(built, "held bars")


def test_a_tie_that_holds_no_bar_at_all_says_so_once() -> None:
    # Bars in the middle of each face only, none in a corner.
    at = [[0.0, -150.0], [150.0, 0.0], [0.0, 150.0], [-150.0, 0.0]]
    built = caged_site(cage={"size": 300.0 + 0.75 * INCH + INCH}, verticals={"at": at})
    (only,) = beside(built)
    assert only.endswith(":none")


def test_what_is_held_by_a_second_route() -> None:
    """Bars against the bends sampled point by point: the same bars are held."""
    import numpy as np

    from models.part import LATERAL
    from models.solids import Swept

    ties = {"crossties": {"pairs": [[2, 6]]}} | NO_GROUP
    built = caged_site(ties=ties, turn=20.0)
    pier = built.piers[0]
    view = PierView(built.spec, books()["aci-318-19"], pier, measure(built.piers).rows(0))
    cage = held(view)
    assert cage is not None
    for bar, angle in zip(cage.bars, cage.angle, strict=True):
        solid = pier.parts[bar].solid
        assert isinstance(solid, Swept)
        nearest = np.inf
        for part in pier.parts:
            if part.role not in LATERAL or part.id.split("/")[2].split("-")[0] != "2":
                continue
            steel = part.solid
            assert isinstance(steel, Swept)
            for k in np.flatnonzero(steel.angles > 0.0):
                arm = (steel.knots[k] - steel.centers[k])[:2]
                turns = np.linspace(0.0, steel.angles[k], 200) * np.sign(steel.axes[k, 2])
                x = arm[0] * np.cos(turns) - arm[1] * np.sin(turns) + steel.centers[k, 0]
                y = arm[0] * np.sin(turns) + arm[1] * np.cos(turns) + steel.centers[k, 1]
                away = np.hypot(x - solid.knots[0, 0], y - solid.knots[0, 1])
                nearest = min(nearest, float(away.min()) - steel.radius - solid.radius)
        assert (nearest < 0.1) == (angle < 180.0)
