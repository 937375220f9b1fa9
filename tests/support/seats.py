"""Seats on one pier, judged: what the rules on rods, plates, beams and templates say of them."""

from __future__ import annotations

from typing import Any

from clash.judge import judge
from clash.report.findings import Finding, Level, Report
from tests.support.hardware import PLATE, RODS, beam_seat, pier, plate_seat, site

NUT_HEIGHT = 1.012 * 25.4
"""mm, a heavy hex nut on a 1 in rod at its greatest (ASME B18.2.2)."""
NUT_FLATS = 1.625 * 25.4
NUT_CORNERS = NUT_FLATS * 2.0 / 3.0**0.5
THREADED = RODS | {"thread": 150}
STATED: dict[str, Any] = {"concrete": {"aggregate": 19, "exposure": "weather"}}


def on_plate(
    seat: dict[str, Any] | None = None, *, rods: Any = None, plate: Any = None, **given: Any
) -> Report:
    """A pier of 600 mm square with a plate on four threaded rods, judged; differences merged in."""
    made = plate_seat(rods=THREADED | (rods or {}), plate=PLATE | (plate or {}), **(seat or {}))
    return judge(site(pier(seat=made, **(STATED | given))))


def under_beam(
    seat: dict[str, Any] | None = None, *, rods: Any = None, beam: Any = None, rules: str = "", **given: Any
) -> Report:
    """The same with a beam 133 wide and 400 deep along x, over two rods at +-100; differences merged in."""
    base = beam_seat(**(seat or {}))
    base["rods"] = base["rods"] | {"thread": 200} | (rods or {})
    run = {
        "name": "B1",
        "piers": ["P1"],
        "direction": 0,
        "width": 133,
        "depth": 400,
        "hole": 27,
        "overhang": 300,
    }
    made = {key: value for key, value in (run | (beam or {})).items() if value is not None}
    more: dict[str, Any] = {"site": {"name": "made", "units": "mm", "rules": rules}} if rules else {}
    return judge(site(pier(seat=base, **(STATED | given)), beams=[made], **more))


def eurocode(seat: dict[str, Any], **given: Any) -> Report:
    """A pier with a seat, judged by the other rule book."""
    info = {"name": "made", "units": "mm", "rules": "en-1992"}
    return judge(site(pier(seat=seat, **(STATED | given)), site=info))


def holds(report: Report, rule: str) -> list[Finding]:
    """The findings of one rule that are on HOLD."""
    return [f for f in report.findings if f.rule == rule and f.level is Level.HOLD]


def told(report: Report, rule: str, hold: bool) -> Finding | None:
    """Assert one HOLD of this rule, or none and at least one measurement that is met; the HOLD."""
    found = holds(report, rule)
    assert len(found) == int(hold), [f.says for f in found]
    if hold:
        return found[0]
    tight = sum(f.rule == rule and f.level is Level.TIGHT for f in report.findings)
    assert report.clear.get(rule, 0) + tight >= 1
    return None


def missing(report: Report, rule: str) -> Finding:
    """The one NOT CHECKED finding of a rule."""
    (found,) = (f for f in report.findings if f.rule == rule and f.level is Level.NOT_CHECKED)
    return found
