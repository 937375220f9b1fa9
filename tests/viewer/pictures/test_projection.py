"""Views: what lies left and right, silhouettes, cuts, and how bars are drawn."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from models.outline import Outline, circle, rectangle
from models.part import Part, Role
from models.shapes.spine import straight, swept
from models.solids import Prism
from viewer.drawing.marks import Area, Box, Stroke
from viewer.legend.looks import role_look
from viewer.pictures.projection import clipped, dashed, from_above, from_side, silhouette, solid_marks

LOOK = role_look(Role.TIE)


@pytest.mark.parametrize(
    ("toward", "right"),
    [
        ((0.0, -1.0), (1.0, 0.0)),  # who stands in the south has the east at the right hand
        ((1.0, 0.0), (0.0, 1.0)),  # in the east, the north
        ((0.0, 1.0), (-1.0, 0.0)),
        ((-1.0, 0.0), (0.0, -1.0)),
    ],
)
def test_what_lies_to_the_right(toward: tuple[float, float], right: tuple[float, float]) -> None:
    view = from_side(toward, 10.0, (100.0, 50.0))
    x, y = view.one(right[0] * 30.0, right[1] * 30.0, 20.0)
    assert (x, y) == pytest.approx((103.0, 52.0))
    near, far = view.depth(np.array([[*toward, 0.0], [-toward[0], -toward[1], 0.0]]))
    assert near > far


def test_an_upright_bar_is_a_disc_from_above_and_a_strip_from_the_side() -> None:
    part = Part("P/v/1", Role.VERTICAL, "v", straight((10.0, 20.0, -500.0), (10.0, 20.0, -50.0), 8.0))
    ((depth, disc),) = solid_marks(part, LOOK, from_above(2.0, (0.0, 0.0)))
    assert isinstance(disc, Area)
    ring = np.array(disc.rings[0])
    assert depth == -50.0
    assert np.hypot(*(ring - [5.0, 10.0]).T) == pytest.approx(np.full(48, 4.0))
    ((depth, strip),) = solid_marks(part, LOOK, from_side((0.0, -1.0), 2.0, (0.0, 0.0)))
    assert isinstance(strip, Stroke)
    assert depth == -20.0
    assert np.array(strip.points) == pytest.approx(np.array([[5.0, -250.0], [5.0, -25.0]]))
    assert strip.thick == 8.0


def test_a_tie_seen_from_the_side_is_cut_into_a_near_and_a_far_leg() -> None:
    corners = np.array([[-100.0, -100, 0], [100, -100, 0], [100, 100, 0], [-100, 100, 0], [-100, -90, 0]])
    part = Part("P/tie/1", Role.TIE, "t", swept(corners, 20.0, 5.0))
    found = list(solid_marks(part, LOOK, from_side((0.0, -1.0), 1.0, (0.0, 0.0))))
    near = [m for d, m in found if d == pytest.approx(100.0)]
    far = [m for d, m in found if d == pytest.approx(-100.0)]
    assert near
    assert far
    assert len(near) + len(far) == len(found)
    for mark in (*near, *far):
        assert isinstance(mark, Stroke)
    # As wide as it is: its center line, and half its thickness at either end.
    xs = [x for mark in far if isinstance(mark, Stroke) for x, _ in mark.points]
    assert (min(xs), max(xs)) == pytest.approx((-105.0, 105.0))


def test_the_silhouette_of_a_plate_and_of_its_holes() -> None:
    outline = Outline(rectangle(100.0, 60.0)).with_holes([circle(10.0)])
    prism = Prism(outline, 5.0, 17.0)
    outer, hole = silhouette(prism, from_above(1.0, (0.0, 0.0)))
    assert np.ptp(outer, axis=0) == pytest.approx([100.0, 60.0])
    assert np.ptp(hole, axis=0) == pytest.approx([10.0, 10.0], abs=0.5)
    (side,) = silhouette(prism, from_side((0.0, -1.0), 1.0, (0.0, 0.0)))
    assert side.min(axis=0) == pytest.approx([-50.0, 5.0])
    assert side.max(axis=0) == pytest.approx([50.0, 17.0])


def area(ring: np.ndarray) -> float:
    x, y = ring.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) / 2.0)


def test_what_is_cut_to_a_box() -> None:
    ring = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 4.0], [0.0, 4.0]])
    cut = clipped(ring, Box(2.0, -5.0, 5.0, 3.0))
    assert area(cut) == pytest.approx(9.0)  # 3 wide, 3 high
    assert len(clipped(ring, Box(20.0, 0.0, 30.0, 5.0))) == 0
    turn = np.linspace(0.0, 2.0 * pi, 400, endpoint=False)
    disc = np.column_stack([np.cos(turn), np.sin(turn)])
    assert area(clipped(disc, Box(0.0, -2.0, 2.0, 2.0))) == pytest.approx(pi / 2.0, rel=1e-3)


def test_small_outlines_have_shorter_dashes() -> None:
    small, large = (dashed([s * np.array([[0.0, 0], [1, 0], [1, 1]])]) for s in (3.0, 60.0))
    assert sum(small.dash) < sum(large.dash)
