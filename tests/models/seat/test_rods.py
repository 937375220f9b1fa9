"""Rods, their heads and hooks: every level and length by arithmetic."""

from __future__ import annotations

from math import pi
from typing import Any

import numpy as np
import pytest

from models.build import CannotBuild
from models.part import Exit, Part, Role, Stage
from models.pier import Pier
from models.solids import Prism, Swept
from tests.support.hardware import INCH, RODS, one, plate_seat

# ASME B18.2.2: heavy hex nut of a 1 in rod, greatest: 1.625 across flats, 1.012 high.
FLATS, HEIGHT = 1.625 * INCH, 1.012 * INCH


def pier_with(**rods: Any) -> Pier:
    return one(seat=plate_seat(rods=RODS | rods, template=None))


def shank(pier: Pier, part_id: str = "P1/rod/1") -> Swept:
    solid = pier.part(part_id).solid
    assert isinstance(solid, Swept)
    return solid


def level(part: Part) -> tuple[float, float]:
    assert isinstance(part.solid, Prism)
    return part.solid.bottom, part.solid.top


def test_a_rod_with_a_nut_reaches_through_it_and_its_stub() -> None:
    pier = pier_with(stub=15.0)
    rod = pier.part("P1/rod/1")
    assert shank(pier).knots.tolist() == [[-120, -100, 130], [-120, -100, pytest.approx(-700 - HEIGHT - 15)]]
    assert (rod.size, rod.nominal, rod.overall, shank(pier).radius) == ("1 in", INCH, INCH, INCH / 2)
    assert rod.role is Role.ROD
    assert rod.label == "rod 1 (SW)"
    assert rod.inside
    assert rod.exits == {Exit.TOP}
    assert rod.stage is Stage.ALWAYS
    head = pier.part("P1/head/1")
    assert level(head) == pytest.approx((-700 - HEIGHT, -700))
    assert head.label == "nut at the foot of rod 1 (SW)"
    assert head.inside
    assert not head.exits
    assert "P1/rod/1" in head.touches
    assert "P1/head/1" in rod.touches
    hexagon = head.solid
    assert isinstance(hexagon, Prism)
    assert hexagon.outline.area == pytest.approx(np.sqrt(3) / 2 * FLATS**2 - pi / 4 * INCH**2)


def test_a_plate_at_the_foot_bears_at_the_embedment_with_its_nut_below() -> None:
    pier = pier_with(end="plate", head_plate={"size": 76, "thickness": 12}, stub=20.0)
    plate, nut = pier.part("P1/head-plate/2"), pier.part("P1/head/2")
    assert level(plate) == (-712, -700)
    assert level(nut) == pytest.approx((-712 - HEIGHT, -712))
    assert shank(pier, "P1/rod/2").knots[1, 2] == pytest.approx(-712 - HEIGHT - 20)
    assert plate.role is nut.role is Role.HEAD
    assert plate.label == "plate at the foot of rod 2 (SE)"
    assert {"P1/rod/2", "P1/head/2"} <= plate.touches
    assert plate.solid.volume == pytest.approx((76**2 - pi / 4 * INCH**2) * 12)
    disk = pier_with(end="plate", head_plate={"size": 76, "thickness": 12, "shape": "round"})
    assert disk.part("P1/head-plate/1").solid.volume == pytest.approx(pi / 4 * (76**2 - INCH**2) * 12)


def test_a_plain_rod_ends_at_its_embedment() -> None:
    pier = pier_with(end="plain")
    assert shank(pier).knots[1, 2] == -700
    assert not [part for part in pier.parts if part.role is Role.HEAD]


def test_an_l_hook_lies_at_the_embedment_and_points_to_the_center() -> None:
    """Cut length: straight + quarter circle + tail."""
    pier = pier_with(end="L", bend=76.0, tail=90.0)
    bar, arm, r = shank(pier), 76 / 2 + INCH / 2, INCH / 2
    assert bar.length == pytest.approx((130 + 700 - r - arm) + pi / 2 * arm + 90)
    assert bar.knots[-1, 2] == pytest.approx(-700 + r)  # its lowest fiber is at the embedment
    out = np.array([-120.0, -100.0]) / np.hypot(120, 100)
    assert bar.knots[-1, :2] == pytest.approx(np.array([-120, -100]) - (arm + 90) * out)
    assert bar.angles.tolist() == pytest.approx([0, pi / 2, 0])


