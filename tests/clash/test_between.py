"""The gap between any two things that somebody points at."""

from __future__ import annotations

from math import hypot

import numpy as np
import pytest

from clash.between import between
from clash.gap_table import Face, side_id
from clash.gaps import measure
from models.part import Role
from models.site import Site
from tests.support.hardware import beam_seat, everything, pier, plate_seat, site


@pytest.fixture(name="drawn", scope="module")
def _drawn() -> Site:
    return everything()


def test_it_is_what_the_table_of_gaps_says(drawn: Site) -> None:
    table, compared = measure(drawn.piers), 0
    for k in range(0, len(table), 7):
        here, b = drawn.piers[table.pier[k]], int(table.b[k])
        if b in (Face.GRADE_SIDE, Face.GRADE_BOTTOM):
            continue
        asked = between(drawn, here.parts[table.a[k]].id, side_id(here, b))
        part = here.parts[table.a[k]]
        assert asked.pier.mark == here.mark or part.role in (Role.BEAM, Role.GRADE_BEAM)
        assert asked.gap == pytest.approx(table.gap[k], abs=1e-6)
        compared += 1
    assert compared > 100


def test_either_way_round_it_is_the_same(drawn: Site) -> None:
    for a, b in (("P1/rod/1", "P1/tie/1"), ("P1/plate/1", "P4/hoop/1"), ("P1/rod/1", "P1/concrete/side")):
        one, other = between(drawn, a, b), between(drawn, b, a)
        assert one.gap == pytest.approx(other.gap, abs=1e-9)
        assert one.in_site()[0] == pytest.approx(other.in_site()[1], abs=1e-6)


def test_its_points_are_as_far_apart_as_it_says_and_farther_than_the_table_reaches(drawn: Site) -> None:
    # Two plates of 390 mm on piers 3 m apart and 600 mm wide; rods at +-(their pattern)
    rods = [p for p in drawn.piers[0].parts if p.role is Role.ROD]
    low, high = rods[0], rods[-1]
    (ax, ay, _), (bx, by, _) = low.solid.knots[0], high.solid.knots[0]
    radius = low.solid.radius
    asked = between(drawn, low.id, high.id)
    assert asked.gap == pytest.approx(hypot(ax - bx, ay - by) - 2.0 * radius)  # parallel upright bars
    assert asked.gap > 150.0
    assert np.linalg.norm(asked.at_a - asked.at_b) == pytest.approx(asked.gap)


def test_between_two_piers_by_arithmetic() -> None:
    """Rods at x = +-100 of P1 and, 3 m east and turned a quarter, at y = +-100 of P2; 25.4 mm thick each."""
    seat = beam_seat()
    two = site(pier(seat=seat), pier("P2", x=3000, turn=90, top=200, seat=seat))
    thick = next(p for p in two.piers[0].parts if p.id == "P1/rod/1").nominal
    assert thick is not None
    # rod 2 of P1 stands at (100, 0), rod 2 of P2 at (3000, 100)
    asked = between(two, "P1/rod/2", "P2/rod/2")
    assert asked.gap == pytest.approx(hypot(2900.0, 100.0) - thick)
    # P2's concrete is 600 wide: its west face at 3000 - 300; P1's rod 2 ends 100 + half its thickness east
    assert between(two, "P1/rod/2", "P2/concrete/side").gap == pytest.approx(2700.0 - 100.0 - thick / 2.0)
    assert between(two, "P1/concrete/side", "P2/concrete/side").gap == pytest.approx(3000.0 - 600.0)


def test_at_the_coordinates_of_a_survey_not_a_digit_is_lost() -> None:
    near = site(pier(seat=beam_seat()), pier("P2", x=3000, y=40, turn=33, seat=beam_seat()))
    far = site(
        pier(x=4.5e9, y=6e8, seat=beam_seat()),
        pier("P2", x=4.5e9 + 3000, y=6e8 + 40, turn=33, seat=beam_seat()),
    )
    here, there = (between(s, "P1/rod/1", "P2/rod/2").gap for s in (near, far))
    assert there == pytest.approx(here, abs=1e-6)


def test_from_inside_to_the_face_and_from_outside_to_the_concrete() -> None:
    one = site(pier(seat=plate_seat()))
    spec = one.piers[0].spec.seat
    assert spec.plate is not None
    assert spec.rods is not None
    assert between(one, "P1/plate/1", "P1/concrete/top").gap == pytest.approx(spec.plate.above)
    through = between(one, "P1/rod/1", "P1/concrete/top")
    assert through.gap == pytest.approx(-spec.rods.projection)  # out through the top by all of its projection
    x, y = next(p for p in one.piers[0].parts if p.id == "P1/rod/1").solid.knots[0][:2]
    thick = next(p for p in one.piers[0].parts if p.id == "P1/rod/1").nominal
    assert thick is not None
    side = between(one, "P1/rod/1", "P1/concrete/side")
    assert side.gap == pytest.approx(300.0 - max(abs(x), abs(y)) - thick / 2.0)
    assert np.linalg.norm(side.at_a - side.at_b) == pytest.approx(side.gap)


def test_a_thing_and_itself_and_what_is_not_there() -> None:
    one = site(pier(seat=plate_seat()))
    with pytest.raises(ValueError, match="choose two things"):
        between(one, "P1/rod/1", "P1/rod/1")
    with pytest.raises(ValueError, match="choose two things"):
        between(one, "P1/concrete/top", "P1/concrete/side")
    for nowhere in ("P1/rod/99", "P9/concrete/side", "P1/concrete/within"):
        with pytest.raises(KeyError):
            between(one, nowhere, "P1/rod/1")
