"""Findings on seats stay the same however the site is turned, moved, ordered or written."""

from __future__ import annotations

from math import cos, radians, sin
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from clash.judge import judge
from clash.report.findings import Level, Report
from models.build import build_site
from models.spec.site import SiteSpec
from tests.support.hardware import PLATE, beam_seat, pier, plate_seat
from tests.support.seats import STATED, THREADED

RULES = {
    "above concrete", "beam bearing", "beam face", "beam hole", "column rods", "grout bed", "hole edge",
    "hole size", "hole spacing", "nut room", "plate on concrete", "plug weld", "rod embedment",
    "rod projection", "rod thread", "template edge", "washer on seat", "washer over hole",
}  # fmt: skip


def bad_plate() -> dict[str, Any]:
    """A plate with something wrong by every rule on plates and rods."""
    post = {"name": "post", "outline": {"rectangle": [30, 60], "center": [120, 60]}, "height": 100}
    plate = {"above": 22, "holes": {"diameter": 60}, "carries": [post]}
    outline = {"outline": {"rectangle": [310, 610]}}
    template = plate_seat()["template"] | {"outline": {"square": 280}, "above": 10, "nuts": "both"}
    return plate_seat(
        rods=THREADED | {"thread": 60, "projection": 70, "pattern": {"grid": [2, 1], "spacing": 240}},
        plate=PLATE | plate | outline,
        washer={"size": 58, "thickness": 9.5, "hole": 30},
        template=template,
        column=True,
    )


def report(
    turn: float = 0.0, east: float = 0.0, north: float = 0.0, *, order: int = 1, units: str = "mm"
) -> Report:
    """Two piers under a beam and one with a plate, the site turned by `turn` degrees, then moved (mm)."""
    c, s = cos(radians(turn)), sin(radians(turn))
    seat = beam_seat()
    seat["rods"] = seat["rods"] | {"thread": 80, "embedment": 900}
    asked = {
        "beam_bearing": 610, "beam_hole_edge": 60, "beam_hole_end": 350, "beam_inside": 240,
        "rod_embedment": 1000, "hole_edge": 40, "hole_spacing": 250, "plug_weld": 12,
    }  # fmt: skip
    piers = [
        pier(mark, seat=made, required=asked, turn=turn, **(STATED | {"x": east + c * x, "y": north + s * x}))
        for mark, x, made in (("P1", 0.0, seat), ("P2", 3000.0, seat), ("P3", 6000.0, bad_plate()))
    ]
    beam = {"name": "B1", "piers": ["P1", "P2"], "width": 100, "depth": 400, "hole": 27, "overhang": 300}
    spec = {
        "site": {"name": "t", "units": units},
        "kinds": {"k": {"outline": {"square": 600}}},
        "piers": piers[::order],
        "beams": [beam | {"offset": 20}],
    }
    return judge(build_site(SiteSpec.model_validate(spec), "0" * 64))


def told(found: Report) -> dict[str, tuple[Level, float | None]]:
    """By id: the level, and the measurement to a hundred-thousandth of a millimeter."""
    return {
        f.id: (f.level, None if f.measured_mm is None else round(f.measured_mm, 5))
        for f in found.findings
        if f.rule in RULES
    }


@pytest.fixture(name="plain", scope="module")
def _plain() -> Report:
    return report()


def test_every_rule_on_seats_has_something_to_say(plain: Report) -> None:
    assert {f.rule for f in plain.findings if f.level is Level.HOLD} >= RULES


@settings(max_examples=12, deadline=None)
@given(turn=st.integers(-360_000, 360_000).map(lambda thousandths: thousandths / 1000.0))
def test_turning_changes_nothing(turn: float) -> None:
    assert told(report(turn)) == told(report())


@pytest.mark.parametrize("turn", [0.0, 33.0])
def test_survey_coordinates_cost_no_digit(plain: Report, turn: float) -> None:
    assert told(report(turn, 6.0e8, 4.5e9)) == told(plain)


def test_neither_units_nor_order_change_it(plain: Report) -> None:
    for other in (report(order=-1), report(units="ft-in")):
        assert told(other) == told(plain)
        assert other.checked == plain.checked
