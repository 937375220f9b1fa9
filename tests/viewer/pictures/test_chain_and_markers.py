"""Dimension chains and markers: figures between ticks, boxes that do not touch, flags that find room."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from viewer.drawing.layers import Layer
from viewer.drawing.marks import Area, Box
from viewer.drawing.page import Draft
from viewer.drawing.recording import record
from viewer.legend.looks import LEVELS
from viewer.pictures.chain import chain, pooled
from viewer.pictures.markers import flag, numbered, ring, shape


def test_boxes_that_touch_share_their_middle() -> None:
    # Two boxes 4 wide at 10 and 11: about 10.5, so 8.5 and 12.5; one far off stays.
    assert pooled([10.0, 11.0, 30.0], [4.0, 4.0, 4.0]) == pytest.approx([8.5, 12.5, 30.0])
    assert pooled([], []) == []


def test_pooled_boxes_never_lie_on_each_other_and_keep_their_order() -> None:
    rng = np.random.default_rng(3)
    for _ in range(50):
        places, wide = np.sort(rng.uniform(0.0, 40.0, 9)).tolist(), rng.uniform(1.0, 9.0, 9).tolist()
        at = pooled(places, wide)
        for i in range(8):
            assert at[i + 1] - at[i] >= (wide[i] + wide[i + 1]) / 2.0 - 1e-9


@pytest.mark.parametrize("upright", [False, True])
def test_a_figure_stands_over_its_run_or_where_it_has_room(upright: bool) -> None:
    draft = Draft(100.0, 100.0)
    far = chain(
        draft, [10.0, 40.0, 42.0, 44.0, 80.0], ['8"', '1/2"', '5/8"', '9"'], 30.0, 24.0, upright=upright
    )
    assert far < 24.0  # the short ones went a row farther out
    found = record(draft.page())
    assert found.overlaps() == []
    at = {w: b for w, b, _ in found.texts}
    middle = [(b.low + b.high) / 2.0 if upright else (b.left + b.right) / 2.0 for b in (at['8"'], at['9"'])]
    assert middle == pytest.approx([25.0, 62.0], abs=0.3)
    assert set(at) == {'8"', '1/2"', '5/8"', '9"'}


def test_levels_have_markers_of_different_shape() -> None:
    corners = {level: len(shape(look, (0.0, 0.0), 1.0)) for level, look in LEVELS.items()}
    assert corners == {"HOLD": 8, "TIGHT": 3, "NOT CHECKED": 4, "clear": 36}


@pytest.mark.parametrize("level", list(LEVELS))
@pytest.mark.parametrize("number", [1, 8, 24])
def test_a_number_fits_into_its_marker(level: str, number: int) -> None:
    draft = Draft(40.0, 40.0)
    numbered(draft, level, number, (20.0, 20.0))
    found = record(draft.page())
    assert found.overlaps() == []
    ((_, box, _),) = found.texts
    corners = np.array(shape(LEVELS[level], (20.0, 20.0), 2.6))
    assert Box(*corners.min(axis=0).tolist(), *corners.max(axis=0).tolist()).meets(box)


def test_flags_keep_off_parts_words_and_each_other() -> None:
    draft = Draft(80.0, 80.0)
    bars = [((x, 10.0), (x + 2.0, 10.0), (x + 2.0, 70.0), (x, 70.0)) for x in (20.0, 30.0, 40.0, 50.0)]
    draft.add(*(Area(Layer.STEEL, (bar,), "#1e22bd") for bar in bars))
    draft.write(6.0, 40.0, "words", 3.0)
    spots = [(21.0, 40.0), (31.0, 42.0), (41.0, 40.0), (31.0, 41.0)]
    for spot in spots:
        ring(draft, "HOLD", spot)
    for number, spot in enumerate(spots, start=1):
        assert flag(draft, "HOLD", number, spot, Box(0.0, 0.0, 80.0, 80.0))
    found = record(draft.page())
    assert found.overlaps() == []
    for (_, a, _), (_, b, _) in combinations(found.texts, 2):
        assert not a.meets(b)


def test_no_room_for_a_flag_is_told() -> None:
    draft = Draft(80.0, 80.0)
    assert not flag(draft, "HOLD", 1, (40.0, 40.0), Box(38.0, 38.0, 42.0, 42.0))
    assert not flag(draft, "HOLD", 1, (40.0, 40.0), Box(0.0, 0.0, 80.0, 80.0), lambda box: False)
    assert record(draft.page()).texts == []
