"""No bar of an ordinary cage runs through another: measured a second way, point by point."""

import pytest

from models.part import LATERAL, Role
from models.shapes.fitting import FITTING
from tests.support.cages import DOWELS, IN, TIES, caged
from tests.support.centerlines import assert_smooth, sampled_gaps

CROSS = {"pairs": [[2, 6], [4, 8]]}
CAGES = {
    "18 in, No. 3": ({"square": "18 in"}, {}),
    "18 in, No. 4": ({"square": "18 in"}, {"ties": TIES | {"size": "No. 4"}}),
    "24 in, No. 3": ({"square": "24 in"}, {}),
    "24 in, No. 4": ({"square": "24 in"}, {"ties": TIES | {"size": "No. 4"}}),
    "crossties": ({"square": "24 in"}, {"ties": TIES | {"crossties": CROSS}}),
    "diamond": ({"square": "24 in"}, {"ties": TIES | {"diamond": True}}),
    "both": ({"square": "24 in"}, {"ties": TIES | {"size": "No. 4", "diamond": True, "crossties": CROSS}}),
    "rectangle": ({"rectangle": ["20 in", "40 in"]}, {"verticals": {"size": "No. 8", "count": 10}}),
    "round": ({"round": "30 in"}, {}),
    "round, long lap": ({"round": "30 in"}, {"ties": TIES | {"lap": "14 in"}}),
    "smaller verticals than dowels": ({"square": "24 in"}, {"verticals": {"size": "No. 6", "count": 8}}),
}


@pytest.mark.parametrize("name", CAGES)
def test_nothing_runs_through_anything(name):
    outline, changes = CAGES[name]
    cage = caged(outline, **({"dowels": DOWELS} | changes))
    gaps = sampled_gaps(cage.parts, within=5.0)
    assert min(gaps.values()) > -FITTING
    # Drawn true, contact is tangency to a few hundredths: nothing needs the whole of the fitting tolerance.
    assert min(gaps.values()) > -0.03
    # Whatever comes into contact was meant to.
    for (a, b), gap in gaps.items():
        if gap < 0.5:
            assert b in cage.part(a).touches, (a, b, gap)
    for part in cage.parts:
        assert_smooth(part.solid)
    # Every tie and every crosstie holds its verticals: none floats free of what it names.
    for part in cage.parts:
        if part.role in LATERAL:
            for other in part.touches:
                if "/vertical/" in other:
                    assert gaps.get((part.id, other), gaps.get((other, part.id), 99.0)) < 0.05
        if part.role is Role.CROSSTIE:
            under = [
                gaps.get((part.id, o), gaps.get((o, part.id), 99.0))
                for o in part.touches
                if "/vertical/" not in o
            ]
            assert min(under) < 0.05


def test_a_dowel_found_in_the_way_of_a_hook_is_run_through_not_dodged():
    # The tails of the hooks at the SW corner start .9375 in (the bend's centerline radius) on either side
    # of its center, 9.375 in from both axes, and run 3 in to the NE. A dowel found on the middle of one:
    x, y = (-9.375 + (0.9375 + 1.5) * 0.5**0.5), (-9.375 + (-0.9375 + 1.5) * 0.5**0.5)
    cage = caged(dowels={"size": "No. 8", "at": [[f"{x} in", f"{y} in"]], "height": "44 in"})
    gaps = sampled_gaps(cage.parts, within=5.0)
    hit = {other: gap for (dowel, other), gap in gaps.items() if dowel == "P7/dowel/1" and gap < 0.0}
    assert set(hit) == {"P7/tie/5"}  # ties 1 and 5 hook there; the dowel ends below tie 1
    # Where centerlines cross, points 1 mm apart on each miss each other by up to 0.71 mm.
    assert hit["P7/tie/5"] == pytest.approx(-(0.5 + 0.1875) * IN, abs=0.71)
