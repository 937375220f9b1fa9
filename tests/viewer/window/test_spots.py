"""The few words at the gap, with their rounding, and where the demo's findings are."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from clash.report.findings import Finding, Level
from models.lengths import Units
from models.reading.loading import load_site
from tests.viewer.running import DEMO
from viewer.scene.sight import Spot
from viewer.window.spots import Place, place_of, reading
from viewer.window.work import Work

BLANK = Finding(
    id="r:a:b",
    level=Level.HOLD,
    rule="r",
    source="s",
    pier="P1",
    parts=("a", "b"),
    labels=("a", "b"),
    limit="least",
    says="",
)
HERE = Place(Spot(np.zeros(3), np.array([9.9, 0.0, 0.0]), (0, 1)), 9.9)
ELSE = Place(Spot(np.zeros(3), np.zeros(3), (0, 1)), None)


OVER = Place(HERE.spot, -5.0)
INCHES, MM = Units.FT_IN, Units.MM


@pytest.mark.parametrize(
    ("made", "place", "units", "words"),
    [
        # 9.9 mm = 0.3897 in, down to 0.38; 38.1 mm = 1.50 in
        ({"measured_mm": 9.9, "required_mm": 38.1}, HERE, INCHES, "0.38 in clear, 1.50 needed"),
        ({"measured_mm": 9.97, "required_mm": 38.12}, HERE, MM, "9.9 mm clear, 38.2 needed"),
        # an overlap is rounded up: 4.463 mm = 0.1757 in, 5.506 mm = 0.2168 in; 0.79375 mm = 0.03125 in
        ({"measured_mm": -4.463, "required_mm": 0.0}, OVER, INCHES, "0.18 in into each other"),
        (
            {"measured_mm": -5.506, "required_mm": 0.79375},
            OVER,
            INCHES,
            "0.22 in into each other, 0.04 needed",
        ),
        # 889 mm = 2'-11", 965.2 mm = 3'-2"
        ({"measured_mm": 889.0, "required_mm": 965.2}, ELSE, INCHES, "2'-11.00\", 3'-2.00\" needed"),
        # a most rounds the other way: 60 mm = 2.3622 in
        (
            {"measured_mm": 60.0, "required_mm": 50.8, "limit": "most"},
            ELSE,
            INCHES,
            "2.37 in, 2.00 at most",
        ),
        (
            {"measured": 2.0, "required": 0.0, "unit": "rods", "limit": "most"},
            ELSE,
            INCHES,
            "2 rods, 0 at most",
        ),
        ({}, None, INCHES, ""),
        (
            {"level": Level.TIGHT, "measured_mm": 40.0, "required_mm": 38.1, "tolerance_mm": 6.35},
            HERE,
            MM,
            "40.0 mm clear, 38.1 needed, placing may take 6.4",
        ),
    ],
)
def test_the_words_at_the_gap(made: dict[str, Any], place: Place | None, units: Units, words: str) -> None:
    assert reading(replace(BLANK, **made), place, units) == words


@pytest.fixture(scope="module")
def demo() -> Work:
    work = Work(load_site(DEMO / "reedbank.yaml"))
    work.judge(24)
    return work


def test_a_gap_is_drawn_between_points_as_far_apart_as_it_measures(demo: Work) -> None:
    drawn = 0
    for mark in demo.flagged:
        looked = demo.looked(mark)
        for k, fold in enumerate(looked.folds):
            place = looked.place(k)
            assert place is not None
            if place.gap is not None and place.gap > 0.0:
                assert place.spot.length == pytest.approx(place.gap, abs=1e-6)
                assert place.gap == pytest.approx(fold.worst.measured_mm, abs=1e-6)
                at = looked.pier.frame.points(place.spot.middle)
                assert np.allclose(at, fold.worst.at_mm, atol=1e-6)
                drawn += 1
    assert drawn == 5  # P4 twice, P8, P12 twice: the others overlap, or measure something else


def test_a_lap_is_no_gap_and_lies_along_its_bars(demo: Work) -> None:
    place = demo.looked("P17").place(0)
    assert place is not None
    assert place.gap is None
    assert place.spot.along is not None
    assert abs(place.spot.along[2]) == pytest.approx(1.0)


def test_a_finding_without_a_place_is_at_its_first_part(demo: Work) -> None:
    looked = demo.looked("P17")
    nowhere = replace(looked.folds[0].worst, at_mm=None, measured_mm=None)
    place = place_of(looked.pier, nowhere, looked.rows)
    assert place is not None
    assert place_of(looked.pier, replace(nowhere, parts=()), looked.rows) is None
