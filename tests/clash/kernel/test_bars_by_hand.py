"""Gaps of bars that can be worked out by hand, and what must not change them."""

from __future__ import annotations

from math import hypot, pi, sqrt

import numpy as np
import pytest

from clash.kernel.bars.swept import swept_swept
from clash.kernel.nearest import Nearest
from clash.kernel.tables import SweptTable
from models.motion import Motion
from models.solids import Swept
from tests.support.bars import Walk, depth_in_bar, moved_anyhow, straight_bar
from tests.support.random_bars import BENT, STRAIGHT

EXACT = 1e-9
X, Y, Z = np.eye(3)


def nearest(a: Swept, b: Swept) -> Nearest:
    return swept_swept(SweptTable.of([a, b]), np.array([0]), np.array([1]))


def gap(a: Swept, b: Swept) -> float:
    return float(nearest(a, b).gap[0])


def along_x(x0: float, x1: float, y: float = 0.0, z: float = 0.0, radius: float = 10.0) -> Swept:
    return straight_bar((x0, y, z), (x1, y, z), radius)


def along_y(y0: float, y1: float, x: float = 0.0, z: float = 0.0, radius: float = 10.0) -> Swept:
    return straight_bar((x, y0, z), (x, y1, z), radius)


def upright(z0: float, z1: float, x: float = 0.0, y: float = 0.0, radius: float = 10.0) -> Swept:
    return straight_bar((x, y, z0), (x, y, z1), radius)


def quarter(bend: float = 40.0, radius: float = 6.0) -> Swept:
    """A bare quarter bend about the origin in the xy plane, from (bend, 0) to (0, bend)."""
    return Walk(bend * X, Y, -X).bend(pi / 2.0, bend).bar(radius)


def ring(bend: float, radius: float, z: float = 0.0) -> Swept:
    """A ring about the z axis, nearly closed by two half circles: its ends meet."""
    return Walk(bend * X + z * Z, Y, -X).bend(pi, bend).bend(pi, bend).bar(radius)


