"""The largest circle that passes straight down between template, rods and top ties."""

from __future__ import annotations

from math import sqrt
from typing import Any

import numpy as np
import pytest

from clash.books import books
from clash.gaps import measure
from clash.judge import judge
from clash.measures.levels import levels
from clash.measures.pour_opening import WITHIN, Opening, pour_opening
from clash.pier_view import PierView
from models.site import Site
from tests.support.caged import INCH, caged_site, found, why_not

OFF = pytest.mark.parametrize(("off", "holds"), [(-0.5, False), (0.0, False), (0.5, True)])


def template(**more: Any) -> dict[str, Any]:
    """A sheet over the whole pier with a 5 in round opening at its middle, and what differs."""
    return {
        "thickness": 0.75 * INCH,
        "outline": {"square": 24 * INCH},
        "above": 1.5 * INCH,
        "holes": {"diameter": 1.0625 * INCH},
        "opening": {"round": 5 * INCH},
        "nuts": "both",
    } | more


def seat(x: float, **more: Any) -> dict[str, Any]:
    """Two 1 in rods, x to either side of the middle, held by a template."""
    rods = {
        "diameter": INCH,
        "pattern": {"at": [[-x, 0.0], [x, 0.0]]},
        "embedment": 20 * INCH,
        "projection": 6 * INCH,
        "end": "plain",
    }
    return {"type": "none", "rods": rods, "template": template(**more)}


def opening(built: Site, level: int = 1) -> Opening:
    """Of the only pier of a site, down to a level of its ties."""
    view = PierView(built.spec, books()["aci-318-19"], built.piers[0], measure(built.piers).rows(0))
    return pour_opening(view, levels(view)[level])


def placed(**sizes: float) -> dict[str, Any]:
    """What the site file says of hose and vibrator."""
    return {"extra": {"placing": sizes}}


@OFF
def test_a_hose_through_a_round_opening(off: float, holds: bool) -> None:
    built = caged_site(seat=seat(5 * INCH), **placed(hose=5 * INCH + off, vibrator=2 * INCH))
    report = judge(built)
    own = found(report, "pour opening")
    assert [f.id for f in own] == (["pour opening:P1/template/1:P1/tie/2:hose"] if holds else [])
    if holds:
        assert own[0].measured_mm == pytest.approx(5 * INCH, abs=1e-6)
        assert own[0].required_mm == pytest.approx(5 * INCH + off)
    else:
        assert report.clear["pour opening"] == 2


def test_of_hose_and_vibrator_that_do_not_pass_one_is_told() -> None:
    built = caged_site(seat=seat(5 * INCH, opening={"round": INCH}), **placed(hose=100.0, vibrator=50.0))
    (own,) = found(judge(built), "pour opening")
    assert own.required_mm == 100.0


def test_nobody_asked_and_no_ties() -> None:
    assert "no hose" in why_not(caged_site(seat=seat(5 * INCH)), "pour opening")
    bare = caged_site(seat=seat(5 * INCH), cage={"ties": None}, **placed(hose=50.0))
    assert "no ties" in why_not(bare, "pour opening")


def test_between_two_rods_and_a_tie() -> None:
    # No template, bars in the corners only; rods 1 in thick at x = +-4 in; inner face of the ties 7 1/4 in
    # off. The largest circle, on the side without hooks, touches both rods and a leg of the tie: its center
    # (0, y) has 7 1/4 - y = sqrt(4^2 + y^2) - 1/2.
    own = seat(4 * INCH) | {"template": None}
    got = opening(caged_site(seat=own, verticals={"count": 4}))
    y = (7.75**2 - 16.0) / (2.0 * 7.75)
    assert got.diameter / INCH == pytest.approx(2.0 * (7.25 - y), abs=1e-6)
    assert got.center / INCH == pytest.approx([0.0, y], abs=1e-4)


@OFF
def test_a_rectangular_opening_less_what_the_tie_takes(off: float, holds: bool) -> None:
    # The opening reaches from y = -8.5 to -3.5 in, and the tie's inner face lies at 7 1/4: beside the bar in
    # the middle of the face there is room for 7 1/4 - 3 1/2 = 3 3/4 in.
    sheet = {"opening": {"rectangle": [12 * INCH, 5 * INCH], "center": [0.0, -6 * INCH]}}
    built = caged_site(seat=seat(5 * INCH, **sheet), **placed(hose=3.75 * INCH + off))
    assert len(found(judge(built), "pour opening")) == int(holds)


@pytest.mark.parametrize("turn", [0.0, 30.0])
@pytest.mark.parametrize(
    "where",
    [{"round": 120.0, "center": [30.0, -110.0]}, {"rectangle": [250.0, 90.0], "center": [0.0, 120.0]}],
)
def test_turning_the_site_changes_nothing(turn: float, where: dict[str, Any]) -> None:
    own = seat(4 * INCH, opening=where)
    plain, turned = opening(caged_site(seat=own)), opening(caged_site(seat=own, turn=turn))
    assert turned.diameter == pytest.approx(plain.diameter, abs=1e-6)


def test_the_circle_found_touches_nothing_and_none_is_larger() -> None:
    """Against every free center of a fine grid, by closed distances to upright bars alone."""
    rng = np.random.default_rng(7)
    at = [[float(x), float(y)] for x, y in rng.uniform(-150.0, 150.0, (9, 2))]
    own = {
        "type": "none",
        "rods": {
            "diameter": INCH, "pattern": {"at": at}, "embedment": 500.0, "projection": 100.0, "end": "plain",
        },
    }  # fmt: skip
    built = caged_site(seat=own, cage={"size": 18 * INCH})
    got = opening(built)
    pier = built.piers[0]
    upright = [p for p in pier.parts if p.id.startswith(("P1/rod", "P1/vertical"))]
    centers = np.array([p.solid.knots[-1, :2] for p in upright])
    radii = np.array([(p.nominal or 0.0) / 2.0 for p in upright])
    grid = np.arange(-220.0, 220.0, 1.0)
    points = np.stack(np.meshgrid(grid, grid), axis=-1).reshape(-1, 2)
    free = (np.linalg.norm(points[:, None] - centers[None], axis=2) - radii).min(axis=1)
    # Inside the legs of the ties (8 1/2 in); corners and hooks only take more away.
    free = np.minimum(free, (8.5 * INCH - np.abs(points)).min(axis=1))
    assert got.diameter / 2.0 <= free.max() + 1.0 / sqrt(2.0)
    here = (np.linalg.norm(got.center - centers, axis=1) - radii).min()
    assert here >= got.diameter / 2.0 - 1e-6
    assert WITHIN < 1.0
