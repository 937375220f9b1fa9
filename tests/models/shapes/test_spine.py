from math import pi, sqrt, tan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.shapes.spine import hook_corner, rounded, straight, swept
from tests.support.centerlines import assert_smooth, centerline

nan = float("nan")


def test_right_angle_by_arithmetic():
    # Legs of 100 and 200, bend radius 30: 70 straight, a quarter turn (47.12), 170 straight.
    bar = swept([[0, 0, 0], [100, 0, 0], [100, 200, 0]], 30.0, 5.0)
    assert bar.lengths == pytest.approx([70.0, 30.0 * pi / 2.0, 170.0])
    assert bar.centers[1] == pytest.approx([70.0, 30.0, 0.0])
    assert bar.axes[1] == pytest.approx([0.0, 0.0, 1.0])
    assert bar.volume == pytest.approx(pi * 25.0 * (240.0 + 15.0 * pi))  # Pappus


def test_half_turn_hook_is_two_quarter_bends_that_meet():
    bar = swept([[0, 0, 0], [100, 0, 0], [100, 60, 0], [20, 60, 0]], 30.0, 5.0)
    assert list(bar.angles > 0.0) == [False, True, True, False]
    assert bar.length == pytest.approx(70.0 + 30.0 * pi + 50.0)
    assert_smooth(bar)


def test_a_corner_that_does_not_turn_leaves_no_bend():
    knots, angles, _, _ = rounded([[0, 0, 0], [50, 0, 0], [100, 0, 0]], 30.0)
    assert list(angles) == [0.0, 0.0]
    assert knots[:, 0] == pytest.approx([0.0, 50.0, 100.0])


def test_bar_that_is_all_bend():
    bar = swept([[0, 0, 0], [30, 0, 0], [30, 30, 0]], 30.0, 5.0)
    assert list(bar.angles) == pytest.approx([pi / 2.0])
    assert bar.length == pytest.approx(30.0 * pi / 2.0)


def test_hook_of_135_degrees():
    # The tangent length of a turn t is r tan(t/2); the corner lies that far past the start of the bend.
    into = np.array([-sqrt(0.5), sqrt(0.5), 0.0])
    corner, end = hook_corner(np.zeros(3), np.array([1.0, 0.0, 0.0]), into, 20.0, 76.2)
    assert corner == pytest.approx([20.0 * tan(0.375 * pi), 0.0, 0.0])
    bar = swept([[-100, 0, 0], corner, end], 20.0, 5.0)
    assert bar.lengths == pytest.approx([100.0, 20.0 * 0.75 * pi, 76.2])
    assert_smooth(bar)


@pytest.mark.parametrize(
    ("points", "radius", "says"),
    [
        ([[0, 0, 0], [20, 0, 0], [20, 200, 0]], 30.0, "does not fit"),
        ([[0, 0, 0], [100, 0, 0], [100, 50, 0], [0, 50, 0]], 30.0, "does not fit"),
        ([[0, 0, 0], [100, 0, 0], [0, 0, 0]], 1.0, "right back"),
        ([[0, 0, 0], [0, 0, 0]], 1.0, "lie on each other"),
        ([[0, 0, 0], [100, 0, 0], [100, 50, 0]], 0.0, "greater than zero"),
        ([[0, 0, 0], [nan, 0, 0]], 1.0, "lie on each other"),
    ],
)
def test_what_cannot_be_bent(points, radius, says):
    with pytest.raises(ValueError, match=says):
        rounded(points, radius)


directions = st.tuples(*[st.floats(-1.0, 1.0)] * 3).filter(lambda v: np.linalg.norm(v) > 0.1)


@settings(max_examples=80, deadline=None)
@given(st.lists(directions, min_size=2, max_size=6), st.floats(1.0, 40.0))
def test_any_polyline_is_smooth_and_keeps_its_ends(ways, radius):
    units = np.array([np.array(w) / np.linalg.norm(w) for w in ways])
    turns = np.arccos(np.clip(np.sum(units[1:] * units[:-1], axis=1), -1.0, 1.0))
    if np.any(turns > 2.8) or np.any((turns < 1e-3) & (turns > 0.0)):
        return
    points = np.vstack([np.zeros(3), np.cumsum(units * 1000.0, axis=0)])
    bar = swept(points, radius, 0.5)
    assert_smooth(bar)
    assert bar.knots[[0, -1]] == pytest.approx(points[[0, -1]])
    # Each bend shortens the polyline by 2 r tan(t/2) - r t.
    shorter = float(np.sum(2.0 * radius * np.tan(turns / 2.0) - radius * turns))
    assert bar.length == pytest.approx(1000.0 * len(ways) - shorter, abs=1e-6)
    walked = centerline(bar)
    assert np.sum(np.linalg.norm(np.diff(walked, axis=0), axis=1)) == pytest.approx(bar.length, rel=1e-3)


def test_a_straight_bar():
    bar = straight((0, 0, -10), (0, 0, 20), 4.0)
    assert bar.length == 30.0
    assert bar.volume == pytest.approx(pi * 16.0 * 30.0)
