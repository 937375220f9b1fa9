"""Prisms against prisms: plain arithmetic, and shapely's plan distances as a second route."""

from __future__ import annotations

from math import hypot, pi, sqrt

import numpy as np
import pytest

from clash.kernel.prism_prism import prism_prism
from clash.kernel.prism_table import PrismTable
from models.motion import Array, Motion
from models.outline import Loop, Outline, circle, hexagon, rectangle
from models.solids import Prism
from tests.support.bars import turned_anyhow

EXACT = 1e-9
FLIP = np.diag([1.0, -1.0, -1.0])


def at(outline: Outline, low: float, high: float, x: float = 0.0, y: float = 0.0, turn: float = 0.0) -> Prism:
    return Prism(outline, low, high, Motion.turned(turn, (x, y, 0.0)))


def nut(low: float, x: float = 0.0, y: float = 0.0, turn: float = 0.0) -> Prism:
    return at(Outline(hexagon(40.0)).with_holes([circle(24.0)]), low, low + 24.0, x, y, turn)


def washer(low: float, x: float = 0.0, y: float = 0.0) -> Prism:
    return at(Outline(circle(60.0)).with_holes([circle(26.0)]), low, low + 5.0, x, y)


PLATE = at(Outline(rectangle(200.0, 100.0)).with_holes([circle(80.0, (40.0, 0.0))]), 0.0, 20.0)


def gap(a: Prism, b: Prism) -> float:
    """The gap, the same both ways, its points as far apart."""
    one, two = np.array([0, 1]), np.array([1, 0])
    found = prism_prism(PrismTable.of([a, b]), one, two)
    assert found.gap[0] == pytest.approx(found.gap[1], abs=EXACT)
    if found.gap[0] >= 0.0:
        apart = np.linalg.norm(found.at_a - found.at_b, axis=1)
        assert apart == pytest.approx(found.gap, abs=EXACT)
    return float(found.gap[0])


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        (nut(5.0), washer(0.0), 0.0),  # resting on it
        (nut(12.0), washer(0.0), 7.0),
        (washer(3.0, 40.0), PLATE, 40.0 - 30.0),  # in the hole, in its middle
        (washer(3.0, 34.0), PLATE, 40.0 - 6.0 - 30.0),  # off its middle
        (nut(-2.0, 40.0), PLATE, 40.0 - 40.0 / sqrt(3.0)),  # a hexagon in a round hole: by its corners
        (washer(23.0, 34.0), PLATE, hypot(4.0, 3.0)),  # above that hole: 40 - 6 - 30, and 3
        (nut(0.0, 150.0), PLATE, 150.0 - 40.0 / sqrt(3.0) - 100.0),  # corner to edge
        (nut(0.0, 150.0, 0.0, pi / 6), PLATE, 150.0 - 20.0 - 100.0),  # flat to edge
        (washer(0.0, 160.0, 130.0), PLATE, 100.0 - 30.0),  # round to corner: 60-80-100
        (washer(0.0, 0.0), washer(0.0, 100.0), 40.0),
        (nut(0.0), at(Outline(circle(200.0)).with_holes([circle(50.0)]), 0, 9), 25.0 - 40.0 / sqrt(3.0)),
    ],
)
def test_gaps_worked_out_beside_them(a: Prism, b: Prism, expected: float) -> None:
    assert gap(a, b) == pytest.approx(expected, abs=EXACT)


@pytest.mark.parametrize(
    ("a", "b"),
    [
        (nut(3.0), washer(0.0)),
        (nut(-2.0, -60.0), PLATE),  # inside solid plate
        (washer(0.0, 28.0), PLATE),  # fouls its hole by 2
        (washer(0.0, 129.9), PLATE),  # a sliver at the edge
        (at(Outline(rectangle(400.0, 4.0)), 5, 9), PLATE),  # strips across each other
        (at(Outline(rectangle(400.0, 4.0)), 0, 9, turn=0.3), at(Outline(rectangle(3.0, 300.0)), 0, 9)),
        (washer(0.0), washer(2.0, 59.99)),  # two circles just cut
    ],
)
def test_overlaps_are_negative(a: Prism, b: Prism) -> None:
    assert gap(a, b) < -1e-3


DRILLED = Outline(rectangle(300.0, 200.0)).with_holes([circle(30.0, (100.0, 50.0))])


@pytest.mark.parametrize(
    "outline", [DRILLED, Outline(circle(50.0)), Outline(hexagon(40.0)), Outline(rectangle(5000.0, 133.0))]
)
def test_the_same_thing_twice_in_one_place_overlaps(outline: Outline) -> None:
    assert gap(at(outline, 0.0, 12.0), at(outline, 0.0, 12.0)) < -1.0
    assert gap(at(outline, 0.0, 12.0, 7.0, 8.0, 0.5), at(outline, 4.0, 16.0, 7.0, 8.0, 0.5)) < -1.0


@pytest.mark.parametrize("x", [-120.0, 0.0, 37.3])
def test_round_things_that_graze_a_straight_one_or_each_other_touch(x: float) -> None:
    bar = at(Outline(rectangle(300.0, 124.0)), 65.0, 165.0)
    washer = Outline(circle(76.0)).with_holes([circle(27.0)])
    assert gap(bar, at(washer, 65.0, 74.5, x, -100.0)) == pytest.approx(0.0, abs=1e-9)
    assert gap(at(washer, 65.0, 74.5, x + 76.0), at(washer, 60.0, 74.5, x)) == pytest.approx(0.0, abs=1e-9)


