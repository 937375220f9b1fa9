"""Bars against prisms where the gap is plain arithmetic, shown beside each check."""

from __future__ import annotations

from math import cos, hypot, pi, sin, sqrt

import numpy as np
import pytest

from clash.kernel.nearest import Nearest
from clash.kernel.prism_table import PrismTable
from clash.kernel.swept_prism import swept_prism
from clash.kernel.tables import SweptTable
from models.motion import Array, Motion
from models.outline import Outline, circle, hexagon, rectangle
from models.solids import Prism, Swept
from tests.support.bars import Walk, straight_bar, turned_anyhow

EXACT = 1e-9
X, Y, Z = np.eye(3)


def plate(*holes: tuple[float, float, float]) -> Prism:
    """200 by 100, 20 thick about z = 0, with round holes (diameter, x, y)."""
    outline = Outline(rectangle(200.0, 100.0)).with_holes([circle(d, (x, y)) for d, x, y in holes])
    return Prism(outline, -10.0, 10.0)


def nut(turn: float = 0.0, bore: float = 20.0) -> Prism:
    """A hexagon 40 across flats, 20 high about z = 0, with a bore; its corners at 40 / sqrt(3) = 23.094."""
    return Prism(Outline(hexagon(40.0, turn=turn)).with_holes([circle(bore)]), -10.0, 10.0)


def upright(x: float, y: float, radius: float, low: float = -300.0, high: float = 300.0) -> Swept:
    return straight_bar((x, y, low), (x, y, high), radius)


def measured(bar: Swept, prism: Prism) -> Nearest:
    zero = np.zeros(1, dtype=np.intp)
    return swept_prism(SweptTable.of([bar]), PrismTable.of([prism]), zero, zero)


def gap(bar: Swept, prism: Prism) -> float:
    """The gap, its points checked to be that far apart where it is positive."""
    found = measured(bar, prism)
    if found.gap[0] > 0.0:
        assert np.linalg.norm(found.at_a - found.at_b) == pytest.approx(found.gap[0], abs=1e-7)
    return float(found.gap[0])


@pytest.mark.parametrize(
    ("bar", "prism", "expected"),
    [
        (upright(130, 20, 10), plate(), 130 - 100 - 10),
        (upright(130, 90, 10), plate(), hypot(30, 40) - 10),  # a corner: 3-4-5
        (upright(3, 0, 12), plate((40, 0, 0)), 20 - 3 - 12),
        (upright(0, 0, 10), nut(), 0.0),  # a bore as wide as the rod
        (upright(50, 0, 5), nut(), 50 - 40 / sqrt(3) - 5),  # a corner of the hexagon
        (upright(0, 50, 5), nut(), 50 - 20 - 5),  # a flat of it
        (upright(50, 0, 5), nut(turn=pi / 6), 50 - 20 - 5),
        (upright(0, 0, 10, 40, 90), plate(), 40 - 10),  # its end above the plate
        (upright(110, 0, 6, 13, 90), plate(), hypot(4, 3)),  # beside and above: 110 - 6 - 100, 13 - 10
        (
            upright(0, 0, 8, 13, 90),
            plate((24, 0, 0)),
            hypot(4, 3),
        ),  # above a hole it would pass: 12 - 8, 13 - 10
        (straight_bar((-500, 10, 40), (500, 20, 40), 8), plate(), 40 - 10 - 8),  # lying above
        (straight_bar((150, 0, 0), (400, 0, 0), 10), plate(), 50.0),  # end on to the edge: no radius
        (straight_bar((150, 0, 15), (400, 0, 15), 10), plate(), 50.0),  # end on, half above the plate
        (straight_bar((150, 0, 23), (400, 0, 23), 10), plate(), hypot(50, 3)),  # end on, its rim 3 above
        (straight_bar((-50, 100, 0), (50, 100, 0), 10), plate(), 50 - 10),  # along an edge
    ],
)
def test_gaps_worked_out_beside_them(bar: Swept, prism: Prism, expected: float) -> None:
    assert gap(bar, prism) == pytest.approx(expected, abs=EXACT)


