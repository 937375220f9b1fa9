"""Depth of the ties at the top of a pedestal, from the top of concrete to the underside of the last of the
group.

Arithmetic on the bars' nominal diameters (ASTM A615, Table 1: No. 3 .375 in, No. 4 .500 in) laid with 1 in
clear: cover + n d + (n - 1). ACI 318-19 10.7.6.1.5 wants 2 No. 4 or 3 No. 3 within 5 in. The tie's own rise
is not counted: the depth is that of its upper end; the hook at its lower end hangs one diameter deeper, at
one corner.
"""

import pytest

from tests.support.cages import IN, TIES, pier


@pytest.mark.parametrize(
    ("cover", "count", "size", "depth"),
    [
        (1.5, 3, "No. 3", 4.625),  # 1.5 + 3 x .375 + 2
        (2.0, 3, "No. 3", 5.125),
        (3.0, 2, "No. 4", 5.000),  # 3 + 2 x .5 + 1
        (3.0, 3, "No. 3", 6.125),
    ],
)
def test_underside_of_the_last_top_tie(cover, count, size, depth):
    group = {"size": size, "top_group": {"count": count, "clear": "1 in"}}
    built = pier(
        cage={"verticals": {"size": "No. 8", "count": 8}, "ties": TIES | group},
        concrete={"cover": {"side": "1.5 in", "top": f"{cover} in", "bottom": "3 in"}},
    )
    last = built.part(f"P7/tie/{count}").solid
    assert (max(last.knots[:, 2]) - last.radius) / IN == pytest.approx(-depth, abs=1e-9)
    first = built.part("P7/tie/1").solid
    assert (max(first.knots[:, 2]) + first.radius) / IN == pytest.approx(-cover, abs=1e-9)
