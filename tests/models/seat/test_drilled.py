"""Holes in outlines: inside, near and across, against shapely's answer."""

from __future__ import annotations

from math import hypot, pi

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from models.outline import Loop, circle, polygon, rectangle
from models.seat.drilled import drilled, encloses, holes_fit, ring_distances
from models.shapes.outline_from import loop_of
from models.spec.outline import OutlineSpec
from tests.support.hardware import FREE

OUTLINES: list[Loop] = [
    rectangle(300, 200, (20.0, -10.0)),
    circle(280, (5.0, 5.0)),
    loop_of(OutlineSpec.model_validate(FREE)),
    polygon([[0, 0], [150, 0], [150, 40], [30, 40], [30, 120], [0, 120]]),
]
coordinate = st.floats(-260, 260, allow_nan=False, width=32)


@pytest.mark.parametrize("outer", OUTLINES)
@settings(max_examples=60, deadline=None)
@given(points=st.lists(st.tuples(coordinate, coordinate), min_size=1, max_size=8))
def test_distance_and_inside_agree_with_a_fine_polygon(
    outer: Loop, points: list[tuple[float, float]]
) -> None:
    fine = shapely.Polygon(outer.polyline(1e-4))
    at = np.array(points)
    for point, near, within in zip(points, ring_distances(outer, at), encloses(outer, at), strict=True):
        exact = fine.exterior.distance(shapely.Point(point))
        assert near == pytest.approx(exact, abs=2e-4)
        if exact > 0.1:
            assert within == fine.contains(shapely.Point(point))


@pytest.mark.parametrize("outer", OUTLINES)
def test_the_area_left_is_what_shapely_leaves(outer: Loop) -> None:
    centers = np.array([[10.0, 10.0], [10.0, 25.0]])
    made = drilled(outer, centers, 12.0, (), "it")
    holes = [circle(12.0, (float(x), float(y))).polyline(1e-4) for x, y in centers]
    assert made.area == pytest.approx(shapely.Polygon(outer.polyline(1e-4), holes).area, rel=1e-5)
    assert made.area == pytest.approx(outer.area - 2 * pi / 4 * 12.0**2)


def test_a_hole_must_leave_something_of_the_edge() -> None:
    outer = rectangle(300, 200)
    x = np.array([100.0, 134.9, 135.0, 140.0, 160.0, 400.0])
    centers = np.column_stack([x, np.zeros(6)])
    assert holes_fit(outer, centers, 30.0).tolist() == [True, True, False, False, False, False]
    round_plate = circle(300)
    assert holes_fit(round_plate, centers, 30.0).tolist() == [True, True, False, False, False, False]


def test_holes_may_touch_but_not_cross() -> None:
    outer = rectangle(300, 200)
    drilled(outer, np.array([[0.0, 0.0], [30.0, 0.0]]), 30.0, (), "it")
    with pytest.raises(ValueError, match="holes 1 and 2 of it run into each other"):
        drilled(outer, np.array([[0.0, 0.0], [29.9, 0.0]]), 30.0, (), "it")


def test_an_opening_round_a_hole_or_round_another_opening_is_no_opening() -> None:
    outer = rectangle(300, 200)
    at = np.array([[0.0, 0.0]])
    with pytest.raises(ValueError, match="the opening runs into hole 1"):
        drilled(outer, at, 20.0, [rectangle(100, 100)], "it")
    with pytest.raises(ValueError, match="two openings of it run into each other"):
        drilled(outer, np.zeros((0, 2)), 20.0, [rectangle(100, 100), circle(20)], "it")
    with pytest.raises(ValueError, match="opening 2 runs out of it"):
        drilled(outer, np.zeros((0, 2)), 20.0, [circle(20), circle(20, (300.0, 0.0))], "it")


def test_an_arc_is_near_only_where_it_runs() -> None:
    """Far above the bay of FREE (radius 60, cut down into it) its corners are nearest, not its circle."""
    free = OUTLINES[2]
    found = ring_distances(free, np.array([[0.0, 200.0 + 500.0]]))
    assert found[0] == pytest.approx(hypot(40.0, 500.0))