def test_the_same_outline_one_on_the_other_only_touches() -> None:
    assert gap(at(DRILLED, 0.0, 12.0), at(DRILLED, 12.0, 24.0)) == pytest.approx(0.0, abs=1e-9)


def test_a_plug_that_fills_a_hole_touches_it_all_round() -> None:
    plug = at(Outline(circle(30.0, (100.0, 50.0))), 0.0, 12.0)
    assert gap(at(DRILLED, 0.0, 12.0), plug) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("poke", [1e-4, 0.01, 1.0])
def test_shallow_overlaps_are_told_as_they_are(poke: float) -> None:
    assert gap(nut(5.0 - poke), washer(0.0)) == pytest.approx(-poke, abs=EXACT)
    assert gap(washer(0.0, 130.0 - poke), PLATE) == pytest.approx(-poke, abs=EXACT)
    assert gap(washer(0.0), washer(0.0, 60.0 - poke)) == pytest.approx(-poke, abs=EXACT)


def stadium(length: float, radius: float) -> Loop:
    """Two straight edges and two half circles, counterclockwise."""
    nan = [np.nan, np.nan]
    return Loop(
        np.array([[-length, -radius], [length, -radius], [length, radius], [-length, radius]]),
        np.array([0.0, pi, 0.0, pi]),
        np.array([nan, [length, 0.0], nan, [-length, 0.0]]),
    )


def bitten(radius: float) -> Loop:
    """A rectangle 100 by 80 with a round bite out of a corner: an edge that curves inward."""
    nan = [np.nan, np.nan]
    return Loop(
        np.array([[0.0, 0.0], [100.0, 0.0], [100.0, 80.0 - radius], [100.0 - radius, 80.0], [0.0, 80.0]]),
        np.array([0.0, 0.0, -pi / 2, 0.0, 0.0]),
        np.array([nan, nan, [100.0, 80.0], nan, nan]),
    )


def any_outline(rng: np.random.Generator) -> Outline:
    kind = rng.integers(6)
    if kind == 0:
        return Outline(circle(rng.uniform(5, 100)))
    if kind == 1:
        return Outline(rectangle(rng.uniform(5, 200), rng.uniform(5, 200)))
    if kind == 2:
        return Outline(hexagon(rng.uniform(5, 80)))
    if kind == 3:
        return Outline(stadium(rng.uniform(5, 80), rng.uniform(5, 40)))
    if kind == 4:
        return Outline(bitten(rng.uniform(10, 60)))
    holes = [circle(rng.uniform(10, 90), (60, 10)), rectangle(60, 80, (-80, 0))]
    return Outline(rectangle(300, 200)).with_holes(holes)


def any_prism(rng: np.random.Generator) -> Prism:
    turn = rng.uniform(0, 2 * pi) if rng.random() < 0.7 else 0.0
    motion = Motion.turned(turn, tuple(rng.uniform(-80, 80, 3) * [1, 1, 0.3]))
    if rng.random() < 0.2:
        motion = Motion(motion.rotation @ FLIP, motion.shift)
    return Prism(any_outline(rng), -rng.uniform(0, 10), rng.uniform(1, 10), motion)


CHORD = 1e-4


def plan(prism: Prism) -> Array:
    """The region in plan as shapely sees it, true to CHORD mm."""
    shapely = pytest.importorskip("shapely")

    def ring(loop: Loop) -> Array:
        points = loop.polyline(CHORD)
        return prism.motion.points(np.column_stack([points, np.zeros(len(points))]))[:, :2]

    return shapely.Polygon(ring(prism.outline.outer), [ring(h) for h in prism.outline.holes])


def check_against_shapely(seed: int, count: int) -> None:
    shapely = pytest.importorskip("shapely")
    rng = np.random.default_rng(seed)
    prisms = [any_prism(rng) for _ in range(2 * count)]
    i = np.arange(0, 2 * count, 2)
    found = prism_prism(PrismTable.of(prisms), i, i + 1)
    swapped = prism_prism(PrismTable.of(prisms), i + 1, i)
    assert found.gap == pytest.approx(swapped.gap, abs=EXACT)
    for k in range(count):
        a, b = prisms[2 * k], prisms[2 * k + 1]
        heights = [sorted(p.motion.points(np.array([[0, 0, p.bottom], [0, 0, p.top]]))[:, 2]) for p in (a, b)]
        apart = max(heights[1][0] - heights[0][1], heights[0][0] - heights[1][1])
        flat = shapely.distance(plan(a), plan(b))
        if apart > 0.0 or flat > 2 * CHORD:
            assert found.gap[k] == pytest.approx(hypot(flat, max(apart, 0.0)), abs=4 * CHORD)
        elif shapely.intersection(plan(a), plan(b)).area > 1.0:
            assert found.gap[k] < 0.0


def test_plan_distances_agree_with_shapely() -> None:
    check_against_shapely(3, 300)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(30, 35))
def test_plan_distances_of_5_000_pairs(seed: int) -> None:
    check_against_shapely(seed, 1000)


def test_turning_and_moving_both_changes_nothing() -> None:
    rng = np.random.default_rng(5)
    for a, b in [(nut(5.0), washer(0.0)), (washer(23.0, 34.0), PLATE), (nut(0.0, 150.0), PLATE)]:
        before = gap(a, b)
        for _ in range(5):
            motion = Motion(turned_anyhow(rng), rng.uniform(-200, 200, 3))
            assert gap(a.moved(motion), b.moved(motion)) == pytest.approx(before, abs=1e-7)
