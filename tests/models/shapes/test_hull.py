"""The hull of points: against shapely, and where points coincide or lie in one line."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from models.shapes.hull import convex_hull


def test_a_hull_holds_every_point_and_turns_counterclockwise() -> None:
    rng = np.random.default_rng(7)
    points = rng.uniform(-1.0, 1.0, (200, 2))
    ring = convex_hull(points)
    steps = np.roll(ring, -1, axis=0) - ring
    for p in points:
        cross = steps[:, 0] * (p[1] - ring[:, 1]) - steps[:, 1] * (p[0] - ring[:, 0])
        assert (cross >= -1e-12).all()
    square = np.array([[0.0, 0], [1, 0], [1, 1], [0, 1], [0.5, 0.5], [0.5, 0.0]])
    assert len(convex_hull(square)) == 4
    assert convex_hull(square).tolist() == [[0, 0], [1, 0], [1, 1], [0, 1]]


@pytest.mark.parametrize("count", [3, 10, 300])
def test_it_has_the_area_that_shapely_finds(count: int) -> None:
    points = np.random.default_rng(count).normal(0.0, 100.0, (count, 2))
    ring = convex_hull(np.concatenate([points, points[:2]]))  # points that come twice change nothing
    theirs = shapely.MultiPoint(points).convex_hull
    assert shapely.Polygon(ring).area == pytest.approx(theirs.area)
    assert len(ring) == len(theirs.exterior.coords) - 1


def test_points_in_one_line_leave_its_ends() -> None:
    assert convex_hull(np.array([[0.0, 0.0], [2.0, 2.0], [1.0, 1.0]])).tolist() == [[0, 0], [2, 2]]
