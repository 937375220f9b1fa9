"""What stands on the rods: plate, washers, nuts, shims, grout, template; every figure by arithmetic."""

from __future__ import annotations

from math import asin, pi, sin, sqrt
from typing import Any

import pytest

from models.build import CannotBuild
from models.part import Part, Role, Stage
from models.solids import Prism
from tests.support.hardware import FREE, INCH, PLATE, RODS, one, plate_seat

FLATS, HEIGHT = 1.625 * INCH, 1.012 * INCH
NUT = (sqrt(3) / 2 * FLATS**2 - pi / 4 * INCH**2) * HEIGHT


def level(part: Part) -> tuple[float, float]:
    assert isinstance(part.solid, Prism)
    return part.solid.bottom, part.solid.top


def test_the_stack_on_a_plate() -> None:
    pier = one(seat=plate_seat())
    plate = pier.part("P1/plate/1")
    assert level(plate) == (45, 65)
    assert plate.label == "plate PL1"
    assert plate.solid.volume == pytest.approx((380**2 - 4 * pi / 4 * 46**2) * 20)
    washer = pier.part("P1/washer/3")
    assert level(washer) == (65, 74.5)
    assert washer.solid.volume == pytest.approx(pi / 4 * (76**2 - (INCH + INCH / 16) ** 2) * 9.5)
    nut = pier.part("P1/nut/3")
    assert level(nut) == pytest.approx((74.5, 74.5 + HEIGHT))
    assert nut.solid.volume == pytest.approx(NUT)
    leveling = pier.part("P1/leveling-nut/3")
    assert level(leveling) == pytest.approx((45 - HEIGHT, 45))
    grout = pier.part("P1/grout/1")
    assert level(grout) == (0, 45)
    assert grout.solid.volume == pytest.approx(380**2 * 45)
    assert grout.fluid
    for part in (plate, washer, nut, leveling, grout):
        assert part.stage is Stage.SET
        assert not part.inside
        assert part.fluid == (part.role is Role.GROUT)
    assert {"P1/rod/3", "P1/plate/1", "P1/nut/3"} <= washer.touches
    assert {"P1/rod/3", "P1/washer/3"} == nut.touches
    assert {"P1/rod/3", "P1/plate/1"} == leveling.touches
    assert washer.label == "washer on rod 3 (NW)"
    assert leveling.label == "leveling nut on rod 3 (NW)"


def test_without_a_washer_the_nut_stands_on_the_plate() -> None:
    pier = one(seat=plate_seat(washer=None))
    nut = pier.part("P1/nut/1")
    assert level(nut)[0] == 65
    assert "P1/plate/1" in nut.touches
    assert Role.WASHER not in {part.role for part in pier.parts}


def test_no_nuts_where_the_site_says_none() -> None:
    pier = one(seat=plate_seat(nuts=False, level_on="none", template=None))
    assert not {Role.NUT, Role.LEVELING_NUT} & {part.role for part in pier.parts}
    assert pier.part("P1/washer/1").role is Role.WASHER


def test_square_washers_and_their_own_hole() -> None:
    pier = one(seat=plate_seat(washer={"size": 80, "thickness": 6, "shape": "square", "hole": 30}))
    assert pier.part("P1/washer/1").solid.volume == pytest.approx((80**2 - pi / 4 * 30**2) * 6)


def test_the_template_is_there_for_the_pour_only() -> None:
    pier = one(seat=plate_seat())
    template = pier.part("P1/template/1")
    assert level(template) == (40, 59)
    assert template.solid.volume == pytest.approx((600**2 - 4 * pi / 4 * 27**2 - pi / 4 * 120**2) * 19)
    above, below = pier.part("P1/template-nut/2-above"), pier.part("P1/template-nut/2-below")
    assert level(above) == pytest.approx((59, 59 + HEIGHT))
    assert level(below) == pytest.approx((40 - HEIGHT, 40))
    assert above.label == "nut above the template on rod 2 (SE)"
    for part in (template, above, below):
        assert part.stage is Stage.POUR
        assert "P1/rod/2" in part.touches
    only_above = one(seat=plate_seat(template=plate_seat()["template"] | {"nuts": "above"}))
    sides = {part.id for part in only_above.parts if part.stage is Stage.POUR and part.role is Role.NUT}
    assert sides == {f"P1/template-nut/{k}-above" for k in (1, 2, 3, 4)}


def test_a_leveling_nut_with_its_washer() -> None:
    pier = one(seat=plate_seat(leveling_washer={"size": 70, "thickness": 5}))
    washer, nut = pier.part("P1/leveling-washer/2"), pier.part("P1/leveling-nut/2")
    assert level(washer) == (40, 45)
    assert washer.solid.volume == pytest.approx(pi / 4 * (70**2 - (INCH + INCH / 16) ** 2) * 5)
    assert level(nut) == pytest.approx((40 - HEIGHT, 40))
    assert washer.touches == {"P1/rod/2", "P1/plate/1", "P1/leveling-nut/2"}
    assert nut.touches == {"P1/rod/2", "P1/leveling-washer/2"}
    assert washer.label == "leveling washer on rod 2 (SE)"
    assert not any("leveling-washer" in part.id for part in one(seat=plate_seat()).parts)


