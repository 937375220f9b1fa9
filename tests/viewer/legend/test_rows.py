"""The walk along the rows, against layouts whose order is plain."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest

from viewer.legend.rows import usual_spacing, walk


def grid(columns: int, rows: int, step: float = 3000.0, row_step: float = 3000.0) -> np.ndarray:
    return np.array([(i * step, j * row_step) for j in range(rows) for i in range(columns)], dtype=float)


def serpentine(columns: int, rows: int) -> list[int]:
    order = []
    for j in range(rows):
        row = list(range(j * columns, (j + 1) * columns))
        order += row if j % 2 == 0 else row[::-1]
    return order


@pytest.mark.parametrize(("columns", "rows"), [(6, 4), (20, 18), (3, 2), (5, 1)])
def test_a_grid_is_walked_there_and_back(columns: int, rows: int) -> None:
    assert walk(grid(columns, rows)) == serpentine(columns, rows)


@pytest.mark.parametrize("turn", [0.0, 11.0, 30.0, 44.0, -20.0])
def test_a_turned_site_is_walked_along_its_own_rows(turn: float) -> None:
    c, s = cos(radians(turn)), sin(radians(turn))
    turned = grid(6, 3) @ np.array([[c, s], [-s, c]]) + [1e6, -4e5]
    assert walk(turned) == serpentine(6, 3)


def test_long_rows_are_walked_and_not_short_columns() -> None:
    """Two rows of five that run north: 0 to 4, then back 9 to 5."""
    north = np.array([(x * 3000.0, y * 3000.0) for x in (0, 1) for y in range(5)])
    order = walk(north)
    assert order in ([0, 1, 2, 3, 4, 9, 8, 7, 6, 5], [0, 1, 2, 3, 4, 9, 8, 7, 6, 5][::-1])
    assert order[0] == 0


def test_the_walk_begins_at_the_corner_of_the_first_pier() -> None:
    points = grid(4, 3)
    shuffled = [11, *range(11)]
    assert [shuffled[k] for k in walk(points[shuffled])][:4] == [11, 10, 9, 8]


def test_piers_a_little_out_of_line_stay_in_their_row() -> None:
    points = grid(6, 4) + np.random.default_rng(3).normal(0.0, 60.0, (24, 2))
    assert walk(points) == serpentine(6, 4)


@pytest.mark.parametrize("count", [0, 1, 2])
def test_few_piers(count: int) -> None:
    assert walk(grid(count, 1) if count else np.zeros((0, 2))) == list(range(count))


def test_every_pier_is_walked_once_wherever_they_stand() -> None:
    points = np.random.default_rng(5).uniform(0.0, 40_000.0, (57, 2))
    assert sorted(walk(points)) == list(range(57))


def test_two_piers_at_one_place_are_both_walked() -> None:
    assert sorted(walk(np.array([[0.0, 0.0], [0.0, 0.0], [3000.0, 0.0]]))) == [0, 1, 2]


def test_the_usual_spacing_is_the_median_way_to_a_neighbor() -> None:
    """At 0, 1, 3, 7 and 7 again: to the nearest other place 1, 1, 2, 4 and 4; of those the median is 2."""
    points = np.array([[x, 0.0] for x in (0.0, 1.0, 3.0, 7.0, 7.0)])
    assert usual_spacing(points) == 2.0
    assert usual_spacing(points, 0.0) == 1.0
    assert usual_spacing(points[:1]) == 0.0
