"""The grid finds whatever touches a box: against looking at everything."""

from __future__ import annotations

import numpy as np

from viewer.drawing.cells import Cells
from viewer.drawing.marks import Box


def test_nothing_that_touches_is_missed_on_the_page_or_off_it() -> None:
    rng = np.random.default_rng(11)
    cells: Cells[int] = Cells(Box(-50.0, 20.0, 150.0, 320.0))
    corners = rng.uniform(-400.0, 600.0, (300, 2))
    sizes = rng.choice([0.0, 3.0, 40.0, 500.0], (300, 2))
    boxes = [Box(x, y, x + w, y + h) for (x, y), (w, h) in zip(corners.tolist(), sizes.tolist(), strict=True)]
    for n, box in enumerate(boxes):
        cells.add(box, n)
    for x, y in rng.uniform(-450.0, 650.0, (200, 2)).tolist():
        asked = Box(x, y, x + 12.0, y + 5.0)
        touching = {n for n, box in enumerate(boxes) if asked.meets(box)}
        assert touching <= set(cells.near(asked))


def test_what_lies_far_off_is_left_out() -> None:
    cells: Cells[str] = Cells(Box(0.0, 0.0, 320.0, 320.0))
    cells.add(Box(5.0, 5.0, 6.0, 6.0), "near")
    cells.add(Box(205.0, 205.0, 206.0, 206.0), "far")
    assert list(cells.near(Box(4.0, 4.0, 7.0, 7.0))) == ["near"]
