"""Conduits, sleeves and straps: lengths and volumes by arithmetic."""

from __future__ import annotations

from math import pi
from typing import Any

import pytest

from models.build import CannotBuild
from models.part import Exit, Role
from models.reading.consistency import wrongs_in
from models.solids import Prism, Swept
from models.spec.pier import SweptEmbed
from tests.support.hardware import one


def test_a_bent_conduit() -> None:
    points = [[50, 0, 80], [50, 0, -500], [50, 300, -500]]
    part = one(
        embeds=[{"name": "conduit", "diameter": 33, "points": points, "bend": 200, "exits": ["top"]}]
    ).part("P1/embed/conduit")
    assert isinstance(part.solid, Swept)
    r = 200 / 2 + 33 / 2
    assert part.solid.length == pytest.approx(580 + 300 - 2 * r + pi / 2 * r)
    assert (part.role, part.label, part.nominal, part.overall) == (Role.EMBED, "conduit", 33, 33)
    assert part.inside
    assert part.exits == {Exit.TOP}


def test_a_bored_sleeve_and_a_solid_block() -> None:
    pier = one(
        embeds=[
            {
                "name": "sleeve",
                "outline": {"round": 90, "center": [100, 0]},
                "bore": 80,
                "bottom": -300,
                "top": -200,
            },
            {
                "name": "block",
                "outline": {"rectangle": [40, 60]},
                "bottom": -100,
                "top": 10,
                "exits": ["top"],
            },
        ]
    )
    sleeve, block = pier.part("P1/embed/sleeve"), pier.part("P1/embed/block")
    assert sleeve.solid.volume == pytest.approx(pi / 4 * (90**2 - 80**2) * 100)
    assert isinstance(sleeve.solid, Prism)
    assert sleeve.solid.outline.holes[0].centers[0].tolist() == [100, 0]
    assert block.solid.volume == pytest.approx(40 * 60 * 110)
    assert sleeve.nominal is None
    assert sleeve.inside
    assert not sleeve.exits


@pytest.mark.parametrize(
    ("embed", "says"),
    [
        (
            {"name": "c", "diameter": 33, "points": [[0, 0, 0], [0, 0, -90], [90, 0, -90]]},
            "needs its inside bend",
        ),
        (
            {"name": "c", "diameter": 33, "points": [[0, 0, 0], [0, 0, -90], [90, 0, -90]], "bend": 300},
            "does not fit",
        ),
        ({"name": "c", "diameter": 33, "points": [[0, 0, 0], [0, 0, 0]]}, "lie on each other"),
        ({"name": "s", "outline": {"round": 90}, "bore": 95, "bottom": -300, "top": -200}, "runs out of s"),
        ({"name": "s", "outline": {"round": 90}, "bottom": -100, "top": -200}, "must be lower than its top"),
    ],
)
def test_an_embed_that_cannot_be_is_refused(embed: dict[str, Any], says: str) -> None:
    with pytest.raises(CannotBuild, match=says):
        one(embeds=[embed])


LINE = [[0, 0, -300], [0, 0, -100], [0, 0, 50]]


def test_points_in_one_line_are_no_turn() -> None:
    pipe = one(embeds=[{"name": "pipe", "diameter": 60, "points": LINE}]).part("P1/embed/pipe")
    ends = one(embeds=[{"name": "pipe", "diameter": 60, "points": [LINE[0], LINE[-1]]}])
    assert isinstance(pipe.solid, Swept)
    assert pipe.solid.knots.tolist() == [[0.0, 0.0, -300.0], [0.0, 0.0, 50.0]]
    assert pipe.solid.angles.tolist() == ends.part("P1/embed/pipe").solid.angles.tolist() == [0.0]


@pytest.mark.parametrize("last", [[5, 0, 50], [0, 0, -200], [0, 0, -100]])
def test_a_turn_a_way_back_and_a_point_twice_still_need_a_bend(last: list[float]) -> None:
    embed = SweptEmbed.model_validate({"name": "pipe", "diameter": 60, "points": [*LINE[:2], last]})
    assert [w.wrong for w in wrongs_in(embed)] == ["the line turns without a bend"]


def test_the_spec_takes_points_in_one_line() -> None:
    embed = SweptEmbed.model_validate({"name": "pipe", "diameter": 60, "points": LINE})
    assert list(wrongs_in(embed)) == []
