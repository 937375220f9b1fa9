"""Weight of a cage: its solids at the density of steel against the lb/ft column of ASTM A615/A615M, Table 1.

No. 3: .376 lb/ft; No. 8: 2.670 lb/ft. The column reckons with 490 lb/ft3 (.2833 lb/in3) on the nominal
diameter, so solids drawn with the nominal diameter weigh the same within the column's rounding.
"""

from math import hypot, pi

import pytest

from models.part import Role
from tests.support.cages import DOWELS, IN, caged

LB_PER_IN3 = 490.0 / 1728.0


def test_weight_of_a_cage():
    cage = caged(dowels=DOWELS)
    solids = sum(p.solid.volume for p in cage.parts if p.nominal) / IN**3 * LB_PER_IN3
    # By hand, inches: 8 verticals of 60 - 1.5 - 3; 8 dowels (see test_cut_lengths); 8 ties: 3 in the
    # group, and from 54 in down every 12 up to 18, and one halfway to the group.
    tie = 4 * 20.625 - 8 * 0.9375 + 3 * pi * 0.9375 + 6.0 - 20.625 + hypot(20.625, 0.375)
    dowel = 44.0 + 1.75 * pi + 12.0
    assert sum(p.role is Role.TIE for p in cage.parts) == 8
    by_table = (8 * 55.5 + 8 * dowel) / 12 * 2.670 + 8 * tie / 12 * 0.376
    assert by_table == pytest.approx(230.8, abs=0.1)
    assert solids == pytest.approx(by_table, rel=0.006)
