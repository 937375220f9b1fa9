"""Findings of real geometry stay the same however the site is turned, moved, ordered or written."""

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

INCH = 25.4


def kind() -> dict[str, Any]:
    """A 24 in pier with rods too near its verticals, too little cover, and no word of its aggregate."""
    return {
        "outline": {"square": 24 * INCH},
        "concrete": {
            "exposure": "weather",
            "cover": {"side": 4 * INCH, "top": 2 * INCH, "bottom": 2 * INCH},
            "chamfer": {"top": 0.75 * INCH, "corners": 0.75 * INCH},
        },
        "required": {"rod_bar_clear": 2 * INCH},
        "cage": {
            "size": 18 * INCH,
            "verticals": {"size": "No. 6", "count": 12, "bottom": 2 * INCH},
            "ties": {"size": "No. 4", "spacing": 8 * INCH, "top": 2 * INCH},
            "dowels": {
                "size": "No. 6",
                "count": 4,
                "height": 30 * INCH,
                "lap": 40 * INCH,
                "embed": 18 * INCH,
            },
        },
        "seat": {
            "type": "none",
            "rods": {
                "diameter": INCH,
                "pattern": {"at": [[5 * INCH, 5 * INCH], [-7 * INCH, 1 * INCH]]},
                "embedment": 20 * INCH,
                "projection": 4 * INCH,
            },
        },
    }


def report(
    turn: float = 0.0, east: float = 0.0, north: float = 0.0, *, order: int = 1, units: str = "mm"
) -> Report:
    """The report on two piers 3 m apart, the whole site turned by `turn` degrees, then moved (mm)."""
    c, s = cos(radians(turn)), sin(radians(turn))
    piers = [
        kind()
        | {"mark": mark, "kind": "k", "x": east + c * x, "y": north + s * x, "top": 900, "bottom": 0}
        | {"turn": turn}
        for mark, x in (("P1", 0.0), ("P2", 3000.0))
    ]
    spec = {"site": {"name": "t", "units": units}, "kinds": {"k": kind()}, "piers": piers[::order]}
    return judge(build_site(SiteSpec.model_validate(spec), "0" * 64))


def told(found: Report) -> dict[str, tuple[Level, float | None]]:
    """By id: the level, and the measurement to a millionth of a millimeter."""
    return {
        f.id: (f.level, None if f.measured_mm is None else round(f.measured_mm, 6)) for f in found.findings
    }


@pytest.fixture(name="plain", scope="module")
def _plain() -> Report:
    return report()


def test_the_site_has_findings_of_many_kinds(plain: Report) -> None:
    rules = {f.rule for f in plain.findings}
    assert {"rod to bar", "cover", "dowel lap", "bar spacing"} <= rules
    assert {f.level for f in plain.findings} == {Level.HOLD, Level.NOT_CHECKED}


@pytest.mark.parametrize(
    ("turn", "east", "north"),
    [(45.0, 0.0, 0.0), (90.0, 0.0, 0.0), (-17.3, 0.0, 0.0), (0.0, 6e8, 4.5e9), (123.4, 6e8, 4.5e9)],
)
def test_turned_and_moved_to_survey_coordinates(
    plain: Report, turn: float, east: float, north: float
) -> None:
    other = report(turn, east, north)
    assert told(other) == told(plain)
    assert (other.checked, other.not_checked, other.clear) == (plain.checked, plain.not_checked, plain.clear)
    assert [f.id for f in other.findings] == [f.id for f in plain.findings]


@settings(max_examples=10, deadline=None)
@given(st.integers(-180_000, 180_000), st.floats(-1e9, 1e9), st.floats(-5e9, 5e9))
def test_turned_and_moved_anyhow(plain: Report, turn: int, east: float, north: float) -> None:
    assert told(report(turn / 1000.0, east, north)) == told(plain)


def test_points_are_in_site_axes(plain: Report) -> None:
    quarter = report(90.0, 1000.0, 2000.0)
    before = {f.id: f.at_mm for f in plain.findings}
    moved = [f for f in quarter.findings if f.at_mm is not None]
    assert moved
    for finding in moved:
        was = before[finding.id]
        assert was is not None
        assert finding.at_mm == pytest.approx((1000.0 - was[1], 2000.0 + was[0], was[2]), abs=1e-5)


def test_in_another_order_and_in_other_units(plain: Report) -> None:
    assert told(report(order=-1)) == told(plain)
    assert [f.id for f in report(order=-1).findings] == [f.id for f in plain.findings]
    inches = report(units="ft-in")
    assert told(inches) == told(plain)
    assert [f.says for f in inches.findings] != [f.says for f in plain.findings]


def test_one_pier_alone_is_judged_as_among_others(plain: Report) -> None:
    alone = {key: value for key, value in told(plain).items() if ":P2/" in key or ":P2:" in key}
    c = kind() | {"mark": "P2", "kind": "k", "x": 3000.0, "y": 0.0, "top": 900, "bottom": 0}
    spec = {"site": {"name": "t", "units": "mm"}, "kinds": {"k": kind()}, "piers": [c]}
    assert told(judge(build_site(SiteSpec.model_validate(spec), "0" * 64))) == alone
