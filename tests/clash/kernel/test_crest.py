"""What stands upright through the top, told from its side: the same as measured to the crest itself."""

from __future__ import annotations

import numpy as np
import pytest

import clash.kernel.cover.sides
from clash.gap_table import Face
from clash.kernel.cover.crest import through
from clash.kernel.tables import SweptTable
from models.outline import Loop
from models.part import Exit
from models.solids import Swept
from tests.clash.kernel.test_faces import CUT, ROUND, SQUARE, gaps_to_faces, pier_of
from tests.support.bars import Walk, straight_bar

X, Y, Z = np.eye(3)


def rods() -> list[Swept]:
    # spread over the plan, one across the corner of CUT, two near the slope, one out through it
    places = [
        (0.0, 0.0),
        (3.0, -2.0),
        (120.0, 40.0),
        (-200.0, 190.0),
        (205.0, 205.0),
        (260.0, 0.0),
        (285.0, 0.0),
    ]
    return [straight_bar((x, y, -500), (x, y, 300), 12.0) for x, y in places]


@pytest.mark.parametrize("outline", [SQUARE, CUT, ROUND])
def test_the_crest_is_as_much_nearer_as_it_is_set_back(
    monkeypatch: pytest.MonkeyPatch, outline: Loop
) -> None:
    pier = pier_of(outline, list(rods()), 25.0, frozenset({Exit.TOP}))
    quick = gaps_to_faces(pier)
    monkeypatch.setattr(
        clash.kernel.cover.sides, "through", lambda swept, solid: np.zeros(len(solid), dtype=bool)
    )
    searched = gaps_to_faces(pier)
    side = quick.b == int(Face.SIDE)
    assert np.sum(side) == len(rods())
    assert quick.gap == pytest.approx(searched.gap, abs=1e-6)
    assert quick.gap[side][0] == pytest.approx(300.0 - 25.0 - 12.0, abs=1e-9)
    apart = np.linalg.norm(quick.at_a - quick.at_b, axis=1)
    assert apart == pytest.approx(np.abs(quick.gap), abs=1e-6)


def test_what_counts_as_standing_through_the_top() -> None:
    bars = [
        straight_bar((0, 0, -500), (0, 0, 300), 12.0),
        straight_bar((0, 0, 300), (0, 0, -500), 12.0),
        straight_bar((0, 0, -500), (0, 0, 0), 12.0),  # ends in the top
        straight_bar((0, 0, 20), (0, 0, 300), 12.0),  # stands above it
        straight_bar((0, 0, -500), (1, 0, 300), 12.0),  # leans
        Walk(np.array([0.0, 0.0, 300.0]), -Z, X).ahead(500).bend(np.pi / 2, 60).ahead(50).bar(8.0),  # hooked
    ]
    table = SweptTable.of(bars)
    assert through(table, np.arange(6)).tolist() == [True, True, False, False, False, False]
    some = table.take(np.array([5, 0]))
    assert some.first.tolist() == [0, 3, 4]
    assert some.radius.tolist() == [8.0, 12.0]
    assert through(some, np.arange(2)).tolist() == [False, True]