@pytest.mark.parametrize("lean", [0.01, 0.2, 0.5])
def test_a_leaning_rod_in_its_hole(lean: float) -> None:
    # the nearest points of the hole (radius 40) are its rim at 40, +-10 on the side it leans to: the
    # distance of (40, 0, -10) from the line along (sin, 0, cos) is 40 cos + 10 sin, of (40, 0, 10) it is 40
    # cos - 10 sin
    along = np.array([sin(lean), 0.0, cos(lean)])
    rod = straight_bar(-300 * along, 300 * along, 12.0)
    assert gap(rod, plate((80, 0, 0))) == pytest.approx(40 * cos(lean) - 10 * sin(lean) - 12, abs=EXACT)


@pytest.mark.parametrize("lean", [0.1, 0.7, 1.4])
def test_a_leaning_bar_stands_on_the_lowest_point_of_its_rim(lean: float) -> None:
    foot = np.array([5.0, 3.0, 60.0])
    bar = straight_bar(foot, foot + 200 * np.array([sin(lean), 0.0, cos(lean)]), 9.0)
    assert gap(bar, plate()) == pytest.approx(60 - 10 - 9 * sin(lean), abs=EXACT)


def test_a_bend_round_a_corner() -> None:
    # quarter bend of radius 60 about the origin, the plate's corner at (20, 20)
    bend = Walk(60 * X, Y, -X).bend(pi / 2, 60.0).bar(5.0)
    corner = Prism(Outline(rectangle(100.0, 100.0, (-30.0, -30.0))), -10.0, 10.0)
    assert gap(bend, corner) == pytest.approx(60 - 20 * sqrt(2) - 5, abs=EXACT)


def test_a_hook_hangs_its_belly_over_a_plate() -> None:
    # half a turn in the xz plane about (0, 0, 100), radius 40: lowest at 100 - 40 - 6, the plate's top at 10
    hook = Walk(-40 * X + 100 * Z, -Z, X).bend(pi, 40.0).bar(6.0)
    assert gap(hook, plate()) == pytest.approx(100 - 40 - 6 - 10, abs=EXACT)
    # over a hole 60 wide the hole's rim is nearest: (30, 0, 10) is hypot(30, 90) from the center of the half
    # turn
    assert gap(hook, plate((60, 0, 0))) == pytest.approx(hypot(30, 90) - 40 - 6, abs=EXACT)


@pytest.mark.parametrize(
    ("bar", "prism"),
    [
        (upright(50, 0, 10), plate()),  # through solid plate
        (upright(13, 0, 12), plate((40, 0, 0))),  # fouls its hole by 5
        (straight_bar((-50, 0, 0), (50, 0, 0), 4), plate()),  # wholly inside
        (upright(0, 0, 10, -5, 300), plate()),  # ends inside
        (straight_bar((-300, 0, -8), (300, 0, 9), 4), plate()),  # along and through it
        (straight_bar((0, 0, -100), (20, 10, 100), 4), plate()),  # leaning through
        (straight_bar((60, -300, -50), (60, 300, 70), 4), plate()),  # through both faces, ends far away
        (upright(0, 0, 60, -5, 5), nut()),  # the nut inside the bar
        (Walk(-40 * X + 50 * Z, -Z, X).bend(pi, 40.0).bar(6.0), plate()),  # a bend dips in
    ],
)
def test_overlaps_are_negative(bar: Swept, prism: Prism) -> None:
    assert gap(bar, prism) < -0.1


@pytest.mark.parametrize("poke", [1e-4, 0.01, 1.0])
def test_shallow_overlaps_are_told_as_they_are(poke: float) -> None:
    assert gap(upright(0, 0, 9, 10 - poke, 90), plate()) == pytest.approx(-poke, abs=1e-6)
    assert gap(upright(110 - poke, 0, 10), plate()) == pytest.approx(-poke, abs=1e-6)
    assert gap(straight_bar((-500, 0, 18 - poke), (500, 0, 18 - poke), 8), plate()) == pytest.approx(
        -poke, abs=1e-6
    )
    assert gap(straight_bar((100 - poke, 0, 0), (300, 0, 0), 8), plate()) == pytest.approx(-poke, abs=1e-6)


