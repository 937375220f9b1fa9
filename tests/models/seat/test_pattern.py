"""Where rods and holes are."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest

from models.seat.pattern import positions, rod_positions
from models.spec.seat import Pattern
from tests.support.hardware import RODS, one, plate_seat


def test_a_grid_runs_along_x_first_from_its_low_corner() -> None:
    found = positions(Pattern(grid=(2, 3), spacing=(100.0, 40.0)))
    assert found.tolist() == [[-50, -40], [50, -40], [-50, 0], [50, 0], [-50, 40], [50, 40]]


def test_one_spacing_serves_both_directions_and_a_single_rod_needs_none() -> None:
    assert positions(Pattern(grid=(2, 2), spacing=80.0)).tolist() == [
        [-40, -40],
        [40, -40],
        [-40, 40],
        [40, 40],
    ]
    assert positions(Pattern(grid=(1, 1))).tolist() == [[0, 0]]
    assert positions(Pattern(grid=(1, 2), spacing=80.0)).tolist() == [[0, -40], [0, 40]]


def test_a_circle_runs_counterclockwise_from_its_start() -> None:
    found = positions(Pattern(circle=400.0, count=4, start=30.0))
    expected = [[200 * cos(radians(a)), 200 * sin(radians(a))] for a in (30, 120, 210, 300)]
    assert np.allclose(found, expected, atol=1e-12)


def test_a_pattern_turns_about_itself_and_then_moves() -> None:
    found = positions(Pattern(at=[(100.0, 0.0), (0.0, 50.0)], turn=90.0, offset=(10.0, -5.0)))
    assert np.allclose(found, [[10, 95], [-40, -5]], atol=1e-12)
    grid = positions(Pattern(grid=(2, 1), spacing=100.0, turn=90.0, offset=(7.0, 0.0)))
    assert np.allclose(grid, [[7, -50], [7, 50]], atol=1e-12)


@pytest.mark.parametrize(
    ("given", "missing"),
    [({"grid": (2, 2)}, "spacing"), ({"circle": 300.0}, "count"), ({}, "a grid, a circle or a list")],
)
def test_a_pattern_that_says_too_little_is_refused(given: dict[str, object], missing: str) -> None:
    with pytest.raises(ValueError, match=missing):
        positions(Pattern(**given))


def test_the_rods_of_a_pier_are_its_pattern() -> None:
    pier = one(seat=plate_seat())
    assert rod_positions(pier.spec).tolist() == positions(Pattern.model_validate(RODS["pattern"])).tolist()
    assert rod_positions(one().spec).shape == (0, 2)
