"""The gap kernel and the points along centerlines agree on whole cages."""

import pytest

from clash.gaps import measure
from tests.support.cages import DOWELS, TIES, caged
from tests.support.centerlines import sampled_gaps

CROSS = {"pairs": [[2, 6], [4, 8]]}
CAGES = {
    "square": ({"square": "24 in"}, {}),
    "crossties and diamond": (
        {"square": "24 in"},
        {"ties": TIES | {"size": "No. 4", "diamond": True, "crossties": CROSS}},
    ),
    "round": ({"round": "30 in"}, {}),
}


@pytest.mark.parametrize("name", CAGES)
def test_the_kernel_and_the_points_agree_on_a_cage(name):
    outline, changes = CAGES[name]
    cage = caged(outline, **({"dowels": DOWELS} | changes))
    sampled = sampled_gaps(cage.parts, within=40.0)
    table = measure([cage], within=30.0)
    between = {
        (cage.parts[a].id, cage.parts[b].id): gap
        for a, b, gap in zip(table.a, table.b, table.gap, strict=True)
        if b >= 0 and gap < 30.0
    }
    assert len(between) > 50
    for pair, gap in between.items():
        # Points miss the nearest ones by at most 0.05 mm here; round ends stand in for flat ones, so that
        # beside a bar's end the points may come out nearer than the bar is.
        assert sampled[pair] < gap + 0.05, pair
    assert min(between.values()) > -0.03
