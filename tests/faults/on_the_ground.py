"""Piers among each other and on their grade beams: faults, and figures at their limits.

A pier stands on its grade beam to within the fitting of 0.5 mm; two piers may stand face to face.
"""

from __future__ import annotations

from math import cos, radians, sin

from tests.faults.harness import Change, Fault, Limit, mm


def beside(x: float, y: float, turn: float, apart: float, height: float) -> Change:
    """A second pier of the kind, `apart` mm from center to center along the first one's x."""
    way = radians(turn)
    second = {
        "mark": "P2",
        "x": mm(x + apart * cos(way)),
        "y": mm(y + apart * sin(way)),
        "top": mm(height),
        "bottom": 0,
        "kind": "k",
        "turn": turn,
    }
    return {"/piers/+": second}


LIMITS = [
    Limit(
        "a grade beam lower than its pier",
        "square",
        "on grade beam",
        lambda d: {"/grade beams/0/top": mm(d - 0.5)},
        "GB1",
    ),
    Limit(
        "a grade beam higher than its pier",
        "free",
        "on grade beam",
        lambda d: {"/grade beams/0/top": mm(0.5 - d)},
        "GB1",
    ),
    Limit(
        "rectangles side by side",
        "rectangle",
        "pier to pier",
        lambda d: beside(12000.0, 8000.0, -15.0, 560.0 + d, 1500.0),
    ),
    Limit(
        "round ones side by side",
        "hoops",
        "pier to pier",
        lambda d: beside(0.0, 0.0, 7.0, 600.0 + d, 2400.0),
    ),
]
FAULTS = [
    Fault(
        "a row of the schedule twice",
        "rectangle",
        beside(12000.0, 8000.0, -15.0, 0.0, 1500.0),
        {"pier to pier": "P1/concrete"},
    ),
    Fault(
        "a grade beam a foot too low",
        "anchors",
        {"/grade beams/0/top": "-1'"},
        {"on grade beam": "GB1/grade-beam"},
        {"on grade beam": 304.8},
    ),
]
