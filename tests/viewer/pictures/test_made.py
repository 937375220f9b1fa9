"""Pictures as files: their size, their dots to the inch, what shows where; and what happens without GL."""

from __future__ import annotations

import io
import os
from typing import Any

import numpy as np
import PIL.Image
import pytest

from clash.judge import judge
from models.part import Role
from models.reading.loading import load_site
from tests.viewer.running import DEMO
from viewer.drawing.recording import record
from viewer.legend.looks import LEVELS, role_look
from viewer.paper.job import Job
from viewer.pictures.made import Picture, Sheet, page, pictures, png, sheets
from viewer.pictures.pier_page import Solid, pier_page
from viewer.pictures.space import NO_VIEW


@pytest.fixture(scope="module")
def sheet() -> Sheet:
    site = load_site(DEMO / "reedbank.yaml")
    job = Job(site, judge(site), "2025-05-06")
    return next(s for s in sheets(job, site.piers) if s.pier.mark == "P2")


@pytest.fixture(scope="module")
def made(sheet: Sheet) -> Picture:
    (one,) = pictures([sheet])
    return one


def pixels(data: bytes) -> np.ndarray[Any, Any]:
    return np.asarray(PIL.Image.open(io.BytesIO(data)).convert("RGB")).astype(int)


def rgb(color: str) -> tuple[int, ...]:
    return tuple(int(color[i : i + 2], 16) for i in (1, 3, 5))


def share_near(part: np.ndarray[Any, Any], color: str, within: float = 60.0) -> float:
    """The share of pixels that lie near a color."""
    return float((np.linalg.norm(part - np.array(rgb(color)), axis=2) < within).mean())


def test_letter_paper_at_300_dots_to_the_inch(made: Picture) -> None:
    image = PIL.Image.open(io.BytesIO(made.data))
    assert image.format == "PNG"
    assert image.size == (2550, 3300)  # 8.5 by 11 in
    assert image.info["dpi"] == pytest.approx((300.0, 300.0), abs=0.01)


def test_a_vertical_shows_in_its_color_where_it_stands(sheet: Sheet, made: Picture) -> None:
    found = record(page(sheet, space=False)[0])
    color = role_look(Role.VERTICAL).color
    ring = next(r[0] for a, r in found.areas if a.fill == color and len(r[0]) == 48)
    x, y = np.mean(ring, axis=0)
    at = round(3300 - y / 25.4 * 300.0), round(x / 25.4 * 300.0)
    assert tuple(pixels(made.data)[at]) == rgb(color)


def test_the_view_in_space_shows_steel_and_concrete(made: Picture) -> None:
    if made.missing:
        pytest.skip(f"no GL here: {made.missing}")
    # Right of the plan and over the sentences: 120 to 200 mm across, 20 to 115 mm down.
    part = pixels(made.data)[round(20 / 25.4 * 300) : round(115 / 25.4 * 300), round(120 / 25.4 * 300) : 2360]
    assert share_near(part, "#ffffff", 5.0) > 0.3
    assert share_near(part, role_look(Role.CONCRETE).color, 90.0) > 0.1
    assert share_near(part, role_look(Role.VERTICAL).color, 110.0) > 0.005
    assert share_near(part, LEVELS["HOLD"].color, 12.0) > 0.0005


class Deadly(tuple[Any, ...]):
    """Findings that end the process that receives them."""

    def __reduce__(self) -> tuple[Any, ...]:
        return os._exit, (9,)


def test_a_process_that_dies_costs_the_view_in_space_and_nothing_else(sheet: Sheet) -> None:
    deadly = Sheet(sheet.pier, Deadly(sheet.watch), sheet.title, sheet.size, sheet.units)
    (one,) = pictures([deadly])
    assert one.missing == NO_VIEW
    assert pixels(one.data).shape == (3300, 2550, 3)


def test_flags_of_the_view_in_space_stand_where_it_is_empty(sheet: Sheet) -> None:
    # A made-up view: black in its middle, white round it.
    image = np.full((600, 500, 3), 255, dtype=np.uint8)
    image[150:450, 150:350] = 0
    stream = io.BytesIO()
    PIL.Image.fromarray(image).save(stream, "PNG")
    solid = Solid(stream.getvalue(), "", ((1, (0.5, 0.5)),))
    made = pier_page(sheet.pier, sheet.watch, sheet.title, sheet.size, sheet.units, lambda wide, high: solid)
    found = record(made)
    assert found.overlaps() == []
    (box,) = found.images
    inner = [b for w, b, _ in found.texts if w == "1" and b.within(box)]
    assert len(inner) == 1
    wide, high = box.right - box.left, box.high - box.low
    x = ((inner[0].left + inner[0].right) / 2.0 - box.left) / wide
    y = ((inner[0].low + inner[0].high) / 2.0 - box.low) / high
    assert not (0.3 < x < 0.7 and 0.25 < y < 0.75)


def test_a_blank_page_is_white(sheet: Sheet) -> None:
    from viewer.drawing.page import Page

    assert (pixels(png(Page(25.4, 25.4, 1.0, (0.0, 0.0), ()), "blank")) == 255).all()