def test_a_j_hook_turns_back_up() -> None:
    """Cut length: straight + half circle + tail."""
    pier = pier_with(end="J", bend=76.0, tail=50.0, hook_to="out")
    bar, arm, r = shank(pier), 76 / 2 + INCH / 2, INCH / 2
    low = -700 + r
    assert bar.length == pytest.approx((130 - low - arm) + pi * arm + 50)
    out = np.array([-120.0, -100.0]) / np.hypot(120, 100)
    assert bar.knots[-1] == pytest.approx([*(np.array([-120, -100]) + 2 * arm * out), low + arm + 50])
    # the lowest point of the bends is the embedment
    bends = bar.angles > 0
    assert (bar.centers[bends, 2] - arm - r).min() == pytest.approx(-700)


@pytest.mark.parametrize(
    ("way", "toward"), [("in", [-1, 0]), ("out", [1, 0]), ("left", [0, 1]), ("right", [0, -1])]
)
def test_which_way_a_hook_points_is_seen_from_the_center(way: str, toward: list[float]) -> None:
    pier = pier_with(end="L", bend=76.0, tail=0.0, hook_to=way, pattern={"at": [[150, 0]]})
    bar = shank(pier)
    arm = 76 / 2 + INCH / 2
    assert bar.knots[-1, :2] == pytest.approx(np.array([150, 0]) + arm * np.array(toward))
    assert len(bar.angles) == 2  # no tail, no piece of no length


def test_a_hook_at_the_center_points_along_x() -> None:
    pier = pier_with(end="L", bend=76.0, tail=10.0, hook_to="out", pattern={"at": [[0, 0]]})
    assert shank(pier).knots[-1, :2] == pytest.approx([38 + INCH / 2 + 10, 0])
    assert pier.part("P1/rod/1").label == "rod 1 (center)"


def test_a_bar_anchor_has_ribs_no_nuts_and_the_least_hook_of_the_code() -> None:
    """ACI 318-19 25.3.1: No. 8 bends on 6 d_b inside, with a tail of 12 d_b past a 90 degree hook."""
    anchors = {"bar": "No. 8", "pattern": RODS["pattern"], "embedment": 600, "projection": 70, "end": "L"}
    pier = one(seat=plate_seat(rods=anchors))
    anchor = pier.part("P1/anchor/1")
    assert anchor.role is Role.BAR_ANCHOR
    assert anchor.label == "bar anchor 1 (SW)"
    assert anchor.size == "No. 8"
    assert (anchor.nominal, anchor.overall) == pytest.approx((INCH, 1.1 * INCH))  # 2 ribs of .050 in
    arm = 3 * INCH + INCH / 2
    assert shank(pier, "P1/anchor/1").length == pytest.approx(
        (70 + 600 - INCH / 2 - arm) + pi / 2 * arm + 12 * INCH
    )
    gone = {Role.NUT, Role.WASHER, Role.LEVELING_NUT, Role.HEAD}
    assert not gone & {part.role for part in pier.parts}


def test_a_bar_whose_ribs_nobody_lists_has_no_overall_diameter() -> None:
    anchors = {"bar": "25M", "pattern": {"at": [[0, 0]]}, "embedment": 600, "projection": 70, "end": "plain"}
    assert one(seat=plate_seat(rods=anchors, template=None)).part("P1/anchor/1").overall is None


@pytest.mark.parametrize(
    ("rods", "says"),
    [
        ({"end": "L"}, "bend"),
        ({"end": "J", "bend": 76.0}, "tail"),
        ({"end": "L", "bend": 2000.0, "tail": 10.0}, "does not fit"),
        ({"end": "plate"}, "head plate"),
        ({"diameter": None, "bar": "No. 8"}, "no thread"),
        ({"diameter": 24.0}, "no heavy hex nut is listed for a rod of 24 mm"),
        ({"diameter": None}, "diameter"),
    ],
)
def test_rods_that_cannot_be_are_refused_in_one_line(rods: dict[str, Any], says: str) -> None:
    with pytest.raises(CannotBuild, match=says) as refused:
        pier_with(**rods)
    assert len(refused.value.problems) == 1
    assert "\n" not in str(refused.value)


def test_a_rod_of_another_size_can_bring_its_own_nut() -> None:
    pier = pier_with(diameter=24.0, nut={"flats": 36.0, "height": 21.5})
    assert level(pier.part("P1/head/1")) == (-721.5, -700)
    assert pier.part("P1/rod/1").size == "24 mm"


def test_winds_are_the_sites() -> None:
    turned = one(seat=plate_seat(rods=RODS | {"pattern": {"grid": [2, 2], "spacing": 200}}), turn=45)
    labels = {part.label for part in turned.parts if part.role is Role.ROD}
    assert labels == {"rod 1 (S)", "rod 2 (E)", "rod 3 (W)", "rod 4 (N)"}
