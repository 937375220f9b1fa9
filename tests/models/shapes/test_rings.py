"""Inside a ring and how far from it, against shapely on a fine polygon."""

from __future__ import annotations

from math import hypot

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from models.outline import Loop
from models.shapes.rings import encloses, ring_distances
from tests.support.rings import OUTLINES

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


def test_an_arc_is_near_only_where_it_runs() -> None:
    """Far above the bay of FREE (radius 60, cut down into it) its corners are nearest, not its circle."""
    free = OUTLINES[2]
    found = ring_distances(free, np.array([[0.0, 200.0 + 500.0]]))
    assert found[0] == pytest.approx(hypot(40.0, 500.0))
