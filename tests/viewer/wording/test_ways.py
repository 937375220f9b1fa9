"""How far off, in words: whole steps by hand, and what is too little to name."""

from __future__ import annotations

from models.lengths import Units
from viewer.wording.ways import level_up, rise, small, way


def test_a_move_is_told_by_its_two_directions() -> None:
    assert way(-1.0, 2.0, Units.MM) == "1.0 mm W and 2.0 mm N"
    assert way(25.4, 0.0, Units.FT_IN) == "1.00 in E"
    assert way(0.05, -0.05, Units.FT_IN) == "nowhere"
    # 400 mm = 15.748 in, to the sixteenth 15 3/4 in: from a foot on in feet and inches
    assert way(0.0, -400.0, Units.FT_IN) == "1'-3 3/4\" S"


def test_a_difference_of_height_is_high_or_low() -> None:
    assert rise(-19.05, Units.FT_IN) == "0.75 in low"
    assert rise(2.0, Units.MM) == "2.0 mm high"
    assert rise(0.1, Units.MM) == ""
    assert rise(float("nan"), Units.FT_IN) == ""


def test_a_short_length_is_told_to_what_a_survey_tells_apart() -> None:
    assert small(12.7, Units.FT_IN) == "0.50 in"
    assert small(12.74, Units.MM) == "12.7 mm"


def test_a_level_that_nothing_may_lie_under_is_rounded_up() -> None:
    # 2 m = 78.740 in = 78 11.84/16 in: up to 78 12/16 = 6 ft 6 3/4 in
    assert level_up(2000.0, Units.FT_IN) == "6'-6 3/4\""
    assert level_up(25.4 * 78.75, Units.FT_IN) == "6'-6 3/4\""  # on a sixteenth it stays
    assert level_up(2000.01, Units.MM) == "2000.1 mm"
