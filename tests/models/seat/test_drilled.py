"""Holes in outlines: what fits and what is left, against shapely's answer."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
import shapely

from models.outline import Loop, circle, rectangle
from models.seat.drilled import drilled, holes_fit
from tests.support.rings import OUTLINES


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
