"""The ring that a chamfer ends on, against shapely's mitered offset, and what it leaves."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest
import shapely

from models.outline import Loop, Outline, circle, polygon, rectangle
from models.pier import Concrete
from models.shapes.chamfer import concrete_volume, set_back
from models.shapes.outline_from import chamfered, loop_of
from models.spec.outline import OutlineSpec
from tests.support.hardware import FREE


def outline(*corners: tuple[float, float, float, str]) -> Loop:
    edges = [{"x": x, "y": y} | ({"radius": r, "turn": turn} if r else {}) for x, y, r, turn in corners]
    return loop_of(OutlineSpec.model_validate({"edges": edges}))


STADIUM = outline((-100, -80, 0, ""), (100, -80, 0, ""), (100, 80, 80, "left"), (-100, 80, 0, ""))
LENS = outline((-100, 0, 125, "left"), (100, 0, 125, "left"))
RINGS = [
    rectangle(600, 400),
    chamfered(rectangle(600, 400), 19.0),
    circle(760),
    polygon([[0, 0], [300, 0], [300, 100], [100, 100], [100, 300], [0, 300]]),
    loop_of(OutlineSpec.model_validate(FREE)),
    STADIUM,
    LENS,
]


@pytest.mark.parametrize("ring", RINGS)
@pytest.mark.parametrize("leg", [1.0, 19.0])
def test_a_set_back_ring_is_a_mitered_offset(ring: Loop, leg: float) -> None:
    """shapely offsets polygons: where an arc meets an edge its miter is straight, ours follows the arc."""
    fine = shapely.Polygon(ring.polyline(1e-3))
    expected = fine.buffer(-leg, join_style="mitre", mitre_limit=50.0)
    assert set_back(ring, leg).area == pytest.approx(expected.area, rel=2e-4)
    assert shapely.Polygon(set_back(ring, leg).polyline(1e-3)).is_valid


def test_sides_move_by_the_leg() -> None:
    assert np.allclose(set_back(rectangle(600, 400), 19.0).starts, rectangle(562, 362).starts)
    assert set_back(circle(760), 19.0).area == pytest.approx(pi / 4 * 722**2)
    ell = set_back(polygon([[0, 0], [300, 0], [300, 100], [100, 100], [100, 300], [0, 300]]), 10.0)
    assert ell.starts.tolist() == [[10, 10], [290, 10], [290, 90], [90, 90], [90, 290], [10, 290]]


def test_a_corner_between_two_arcs_stays_on_both() -> None:
    """A lens of two arcs of radius 125 on a chord of 200: the corners move to where arcs of 115 meet."""
    half = sqrt(115.0**2 - 75.0**2)
    moved = set_back(LENS, 10.0)
    assert moved.starts.tolist() == [pytest.approx([-half, 0.0]), pytest.approx([half, 0.0])]


def test_steiners_formula_gives_the_volume_of_a_stadium() -> None:
    """A(t) = A - P t + K t2: arcs that join smoothly add half their turn to K, corners tan(turn / 2) each.

    Here a half circle and two square corners: K = pi / 2 + 2.
    """
    leg, area, around = 19.0, 200 * 160 + pi / 2 * 80**2, 200 * 2 + 160 + pi * 80
    cut = area * leg - around * leg**2 / 2 + (pi / 2 + 2) * leg**3 / 3
    concrete = Concrete(Outline(STADIUM), -1000.0, leg)
    assert concrete_volume(concrete) == pytest.approx(area * (1000 - leg) + cut, rel=1e-12)


@pytest.mark.parametrize(
    ("ring", "leg"),
    [
        (rectangle(600, 30), 19.0),
        (circle(30), 19.0),
        (STADIUM, 85.0),
        (chamfered(rectangle(60, 60), 2.0), 29.0),
    ],
)
def test_a_chamfer_that_eats_a_side_is_refused(ring: Loop, leg: float) -> None:
    with pytest.raises(ValueError, match="the chamfer round the top edge"):
        set_back(ring, leg)


def test_no_chamfer_is_the_plain_prism() -> None:
    concrete = Concrete(Outline(rectangle(600, 400)), -1000.0)
    assert concrete_volume(concrete) == concrete.prism.volume == 600 * 400 * 1000