@pytest.mark.parametrize(
    ("bar", "prism"),
    [
        (upright(0, 0, 9, 10, 90), plate()),
        (upright(110, 0, 10), plate()),
        (straight_bar((-500, 0, 18), (500, 0, 18), 8), plate()),
        (straight_bar((100, 0, 0), (300, 0, 0), 8), plate()),
        (upright(8, 0, 12), plate((40, 0, 0))),
    ],
)
def test_contact_is_nothing(bar: Swept, prism: Prism) -> None:
    assert abs(gap(bar, prism)) < EXACT


def test_turning_and_moving_both_changes_nothing() -> None:
    rng = np.random.default_rng(4)
    for bar, prism in [
        (upright(3, 1, 12), plate((40, 0, 0))),
        (straight_bar((-30, 100, 60), (40, 70, 20), 6), plate()),
        (Walk(60 * X, Y, -X).ahead(30).bend(2.0, 50.0).ahead(80).bar(5.0), nut()),
        (Walk(-40 * X + 50 * Z, -Z, X).bend(pi, 40.0).bar(6.0), plate()),
    ]:
        before = measured(bar, prism)
        for _ in range(5):
            motion = Motion(turned_anyhow(rng), rng.uniform(-200, 200, 3))
            after = measured(bar.moved(motion), prism.moved(motion))
            assert after.gap[0] == pytest.approx(before.gap[0], abs=1e-6)
            if before.gap[0] > 0.0:
                assert motion.points(before.at_b) == pytest.approx(after.at_b, abs=1e-4)


def test_many_at_once_are_the_same_as_each_alone() -> None:
    bars = [upright(3, 0, 12), straight_bar((150, 0, 0), (400, 0, 0), 10), upright(0, 0, 10)]
    prisms = [plate((40, 0, 0)), nut()]
    i, j = np.meshgrid(np.arange(3), np.arange(2), indexing="ij")
    together = swept_prism(SweptTable.of(bars), PrismTable.of(prisms), i.ravel(), j.ravel())
    alone: Array = np.array([gap(bars[a], prisms[b]) for a, b in zip(i.ravel(), j.ravel(), strict=True)])
    assert together.gap == pytest.approx(alone, abs=1e-12)


def test_no_pairs_are_no_trouble() -> None:
    none = np.zeros(0, dtype=np.intp)
    assert len(swept_prism(SweptTable.of([]), PrismTable.of([]), none, none)) == 0


def test_a_needle_through_a_flat_end_and_out_of_the_side() -> None:
    # along x = z + 10: it passes the end's center at 10 / sqrt(2), crosses the disk (radius 30) at x = 10
    # and leaves the bar's side at z = 20; no corner of it is near and the bar's axis is nearest at its very
    # end
    bar = upright(0, 0, 30, 0, 200)
    turn = np.column_stack([np.array([1, 0, -1]) / sqrt(2), Y, np.array([1, 0, 1]) / sqrt(2)])
    needle = Prism(Outline(rectangle(2.0, 2.0)), -90.0, 90.0, Motion(turn, np.array([20.0, 0.0, 10.0])))
    assert gap(bar, needle) < -0.1


def test_a_rim_that_reaches_through_a_thin_plate() -> None:
    # lying at 45 degrees its end's center is 15 above the plate's middle, its rim 30 / sqrt(2) = 21 lower
    along = np.array([1.0, 0.0, 1.0]) / sqrt(2)
    bar = straight_bar(15 * Z, 15 * Z + 200 * along, 30.0)
    assert gap(bar, Prism(Outline(rectangle(500.0, 500.0)), -3.0, 3.0)) < -0.1
