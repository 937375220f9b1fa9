"""Single faults of rods and of what stands beside them, and every rule that each must break."""

from __future__ import annotations

from math import hypot, sqrt

from tests.faults.harness import INCH, Fault

NUT_1 = 1.012 * INCH
CORNERS_34 = 1.25 * INCH / sqrt(3.0)

FAULTS = [
    Fault(
        "a conduit through a rod",
        "square",
        {"embeds": [{"name": "conduit", "diameter": '1"', "points": [['4"', 0, '-35"'], ['4"', 0, '-24"']]}]},
        {"overlap": "embed/conduit:P1/rod/2"},
    ),
    Fault(
        "long tails beside the rods, EN",
        "free",
        {"cage/ties/tail": 150, "seat/rods/end": "plain", "seat/rods/head plate": None},
        {"rod to tie": "P1/tie"},
        {"rod to tie": 25.0 - 5.0 / sqrt(2.0) - 12.0 - 5.0},
    ),
    Fault(
        "a rod in a bar",
        "square",
        {"/beams/0/overhang": '14"', "seat/rods/pattern/at/1/0": '6 5/8"'},
        {"overlap": "vertical/4", "rod to tie": "P1/tie"},
    ),
    Fault(
        "a rod too near a bar",
        "square",
        {"/beams/0/overhang": '14"', "seat/rods/pattern/at/1/0": '5 1/2"'},
        {"rod to bar": "P1/vertical/4"},
    ),
    Fault(
        "a bar found beside a rod",
        "rectangle",
        # 15 clear of rod 2 in the direction (-3, 4) / 5
        {"seat/rods/end": "plain", "cage/verticals/at/+": [92 - 0.6 * 37.7, -52 + 0.8 * 37.7]},
        {"rod to bar": "rod/2:P1/vertical/9"},
        {"rod to bar": 15.0},
    ),
    Fault(
        "rods outside of the cage",
        "square",
        {
            "seat/rods/pattern/at": [['-4"', '10 1/4"'], ['4"', '10 1/4"']],
            "/beams/0/offset": '10 1/4"',
            "/beams/0/width": '3 1/2"',
            "required/beam hole edge": '1 1/2"',
        },
        {"cover": "P1/", "top ties": "rod"},
        {"cover": (12.0 - 0.75 - 10.25 - 0.5) * INCH},
    ),
    Fault(
        "rods too close on a plate",
        "rectangle",
        {"seat/rods/pattern/at": [[-92, -40], [92, -40], [92, 40], [-92, 40]]},
        {"rod spacing": "rod"},
        {"rod spacing": 80.0},
    ),
    Fault(
        "rods too close under a beam",
        "square",
        {"seat/rods/pattern/at": [['-1 3/4"', 0], ['1 3/4"', 0]]},
        {"rod spacing": "rod"},
        {"rod spacing": 3.5 * INCH},
    ),
    Fault(
        "rods too close by the site, EN",
        "free",
        {"seat/rods/pattern/spacing": [160, 90]},
        {"rod spacing": "rod"},
        {"rod spacing": 90.0},
    ),
    Fault(
        "anchors near the side",
        "anchors",
        {"required/rod edge": '9"'},
        {"rod edge": "anchor"},
        {"rod edge": 8.5 * INCH},
    ),
    Fault(
        "rods near the bay, EN",
        "free",
        {"required/rod edge": 230},
        {"rod edge": "rod"},
        {"rod edge": hypot(80.0, 300.0) - 100.0},
    ),
    Fault(
        "three rods under a column",
        "rectangle",
        {"seat/rods/pattern/at": [[-92, -52], [92, -52], [92, 52]]},
        {"column rods": "plate"},
        {"column rods": 3.0},
    ),
    Fault(
        "three rods under a post that is a column",
        "round",
        {"seat/column": True, "seat/rods/pattern/count": 3},
        {"column rods": "plate"},
        {"column rods": 3.0},
    ),
    Fault(
        "two bars under a column",
        "anchors",
        {"seat/column": True, "seat/rods/pattern/grid": [2, 1], "seat/template/opening/round": '2"'},
        {"column rods": "plate"},
        {"column rods": 2.0},
    ),
    Fault(
        "rods drawn shorter than specified",
        "rectangle",
        {"required/rod embedment": 600},
        {"rod embedment": "rod"},
        {"rod embedment": 500.0},
    ),
    Fault(
        "rods too short for the beam",
        "square",
        {"seat/rods/projection": '17"'},
        {"rod projection": "rod"},
        {"rod projection": (17.0 - 16.25 - 1.012) * INCH},
    ),
    Fault(
        "bars too short for the plate",
        "anchors",
        {"seat/rods/projection": '2 1/4"'},
        {"rod projection": "anchor"},
        {"rod projection": 0.25 * INCH},
    ),
    Fault(
        "rods too short for the plate, EN",
        "free",
        {"seat/rods/projection": 90},
        {"rod projection": "rod"},
        {"rod projection": 90.0 - 45.0 - 20.0 - 6.0 - 22.0},
    ),
    Fault(
        "short thread through a beam",
        "square",
        {"seat/rods/thread": '12"'},
        {"rod thread": "rod"},
        {"rod thread": (1.5 - 1.012 - 6.5) * INCH},
    ),
    Fault("short thread through a plate", "round", {"seat/rods/thread": '3"'}, {"rod thread": "rod"}),
]
