"""Cut lengths of bent bars along their centerlines, by arithmetic on the published bends and tails.

Bends and tails: ACI 318-19 25.3.1 (main bars: inside diameter 6 d_b to No. 8, 90 degree tail 12 d_b) and
25.3.2 (ties: 4 d_b to No. 5, 135 degree tail the greater of 6 d_b and 3 in; from memory).
"""

from math import hypot, pi

import pytest

from tests.support.cages import DOWELS, IN, TIES, caged


def test_rectangular_tie_with_two_135_degree_hooks():
    # 21 x 21 in out to out, No. 3: centerline sides 20.625, bend radius .75 + .1875 = .9375, tails 3 (6 x
    # .375 < 3).
    a, r, tail = 20.625, 0.9375, 3.0
    # Four legs lose r at each of their eight ends; three corners of a quarter turn, two hooks of 3/8 turn,
    # two tails.
    flat = 4 * a - 8 * r + 3 * (pi / 2) * r + 2 * (3 * pi / 4) * r + 2 * tail
    assert flat == pytest.approx(89.836, abs=5e-4)
    # One leg climbs by a bar diameter.
    length = flat - a + hypot(a, 0.375)
    assert caged().part("P7/tie/1").solid.length / IN == pytest.approx(length, abs=1e-9)


def test_dowel_with_a_90_degree_hook():
    # No. 8: bend radius 3 + .5, tail 12. It stands 30 in up and reaches 18 in down to the underside of its
    # foot.
    length = (30.0 + 18.0 - 0.5 - 3.5) + (pi / 2) * 3.5 + 12.0
    assert length == pytest.approx(61.498, abs=5e-4)
    assert caged(dowels=DOWELS).part("P7/dowel/1").solid.length / IN == pytest.approx(length, abs=1e-9)


def test_crosstie_with_one_135_and_one_90_degree_end():
    # Verticals 19.25 in apart; each bar (radius .5) touches its bend (inside radius .75) farthest out:
    # bends begin .25 in inside the bars. No. 3: tails 3 in at both ends (25.3.2: 6 d_b = 2.25 < 3).
    length = 19.25 - 2 * 0.25 + 0.9375 * (3 * pi / 4 + pi / 2) + 2 * 3.0
    crosstie = caged(ties=TIES | {"crossties": {"pairs": [[2, 6]]}}).part("P7/crosstie/1-1")
    assert crosstie.solid.length / IN == pytest.approx(length, abs=1e-9)