BY_HAND = {
    # centerlines 50 apart, radii 10 and 6
    "parallel": (along_x(0, 100), along_x(20, 60, y=50.0, radius=6.0), 50.0 - 16.0),
    "crossing": (along_x(-50, 50), along_y(-50, 50, z=30.0, radius=6.0), 30.0 - 16.0),
    "touching side by side": (along_x(0, 100), along_x(0, 100, y=20.0), 0.0),
    "touching across": (along_x(-50, 50), along_y(-50, 50, z=20.0), 0.0),
    # facing ends of bars in line, 5 apart
    "end on": (along_x(0, 100), along_x(105, 200), 5.0),
    "end on, touching": (along_x(0, 100), along_x(100, 200), 0.0),
    "end on, off by less than the radii": (along_x(0, 100), along_x(105, 200, y=12.0), 5.0),
    "end on, off by less, touching": (along_x(0, 100), along_x(100, 200, y=12.0), 0.0),
    # rims: 40 - 20 off sideways, 7 along
    "rim to rim": (along_x(0, 100), along_x(107, 200, y=40.0), hypot(20.0, 7.0)),
    "rims touching at one point": (along_x(0, 100), along_x(100, 200, y=20.0), 0.0),
    # the flat end of an upright bar, 3 above the top of a level one (never a capsule's 3 - 10)
    "end above a side": (upright(13, 80, x=50.0), along_x(0, 100), 3.0),
    "end on a side, touching": (upright(10, 80, x=50.0), along_x(0, 100), 0.0),
    # the upright bar's rim reaches x = 90 .. 110; the level bar ends at 83: sideways 7, and 0 in height
    "side to an end": (upright(-50, 50, x=100.0), along_x(0, 83), 7.0),
    # the upright bar ends at z = 15 over x = 120; the level bar's highest end point is (100, 0, 10):
    # its rim to the other's rim, 120 - 10 - 100 sideways and 15 - 10 in height
    "corner to corner": (upright(15, 80, x=120.0), along_x(0, 100), hypot(10.0, 5.0)),
    # an L: the upright bar stands over the end with its center flush with the end face
    "an L, touching": (upright(10, 80, x=100.0), along_x(0, 100), 0.0),
    # overlap: the centerlines' distance less the radii
    "overlapping side by side": (along_x(0, 100), along_x(0, 100, y=15.0), -5.0),
    "through each other": (along_x(-50, 50), along_y(-50, 50), -20.0),
    # overlap: an end 2 into a side
    "end poking into a side": (upright(8, 80, x=50.0), along_x(0, 100), -2.0),
    # overlap: in line, 1 deep along the axis
    "end poking into an end": (along_x(0, 100), along_x(99, 200), -1.0),
    "one inside the other": (along_x(0, 100), along_x(40, 60, radius=4.0), -14.0),
    # bends about the origin, 40 to the centerline, radius 6
    "bend, bar up its axis": (quarter(), upright(-50, 50, radius=5.0), 40.0 - 11.0),
    "bend, bar outside it": (
        quarter(),
        upright(-50, 50, x=60.0, y=60.0, radius=5.0),
        60.0 * sqrt(2) - 40.0 - 11.0,
    ),
    "bend, bar snug inside it": (
        quarter(),
        upright(-50, 50, x=25.0 / sqrt(2), y=25.0 / sqrt(2), radius=9.0),
        0.0,
    ),
    "bend over bend": (quarter(), quarter().moved(Motion(np.eye(3), 30.0 * Z)), 30.0 - 12.0),
    # the flat end at (40, 0, 0) faces -y; a bar across at y = -20, radius 5
    "bend, bar in front of its end": (quarter(), along_x(-80, 80, y=-20.0, radius=5.0), 15.0),
    # linked rings: the one in the xz plane threads the other, centers 40 apart in x; nearest on the x axis:
    # (40, 0, 0) of the first and 40 - 25 of the second on the left, 40 + 25 on the right: 25 either way
    "threaded rings": (
        ring(40.0, 6.0),
        ring(25.0, 4.0).moved(Motion(np.array([[1.0, 0, 0], [0, 0, -1.0], [0, 1.0, 0]]), 40.0 * X)),
        25.0 - 10.0,
    ),
    # rings about one axis: radii 40 and 60 in planes 15 apart
    "rings about one axis": (ring(40.0, 6.0), ring(60.0, 4.0, z=15.0), hypot(20.0, 15.0) - 10.0),
}


@pytest.mark.parametrize("case", BY_HAND)
def test_by_hand(case: str) -> None:
    a, b, expected = BY_HAND[case]
    assert gap(a, b) == pytest.approx(expected, abs=EXACT)


def test_an_end_poking_into_a_rim_only_is_an_overlap() -> None:
    # the upright bar's lowest disk is at z = -1; the level bar starts at x = 9.5 and lies at y = 8, z = -9.5:
    # its disk x = 9.5 and the other's disk z = -1 share a line, y from 8 - sqrt(100 - 8.5^2) to
    # sqrt(100 - 9.5^2)
    a, b = upright(-1.0, 80.0), straight_bar((9.5, 8.0, -9.5), (100.0, 8.0, -9.5), 10.0)
    low, high = 8.0 - sqrt(100.0 - 8.5**2), sqrt(100.0 - 9.5**2)
    assert low < high
    found = nearest(a, b)
    # documented: the rise of that line as a chord of the smaller disk
    assert found.gap[0] == pytest.approx(-((high - low) ** 2) / 80.0, abs=EXACT)
    assert depth_in_bar(a, found.at_a[0]) > -1e-6
    assert depth_in_bar(b, found.at_b[0]) > -1e-6


def test_a_rim_just_clear_of_a_rim_is_clear() -> None:
    # as above, with the level bar moved off in y until the two chords part
    a, b = upright(-1.0, 80.0), straight_bar((9.5, 8.5, -9.5), (100.0, 8.5, -9.5), 10.0)
    assert 8.5 - sqrt(100.0 - 8.5**2) > sqrt(100.0 - 9.5**2)
    assert gap(a, b) > 0.0


def test_points_lie_where_the_gap_is() -> None:
    found = nearest(*BY_HAND["parallel"][:2])
    # beside each other from x = 20 to 60, and the middle of that stands for it
    assert found.at_a[0] == pytest.approx([40.0, 10.0, 0.0], abs=EXACT)
    assert found.at_b[0] == pytest.approx([40.0, 44.0, 0.0], abs=EXACT)


