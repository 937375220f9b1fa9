"""Single faults of cover in clean sites, and every rule that each must break."""

from __future__ import annotations

from math import sqrt

from tests.faults.harness import INCH, Fault

FAULTS = [
    Fault(
        "a column cast against the ground",
        "column",
        {"concrete/exposure": "ground"},
        {"cover": "P1/concrete"},
    ),
    Fault(
        "a cage shifted in its form",
        "square",
        {"cage/offset": [0, '-1 1/2"']},
        {"cover": "/concrete/side"},
        {"cover": 2.75 * INCH},
    ),
    Fault(
        "hoops nearer than the least, EN", "hoops", {"cage/size": 520}, {"cover": "/hoop/"}, {"cover": 40.0}
    ),
    Fault(
        "bars to the top of the forms",
        "round",
        {"cage/verticals/top": '1"'},
        {"cover": "/vertical/"},
        {"cover": INCH},
    ),
    Fault(
        "bars on the ground",
        "rectangle",
        {"cage/verticals/bottom": 0},
        {"cover": "/vertical/"},
        {"cover": 0.0},
    ),
    Fault(
        "a conduit outside of the hoops",
        "round",
        {"embeds/0/points": [[0, '-10 1/2"', 0], [0, '-10 1/2"', '-30"']]},
        {"cover": "embed/conduit"},
        {"cover": 0.25 * INCH},
    ),
    Fault(
        "rods too long for the pier, EN",
        "free",
        {"seat/rods/embedment": 1150},
        {"cover": "P1/head"},
        {"cover": 1200.0 - 1150.0 - 10.0 - 22.0},
    ),
    Fault(
        "the grade beam steps up",
        "square",
        {"/piers/0/bottom": "2'-6\"", "/grade beams/0/top": "2'-6\"", "cage/dowels/height": "1'-8\""},
        {"cover": "P1/", "rod embedment": "rod", "dowel lap": "dowel"},
        {"rod embedment": 30.0 * INCH, "dowel lap": 17.5 * INCH},
    ),
    Fault(
        "a narrow grade beam",
        "anchors",
        {"/grade beams/0/width": "3'-0\""},
        {"grade beam cover": "dowel"},
        {"grade beam cover": (18.0 - 5.0 * sqrt(2.0) - 2.625 - 9.0) * INCH},
    ),
    Fault(
        "a shallow grade beam",
        "square",
        {"/grade beams/0/depth": "1'-6\""},
        {"grade beam cover": "dowel"},
        {"grade beam cover": 0.0},
    ),
    Fault(
        "a shallow grade beam, EN",
        "free",
        {"/grade beams/0/depth": 340},
        {"grade beam cover": "dowel"},
        {"grade beam cover": 40.0},
    ),
]
