from math import pi

import pytest

from models.outline import rectangle
from models.shapes.outline_from import chamfered, inset, loop_of, straight_convex
from models.spec.outline import OutlineSpec


def outline(**what):
    return OutlineSpec.model_validate(what, context={"units": "mm"})


def edges(*corners):
    return outline(edges=[dict(zip(("x", "y", "radius", "turn"), c, strict=False)) for c in corners])


@pytest.mark.parametrize(
    ("spec", "area", "perimeter"),
    [
        (outline(square=600), 600.0**2, 2400.0),
        (outline(rectangle=[500, 900], center=[10, 20]), 450000.0, 2800.0),
        (outline(round=750), pi * 375.0**2, pi * 750.0),
        # A stadium: a 400 x 300 rectangle with a half circle at each end.
        (
            edges((-200, -150, 150), (200, -150), (200, 150, 150), (-200, 150)),
            120000.0 + pi * 150.0**2,
            800.0 + 300.0 * pi,
        ),
    ],
)
def test_area_and_perimeter(spec, area, perimeter):
    loop = loop_of(spec)
    assert loop.area == pytest.approx(area)
    assert loop.perimeter == pytest.approx(perimeter)


def test_a_round_bite_turns_right():
    # A 400 square whose right side is bitten by a half circle of radius 200.
    loop = loop_of(edges((0, 0), (400, 0), (400, 400, 200, "right"), (0, 400)))
    assert loop.area == pytest.approx(160000.0 - pi * 200.0**2 / 2.0)


def test_corner_chamfers_take_half_the_square_of_the_leg_each():
    loop = loop_of(outline(square=600), 20.0)
    assert len(loop.starts) == 8
    assert loop.area == pytest.approx(600.0**2 - 4.0 * 20.0**2 / 2.0)
    round_one = loop_of(outline(round=600), 20.0)
    assert len(round_one.starts) == 1


def test_inward_corners_and_corners_of_arcs_keep_their_edge():
    # An L of 6 corners, one of them inward.
    ell = loop_of(edges((0, 0), (400, 0), (400, 200), (200, 200), (200, 400), (0, 400)), 10.0)
    assert ell.area == pytest.approx(120000.0 - 5.0 * 50.0)
    tee = loop_of(edges((0, 0), (400, 0), (400, 400, 200, "right"), (0, 400)), 10.0)
    assert tee.area == pytest.approx(160000.0 - pi * 200.0**2 / 2.0 - 2.0 * 50.0)


@pytest.mark.parametrize(
    ("spec", "chamfer", "says"),
    [
        (edges((0, 0), (0, 400), (400, 400), (400, 0)), 0.0, "counterclockwise"),
        (edges((0, 0), (400, 0), (0, 300), (500, 400)), 0.0, "cross"),
        (edges((0, 0), (400, 0), (400, 400, 100)), 0.0, "radius too small"),
        (edges((0, 0), (0, 0), (400, 400)), 0.0, "lies on"),
        (edges((0, 0), (400, 0)), 0.0, "arc"),
        (outline(square=100), 50.0, "chamfer"),
    ],
)
def test_what_makes_no_outline(spec, chamfer, says):
    with pytest.raises(ValueError, match=says):
        loop_of(spec, chamfer)


def test_inset_of_a_rectangle_and_of_a_triangle():
    assert inset(rectangle(400, 300), 50.0).area == pytest.approx(300.0 * 200.0)
    assert inset(rectangle(400, 300), -50.0).area == pytest.approx(500.0 * 400.0)
    # A 3-4-5 triangle has an inradius of 100: set in by half of that, it is half as large each way.
    triangle = loop_of(edges((0, 0), (300, 0), (0, 400)))
    assert inset(triangle, 50.0).area == pytest.approx(60000.0 / 4.0)
    with pytest.raises(ValueError, match="nothing is left"):
        inset(triangle, 101.0)


def test_what_a_closed_tie_can_follow():
    assert straight_convex(rectangle(400, 300))
    assert straight_convex(chamfered(rectangle(400, 300), 20.0))
    assert not straight_convex(loop_of(edges((0, 0), (400, 0), (400, 400, 300), (0, 400))))
    assert not straight_convex(loop_of(edges((0, 0), (400, 0), (400, 200), (200, 200), (200, 400), (0, 400))))
