"""How rings of the plan fit into each other, against shapely and closed form."""

from __future__ import annotations

from math import cos, hypot, pi, sin, sqrt

import numpy as np
import pytest
from shapely.geometry import LinearRing, LineString, Polygon

from clash.measures.plan_fit import (
    chord,
    circle_of,
    clear_of,
    depth_in,
    extent,
    in_pier,
    inside_by,
    nearest_to,
)
from models.motion import Motion
from models.outline import Loop, Outline, circle, hexagon, polygon, rectangle, turned
from models.shapes.outline_from import loop_of
from models.solids import Prism
from models.spec.outline import OutlineSpec
from tests.support.hardware import FREE

BAY = loop_of(OutlineSpec.model_validate(FREE))
"""A square of 400 with a rounded corner and a bay cut in by an arc."""
NOTCHED = polygon([[-100, -100], [100, -100], [100, 100], [20, 100], [0, 10], [-20, 100], [-100, 100]])
CHORD = 1e-4


def ring_of(loop: Loop) -> LinearRing:
    return LinearRing(loop.polyline(CHORD))


@pytest.mark.parametrize("outer", [rectangle(300.0, 200.0), circle(260.0), BAY, NOTCHED, hexagon(220.0)])
def test_depth_is_the_distance_to_the_ring_with_its_side(outer: Loop) -> None:
    points = np.random.default_rng(7).uniform(-260.0, 260.0, (300, 2))
    shape = Polygon(outer.polyline(CHORD))
    from shapely.geometry import Point

    depth = depth_in(outer, points)
    for point, own in zip(points, depth, strict=True):
        other = shape.exterior.distance(Point(point)) * (1.0 if shape.contains(Point(point)) else -1.0)
        assert own == pytest.approx(other, abs=2e-3)


@pytest.mark.parametrize(
    "inner", [rectangle(80.0, 50.0), circle(70.0), hexagon(60.0), polygon([[-20, -30], [40, -10], [0, 45]])]
)
@pytest.mark.parametrize("outer", [rectangle(300.0, 200.0), circle(260.0), BAY, NOTCHED])
def test_a_ring_inside_another_keeps_the_distance_that_shapely_finds(inner: Loop, outer: Loop) -> None:
    rng = np.random.default_rng(3)
    seen = 0
    for _ in range(80):
        moved = turned(inner, float(rng.uniform(0, 2 * pi)), tuple(rng.uniform(-130.0, 130.0, 2)))
        own = inside_by(moved, outer)
        shape, around = Polygon(moved.polyline(CHORD)), Polygon(outer.polyline(CHORD))
        inside = around.buffer(2 * CHORD).contains(shape)
        if abs(own) > 0.01:
            assert (own > 0.0) == inside
        if inside and own > 0.01:
            seen += 1
            assert own == pytest.approx(ring_of(moved).distance(ring_of(outer)), abs=2e-3)
            near = nearest_to(moved, outer, 0.0)
            assert abs(float(depth_in(outer, near[None, :])[0])) < own + 12.0
    assert seen > 0


def test_what_reaches_out_is_measured_by_how_far() -> None:
    assert inside_by(circle(60.0, (90.0, 0.0)), rectangle(200.0, 200.0)) == pytest.approx(-20.0)
    assert inside_by(circle(60.0, (90.0, 0.0)), circle(200.0)) == pytest.approx(-20.0)
    assert inside_by(rectangle(100.0, 100.0), circle(120.0)) == pytest.approx(60.0 - 50.0 * sqrt(2.0))
    # The tip of the notch at (0, 10) comes 10 mm into a plate whose upper edge lies at y = 20.
    assert inside_by(rectangle(100.0, 40.0), NOTCHED) == pytest.approx(-10.0)
    assert nearest_to(rectangle(100.0, 40.0), NOTCHED, -10.0) == pytest.approx([0.0, 10.0])


@pytest.mark.parametrize("ring", [circle(70.0), rectangle(80.0, 50.0), hexagon(60.0)])
@pytest.mark.parametrize("opening", [circle(60.0), rectangle(30.0, 120.0), NOTCHED])
def test_what_keeps_off_an_opening_keeps_the_distance_that_shapely_finds(ring: Loop, opening: Loop) -> None:
    rng = np.random.default_rng(5)
    hole = Polygon(opening.polyline(CHORD))
    for _ in range(60):
        moved = turned(ring, float(rng.uniform(0, 2 * pi)), tuple(rng.uniform(-200.0, 200.0, 2)))
        shape, own = Polygon(moved.polyline(CHORD)), clear_of(moved, opening)
        apart = shape.distance(hole)
        if apart > 0.05:
            assert own == pytest.approx(apart, abs=0.02)
        elif shape.intersection(hole).area > 1.0:
            assert own < 0.0


def test_at_the_limit_is_met_for_rings_of_one_size() -> None:
    for loop in (rectangle(200.0, 100.0), circle(200.0), turned(rectangle(200.0, 100.0), 0.3)):
        assert inside_by(loop, loop) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("loop", [rectangle(300.0, 200.0), circle(260.0, (5.0, -7.0)), BAY, NOTCHED])
def test_a_chord_and_an_extent_are_those_of_shapely(loop: Loop) -> None:
    shape = Polygon(loop.polyline(CHORD))
    for y in np.linspace(-190.3, 190.3, 23):
        for low, high in ((-500.0, 500.0), (-60.0, 33.0)):
            crossing = shape.intersection(LineString([[low, y], [high, y]]))
            assert chord(loop, float(y), low, high) == pytest.approx(crossing.length, abs=0.05)
    for angle in np.linspace(0.0, 2 * pi, 17):
        toward = np.array([cos(angle), sin(angle)])
        far = np.max(np.array(shape.exterior.coords) @ toward)
        assert extent(loop, toward) == pytest.approx(far, abs=2e-3)


def test_chords_in_closed_form() -> None:
    assert chord(circle(200.0), 60.0, -500.0, 500.0) == pytest.approx(160.0)
    assert chord(rectangle(200.0, 100.0), 50.0 + 1e-9, -500.0, 500.0) == 0.0
    assert chord(NOTCHED, 55.0, -500.0, 500.0) == pytest.approx(200.0 - 20.0)
    assert circle_of(rectangle(1.0, 1.0)) is None


def test_a_ring_is_carried_into_the_pier() -> None:
    for motion in (Motion.identity(), Motion.turned(0.4, (30.0, -20.0, 5.0))):
        ring = in_pier(Prism(Outline(BAY), 0.0, 1.0, motion), BAY)
        moved = motion.points(np.column_stack([BAY.starts, np.zeros(len(BAY.starts))]))[:, :2]
        assert ring.starts == pytest.approx(moved)
        assert ring.area == pytest.approx(BAY.area)
        assert hypot(*(ring.starts[0] - ring.starts[1])) == pytest.approx(
            hypot(*(BAY.starts[0] - BAY.starts[1]))
        )
