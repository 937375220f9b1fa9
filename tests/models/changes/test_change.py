"""Changes as data: what each does to a pier's spec, and what is refused."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.changes.change import Change, MoveTie, NudgeRods, TurnRods, nudge_as_seen
from models.changes.rebuilt import rebuilt
from models.lengths import Units
from models.seat.pattern import rod_positions
from models.spec.cage import Ties
from models.spec.pier import PierSpec
from tests.support.hardware import everything, site

FT, MM = Units.FT_IN, Units.MM
EIGHTH = 3.175  # mm: 25.4 / 8


def rods(**pattern) -> PierSpec:
    from tests.support.hardware import pier

    seat = {
        "type": "plate",
        "rods": {"diameter": 25.4, "pattern": pattern, "embedment": 300, "projection": 100},
    }
    return site(pier(seat=seat)).spec.piers[0]


def test_a_nudge_moves_every_rod_by_as_much():
    spec = rods(grid=[2, 2], spacing=200.0, offset=[10.0, 0.0])
    after = NudgeRods(5.0, -5.0).applied(spec, MM)
    assert np.allclose(rod_positions(after) - rod_positions(spec), [5.0, -5.0], atol=1e-9)
    assert after.seat.rods is not None
    assert after.seat.rods.pattern.offset == (15.0, -5.0)


def test_eighths_add_up_without_a_trace():
    # 0.1 + 0.2 is not 0.3: eight eighths of an inch have to be one inch to the last digit
    spec = rods(at=[[0.0, 0.0], [50.0, 0.0]])
    for _ in range(8):
        spec = NudgeRods(EIGHTH, 0.0).applied(spec, FT)
    assert spec.seat.rods is not None
    assert spec.seat.rods.pattern.offset == (25.4, 0.0)


@pytest.mark.parametrize(
    "pattern",
    [
        {"grid": [2, 2], "spacing": 200.0, "offset": [10.0, 20.0]},
        {"circle": 300.0, "count": 3, "start": 10.0, "offset": [-5.0, 0.0]},
        {"at": [[100.0, 260.0], [-100.0, 260.0], [0.0, 230.0]], "offset": [3.0, 0.0], "turn": 20.0},
    ],
)
@pytest.mark.parametrize("degrees", [1.0, -7.5, 170.0])
def test_a_turn_is_about_the_middle_of_the_rods(pattern, degrees):
    spec = rods(**pattern)
    before, after = rod_positions(spec), rod_positions(TurnRods(degrees).applied(spec, MM))
    # the middle of three on a circle is its center: the mean of equally spaced points of a circle
    middle = before.mean(axis=0)
    c, s = cos(radians(degrees)), sin(radians(degrees))
    expected = (before - middle) @ np.array([[c, s], [-s, c]]) + middle
    assert np.allclose(after, expected, atol=1e-5)


def test_a_turn_there_and_back_is_nothing():
    spec = rods(at=[[100.0, 260.0], [-100.0, 260.0]])
    assert TurnRods(-1.0).applied(TurnRods(1.0).applied(spec, MM), MM) == spec


def test_a_turn_past_half_way_round_is_told_the_short_way():
    spec = rods(grid=[2, 1], spacing=200.0, turn=179.5)
    after = TurnRods(1.0).applied(spec, MM)
    assert after.seat.rods is not None
    assert after.seat.rods.pattern.turn == -179.5


@pytest.mark.parametrize(
    ("turn", "right", "up", "axes"),
    [
        (0.0, 1, 0, (5.0, 0.0)),
        (90.0, 1, 0, (0.0, -5.0)),  # the pier's x points north, so east is its -y
        (180.0, 0, 1, (0.0, -5.0)),
        (-90.0, 0, -1, (5.0, 0.0)),
        (20.0, 0, 1, (0.0, 5.0)),
        (-30.0, -1, 0, (-5.0, 0.0)),
        (60.0, 1, 0, (0.0, -5.0)),
    ],
)
def test_arrows_go_along_the_axis_that_points_most_nearly_their_way(turn, right, up, axes):
    spec = rods(grid=[2, 2], spacing=200.0).model_copy(update={"turn": turn})
    nudge = nudge_as_seen(spec, right, up, MM)
    assert (nudge.x, nudge.y) == axes
    c, s = cos(radians(turn)), sin(radians(turn))
    seen = (c * nudge.x - s * nudge.y, s * nudge.x + c * nudge.y)
    assert seen[0] * right + seen[1] * up >= 5.0 * cos(radians(45.0)) - 1e-9


def test_a_tie_moves_with_what_lies_on_it_and_nothing_else_does():
    before = everything()
    mark = next(p.mark for p in before.piers if p.spec.cage is not None and p.spec.cage.ties is not None)
    pier = next(p for p in before.piers if p.mark == mark)
    spec = MoveTie(2, 6.35).applied(pier.spec, MM)
    after = next(p for p in rebuilt(before, spec).piers if p.mark == mark)
    for now, was in zip(after.parts, pier.parts, strict=True):
        number = now.id.rpartition("/")[2].partition("-")[0]
        lateral = now.id.split("/")[1] in ("tie", "hoop", "crosstie", "diamond")
        up = 6.35 if lateral and number == "2" else 0.0
        if hasattr(now.solid, "knots"):
            assert np.allclose(now.solid.knots - was.solid.knots, [0.0, 0.0, up], atol=1e-9), now.id


def test_a_tie_moved_back_leaves_no_trace():
    spec = everything().piers[0].spec
    assert MoveTie(2, -5.0).applied(MoveTie(2, 5.0).applied(spec, MM), MM) == spec


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (NudgeRods(2e6, 0.0), "longer than 1 km"),
        (MoveTie(0, 5.0), "greater than or equal to 1"),
        (MoveTie(99, 5.0), "tie 99 is moved, but there are"),
        (MoveTie(2, 500.0), "tie 2 would no longer lie below tie 1"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(change: Change, says: str):
    drawn = everything()
    with pytest.raises(ValueError, match=says) as refused:
        rebuilt(drawn, change.applied(drawn.piers[0].spec, MM))
    assert "\n" not in str(refused.value)


def test_a_pier_without_rods_or_ties_refuses_them():
    bare = rods(grid=[2, 2], spacing=200.0).model_copy(update={"cage": None})
    with pytest.raises(ValueError, match="has no ties"):
        MoveTie(1, 5.0).applied(bare, MM)
    none = bare.model_copy(update={"seat": bare.seat.model_copy(update={"rods": None})})
    for change in (NudgeRods(5.0, 0.0), TurnRods(1.0)):
        with pytest.raises(ValueError, match="has no rods"):
            change.applied(none, MM)


@given(st.floats(-5000.0, 5000.0), st.sampled_from([FT, MM]))
def test_what_was_nudged_can_be_written(x, units):
    """A figure that the site file cannot say would read back as another one."""
    from models.lengths import length_from, write_length

    after = NudgeRods(x, 0.0).applied(rods(grid=[1, 1]), units)
    assert after.seat.rods is not None
    offset = after.seat.rods.pattern.offset[0]
    assert abs(offset - x) <= 2e-5
    assert length_from(write_length(offset, units), units) == offset


def test_the_field_of_moved_ties_is_read_by_number():
    ties = Ties.model_validate(
        {"size": "No. 4", "spacing": "8 in", "moved": {"3": '1/2"', "5": '-1/4"'}}, context={"units": FT}
    )
    assert ties.moved == {3: 12.7, 5: -6.35}
