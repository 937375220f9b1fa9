from itertools import pairwise

import pytest

from models.cage.levels import tie_levels
from models.spec.cage import Ties
from tests.support.cages import IN, TIES, caged


def ties(**changes):
    return Ties.model_validate(TIES | changes, context={"units": "ft-in"})


def in_inches(levels):
    return [round(-z / IN, 6) for z in levels]


R = 0.1875 * IN  # of a No. 3


def test_group_then_spacing_by_arithmetic():
    # 60 in tall, cover 1.5: centers of the group at 1.5 + .1875 and every 1 + .375 below. From the bottom:
    # half a spacing (6 in) up, so 54, 42, 30, 18 down; the next would be 6 down, 1.5625 in below the group
    # (4.4375) and so closer than half a spacing: it stands halfway between 18 and 4.4375.
    levels = tie_levels(ties(), 1.5 * IN, -60.0 * IN, R, R)
    assert in_inches(levels) == [1.6875, 3.0625, 4.4375, 11.21875, 18.0, 30.0, 42.0, 54.0]


def test_no_space_is_wider_than_the_spacing_nor_a_level_too_near():
    for height in range(14, 120):
        levels = tie_levels(ties(spacing="8 in", first="4 in"), 1.5 * IN, -height * IN, R, R)
        steps = [a - b for a, b in pairwise(levels)]
        assert all(2.0 * R - 1e-6 <= step <= 8.0 * IN + 1e-6 for step in steps)
        assert levels[-1] <= -height * IN + 4.0 * IN + 8.0 * IN


def test_exactly_at_the_spacing_is_drawn_at_the_spacing():
    # The lowest of the group is 4.4375 down; first tie 52.4375 down: exactly four spacings of 12.
    levels = tie_levels(ties(first="7.5625 in"), 1.5 * IN, -60.0 * IN, R, R)
    assert in_inches(levels)[2:] == [4.4375, 16.4375, 28.4375, 40.4375, 52.4375]


def test_top_is_the_upper_side_of_the_highest_tie():
    levels = tie_levels(ties(top="3 in"), 1.5 * IN, -60.0 * IN, R, R)
    assert in_inches(levels)[0] == 3.1875


def test_crossties_and_diamonds_deepen_the_stack():
    # No. 3 throughout: crossties in two layers (they cross), the diamond on top takes two bars: 1 + 2 + 2
    # = 5 bars of .375, then 1 in clear. What lies highest keeps the cover: the tie's center is 1.5 + 4 x
    # .375 + .1875 down.
    cage = caged(ties=TIES | {"diamond": True, "crossties": {"pairs": [[2, 6], [4, 8]]}})
    top = {p.id: max(p.solid.knots[:, 2]) + p.solid.radius for p in cage.parts}
    low = {p.id: min(p.solid.knots[:, 2]) - p.solid.radius for p in cage.parts}
    assert top["P7/diamond/1"] == pytest.approx(-1.5 * IN)
    assert top["P7/tie/1"] == pytest.approx(-(1.5 + 4 * 0.375) * IN)
    assert top["P7/tie/1"] - top["P7/tie/2"] == pytest.approx((5 * 0.375 + 1.0) * IN)
    assert low["P7/crosstie/1-1"] == pytest.approx(top["P7/tie/1"])
    assert low["P7/crosstie/1-2"] == pytest.approx(top["P7/crosstie/1-1"])
    assert low["P7/diamond/1"] == pytest.approx(top["P7/crosstie/1-2"])


@pytest.mark.parametrize(
    ("changes", "cover", "bottom", "says"),
    [
        ({}, None, -60.0, "top cover"),
        ({}, 1.5, -4.0, "below the bottom"),
        ({"spacing": "0.3 in"}, 1.5, -60.0, "closer than they are deep"),
    ],
)
def test_what_does_not_fit(changes, cover, bottom, says):
    with pytest.raises(ValueError, match=says):
        tie_levels(ties(**changes), None if cover is None else cover * IN, bottom * IN, R, R)


def test_a_pier_too_short_for_more_keeps_its_group():
    assert len(tie_levels(ties(first="2 in"), 1.5 * IN, -6.5 * IN, R, R)) == 3


def test_single_ties_go_up_and_down_from_their_levels_and_the_others_stay():
    plain = tie_levels(ties(), 1.5 * IN, -60.0 * IN, R, R)
    moved = tie_levels(ties(moved={"2": "1/8 in", "5": "-2 in"}), 1.5 * IN, -60.0 * IN, R, R)
    # the levels of test_group_then_spacing_by_arithmetic, 3.0625 less 1/8 and 18 and 2 more
    assert in_inches(moved) == [1.6875, 2.9375, 4.4375, 11.21875, 20.0, 30.0, 42.0, 54.0]
    assert [a for a, b in zip(plain, moved, strict=True) if a == b] == [plain[k] for k in (0, 2, 3, 5, 6, 7)]


def test_what_lies_on_a_moved_tie_goes_along():
    ties_ = TIES | {"diamond": True, "crossties": {"pairs": [[2, 6], [4, 8]]}}
    plain, moved = (caged(ties=ties_ | more) for more in ({}, {"moved": {"6": "1 in"}}))
    went = {
        a.id
        for a, b in zip(plain.parts, moved.parts, strict=True)
        if a.solid.knots[0, 2] != pytest.approx(b.solid.knots[0, 2])
    }
    assert went == {"P7/tie/6", "P7/crosstie/6-1", "P7/crosstie/6-2", "P7/diamond/6"}


@pytest.mark.parametrize(
    ("moved", "says"),
    [
        ({"9": "1 in"}, "tie 9 is moved, but there are 8 ties"),
        ({"3": "1.375 in"}, "tie 3 would no longer lie below tie 2"),  # their pitch is .375 + 1 in
        ({"1": "-1.4 in"}, "tie 2 would no longer lie below tie 1"),
    ],
)
def test_ties_are_not_moved_past_each_other(moved, says):
    with pytest.raises(ValueError, match=says):
        tie_levels(ties(moved=moved), 1.5 * IN, -60.0 * IN, R, R)
    assert tie_levels(ties(moved={"3": "1.37 in"}), 1.5 * IN, -60.0 * IN, R, R)