def test_what_a_plate_carries_stands_on_it() -> None:
    carries = [{"name": "post", "outline": {"round": 90}, "height": 200}]
    post = one(seat=plate_seat(plate=PLATE | {"carries": carries})).part("P1/standing/post")
    assert level(post) == (65, 265)
    assert post.solid.volume == pytest.approx(pi / 4 * 90**2 * 200)
    assert (post.role, post.label, post.touches) == (Role.STANDING, "post", {"P1/plate/1"})
    assert post.stage is Stage.SET
    assert not post.inside


def test_a_template_has_a_nut_below_it_where_there_is_room_or_where_the_file_says_so() -> None:
    template = {key: value for key, value in plate_seat()["template"].items() if key != "above"}
    for more, below in (({}, 0), ({"above": HEIGHT}, 4), ({"above": HEIGHT - 0.1}, 0), ({"nuts": "both"}, 4),
                        ({"above": 60, "nuts": "above"}, 0)):  # fmt: skip
        pier = one(seat=plate_seat(template=template | more))
        assert sum(part.id.endswith("-below") for part in pier.parts) == below
        assert sum(part.id.endswith("-above") for part in pier.parts) == 4


def test_shims_under_a_plate() -> None:
    pier = one(seat=plate_seat(level_on="shims", shim={"square": 76}))
    shim = pier.part("P1/shim/1")
    assert level(shim) == (0, 45)
    assert shim.solid.volume == pytest.approx(76**2 * 45)
    assert shim.touches == {"P1/plate/1"}
    assert Role.LEVELING_NUT not in {part.role for part in pier.parts}


def test_a_plate_on_the_concrete_leaves_no_room_for_shims_or_grout() -> None:
    pier = one(seat=plate_seat(level_on="shims", shim={"square": 76}, plate=PLATE | {"above": 0}))
    assert not {Role.SHIM, Role.GROUT} & {part.role for part in pier.parts}


def test_a_plate_of_any_outline_with_holes_and_cutouts_of_its_own() -> None:
    """FREE: a square of 400 less what a quarter circle leaves of a corner, less a segment (60 on 80)."""
    plate = PLATE | {
        "outline": FREE,
        "holes": {"diameter": 30, "pattern": {"at": [[-100, -100], [100, -100]]}},
        "cutouts": [{"rectangle": [60, 40]}, {"round": 50, "center": [-120, 60]}],
    }
    part = one(seat=plate_seat(plate=plate)).part("P1/plate/1")
    half = 40 / 60
    segment = 60**2 / 2 * (2 * asin(half) - sin(2 * asin(half)))
    area = 400**2 - (100**2 - pi / 4 * 100**2) - segment
    holes = 2 * pi / 4 * 30**2 + 60 * 40 + pi / 4 * 50**2
    assert part.solid.volume == pytest.approx((area - holes) * 20)


@pytest.mark.parametrize(
    ("seat", "says"),
    [
        ({"plate": PLATE | {"outline": {"square": 270}}}, "hole 1 runs out of the plate"),
        (
            {"plate": PLATE | {"outline": {"square": 600}, "holes": {"diameter": 210}}},
            "holes 1 and 3 of the plate run into each other",
        ),
        ({"plate": PLATE | {"cutouts": [{"rectangle": [300, 40]}, {"square": 30}]}}, "two openings"),
        ({"plate": PLATE | {"cutouts": [{"rectangle": [390, 40]}]}}, "the opening runs out of the plate"),
        ({"plate": PLATE | {"cutouts": [{"square": 200}]}}, "the opening runs into hole 1 of the plate"),
        ({"washer": {"size": 26, "thickness": 3}}, "as wide as the washer"),
        (
            {"template": plate_seat()["template"] | {"opening": {"round": 300}}},
            "the opening runs into hole 1 of the template",
        ),
    ],
)
def test_what_cannot_be_cut_is_refused_in_one_line(seat: dict[str, Any], says: str) -> None:
    with pytest.raises(CannotBuild, match=says) as refused:
        one(seat=plate_seat(**seat))
    assert len(refused.value.problems) == 1


def test_a_plate_hole_too_small_for_its_rod_is_built_all_the_same() -> None:
    """It is for the rules to tell, with the figure."""
    pier = one(seat=plate_seat(plate=PLATE | {"holes": {"diameter": 20}}))
    plate = pier.part("P1/plate/1").solid
    assert isinstance(plate, Prism)
    assert len(plate.outline.holes) == len(RODS["pattern"]["grid"]) * 2