def test_farther_than_within_is_told_as_farther() -> None:
    table = SweptTable.of([along_x(0, 100), *(along_x(0, 100, y=y) for y in (400.0, 100.0, 170.0))])
    found = swept_swept(table, np.array([0, 0, 0]), np.array([1, 2, 3]), within=150.0)
    assert found.gap[2] == pytest.approx(150.0, abs=EXACT)  # exactly at the reach is within it
    assert found.gap[0] > 150.0
    assert found.gap[1] == pytest.approx(80.0, abs=EXACT)


def kinked() -> Swept:
    """A mitred elbow: its straight pieces do not meet in one section."""
    nothing = np.full((2, 3), np.nan)
    return Swept(np.array([0.0 * X, 50.0 * X, 50.0 * X + 50.0 * Y]), np.zeros(2), nothing, nothing, 5.0)


@pytest.mark.parametrize(
    "bar",
    [
        straight_bar((0.0, 0.0, np.nan), (100.0, 0.0, 0.0), 5.0),
        straight_bar((0.0, 0.0, 0.0), (np.inf, 0.0, 0.0), 5.0),
        straight_bar((0.0, 0.0, 0.0), (0.0, 0.0, 0.0), 5.0),
        straight_bar((0.0, 0.0, 0.0), (100.0, 0.0, 0.0), np.nan),
        Walk(np.zeros(3), X, Y).bend(1.5 * pi, 40.0).bar(5.0),
        kinked(),
    ],
    ids=["nan", "infinite", "no length", "no radius", "more than half a circle", "kinked"],
)
def test_a_bar_that_makes_no_sense_is_not_measured(bar: Swept) -> None:
    assert np.isnan(gap(bar, along_x(0, 100, y=60.0)))
    assert np.isnan(gap(along_x(0, 100, y=60.0), bar))


def test_no_pairs() -> None:
    assert len(swept_swept(SweptTable.of([]), np.zeros(0, np.intp), np.zeros(0, np.intp))) == 0


def test_bars_measured_together_or_alone_are_the_same() -> None:
    rng = np.random.default_rng(6)
    pairs = [draw(rng) for draw in (STRAIGHT | BENT).values() for _ in range(12)]
    first = np.arange(len(pairs)) * 2
    together = swept_swept(SweptTable.of([bar for pair in pairs for bar in pair]), first, first + 1)
    alone = [gap(a, b) for a, b in pairs]
    assert together.gap == pytest.approx(alone, abs=1e-6)


@pytest.mark.parametrize("family", STRAIGHT | BENT)
def test_swapping_and_moving_change_nothing(family: str) -> None:
    rng = np.random.default_rng(7)
    draw = (STRAIGHT | BENT)[family]
    pairs = [draw(rng) for _ in range(150)]
    first = np.arange(len(pairs)) * 2
    table = SweptTable.of([bar for pair in pairs for bar in pair])
    found = swept_swept(table, first, first + 1)
    swapped = swept_swept(table, first + 1, first).swapped()
    motions = [moved_anyhow(rng, 500.0) for _ in pairs]
    moved = swept_swept(
        SweptTable.of([bar.moved(m) for pair, m in zip(pairs, motions, strict=True) for bar in pair]),
        first,
        first + 1,
    )
    for again in (swapped, moved):
        apart = found.gap > -1e-7
        assert again.gap[apart] == pytest.approx(found.gap[apart], abs=1e-6)
        assert np.all(again.gap[~apart] < 0.0)


def test_within_loses_nothing() -> None:
    rng = np.random.default_rng(8)
    pairs = [draw(rng) for draw in (STRAIGHT | BENT).values() for _ in range(100)]
    first = np.arange(len(pairs)) * 2
    table = SweptTable.of([bar for pair in pairs for bar in pair])
    whole = swept_swept(table, first, first + 1)
    short = swept_swept(table, first, first + 1, within=20.0)
    near = whole.gap <= 20.0
    assert short.gap[near] == pytest.approx(whole.gap[near], abs=1e-9)
    assert np.all(short.gap[~near] > 20.0)
