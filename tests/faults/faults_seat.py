"""Single faults of holes, plates, beams and templates in clean sites, and every rule that each must break."""

from __future__ import annotations

from math import hypot, sqrt

from tests.faults.harness import INCH, Fault

NUT_1 = 1.012 * INCH
CORNERS_34 = 1.25 * INCH / sqrt(3.0)

HOLES = [
    Fault(
        "a beam with a hole missing",
        "square",
        {"/beams/0/holes at": [['-4"', 0]]},
        {"rod without a hole": "B1/beam:P1/rod/2"},
    ),
    Fault(
        "a beam with a hole too many",
        "square",
        {"/beams/0/holes at": [['-4"', 0], ['4"', 0], [0, 0]]},
        {"hole without a rod": "B1/beam"},
    ),
    Fault(
        "a beam with a hole 2 in off",
        "square",
        {"/beams/0/holes at": [['-4"', 0], ['2"', 0]]},
        {"rod without a hole": "B1/beam:P1/rod/2", "hole without a rod": "B1/beam"},
    ),
    Fault(
        "a plate with a hole 60 off",
        "rectangle",
        {"seat/plate/holes/pattern": {"at": [[-92, -52], [32, -52], [92, 52], [-92, 52]]}},
        {"rod without a hole": "P1/plate/1:P1/rod/2", "hole without a rod": "P1/plate/1"},
    ),
    Fault(
        "a plate with a hole missing",
        "anchors",
        {
            "seat/plate/holes/pattern": {
                "at": [['-3 1/2"', '-3 1/2"'], ['3 1/2"', '-3 1/2"'], ['3 1/2"', '3 1/2"']]
            }
        },
        {"rod without a hole": "P1/anchor/3"},
    ),
    Fault(
        "a plate with eight holes for four rods",
        "round",
        {"seat/plate/holes/pattern": {"circle": '9"', "count": 8}},
        {"hole without a rod": "P1/plate/1"},
    ),
    Fault(
        "a template with a hole missing",
        "rectangle",
        {"seat/template/holes/pattern": {"at": [[-92, -52], [92, -52], [92, 52]]}},
        {"rod without a hole": "P1/rod/4"},
    ),
    Fault(
        "a template drilled for other rods",
        "free",
        {"seat/template/holes/pattern": {"grid": [2, 2], "spacing": [100, 120]}},
        {"rod without a hole": "P1/template", "hole without a rod": "P1/template"},
    ),
    Fault(
        "a template drilled too small",
        "rectangle",
        {"seat/template/holes/diameter": 25},
        {"rod in hole": "template"},
        {"rod in hole": -0.2},
    ),
    Fault(
        "a beam drilled beside its rods",
        "square",
        {"/beams/0/holes at": [['-4"', 0], ['4"', '1/4"']]},
        {"rod in hole": "B1/beam:P1/rod/2"},
        {"rod in hole": (1.0 / 32.0 - 0.25) * INCH},
    ),
    Fault(
        "holes that do not pass the ribs",
        "anchors",
        {"seat/plate/holes/diameter": '1 1/16"'},
        {"rod in hole": "plate", "plug weld": "plate"},
        {"rod in hole": (1.0625 - 1.1) / 2 * INCH},
    ),
    Fault(
        "a plate turned on its rods",
        "rectangle",
        {"seat/plate/holes/pattern": {"at": [[-92, -52], [92, -52], [92, 52], [-92, 52]], "turn": 8}},
        # 105.68 out, 8 degrees: 2 x 105.68 x sin 4 degrees = 14.74 off, and 10.3 of play
        {"rod in hole": "plate"},
        {"rod in hole": 10.3 - 2.0 * hypot(92.0, 52.0) * 0.0697564737},
    ),
    Fault(
        "holes too large",
        "round",
        {"seat/plate/holes/diameter": '1 1/2"'},
        {"hole size": "plate"},
        {"hole size": 1.5 * INCH},
    ),
    Fault(
        "holes too large by the site, EN",
        "free",
        {"seat/plate/holes/diameter": 38},
        {"hole size": "plate"},
        {"hole size": 38.0},
    ),
    Fault(
        "a plate cut too small",
        "round",
        {"seat/plate/outline/square": '8 1/4"'},
        {"hole edge": "plate", "washer on seat": "washer"},
        {"hole edge": (4.125 - 4.5 / sqrt(2.0)) * INCH},
    ),
    Fault(
        "a cutout beside a hole",
        "anchors",
        {"seat/plate/cutouts": [{"round": '4"', "center": ['3 1/2"', 0]}]},
        {"hole edge": "plate"},
        {"hole edge": 1.5 * INCH},
    ),
    Fault(
        "holes too close by the site",
        "rectangle",
        {"required/hole spacing": 110},
        {"hole spacing": "plate"},
        {"hole spacing": 104.0},
    ),
    Fault(
        "a second hole beside each",
        "rectangle",
        {"seat/plate/holes/pattern": {"at": [[-92, -52], [92, -52], [92, 52], [-92, 52], [-92, 0]]}},
        {"hole without a rod": "plate", "hole spacing": "plate"},
        {"hole spacing": 52.0},
    ),
    Fault(
        "a thin plate and thin plug welds",
        "anchors",
        {"seat/plate/thickness": '1/2"', "required/plug weld": '1/2"'},
        {"plug weld": "plate"},
        {"plug weld": 1.375 * INCH},
    ),
    Fault(
        "a wide opening in the template",
        "anchors",
        {"seat/template/opening/round": '7"'},
        {"template edge": "template"},
        {"template edge": (3.5 * sqrt(2.0) - 0.625 - 3.5) * INCH},
    ),
    Fault(
        "a small template",
        "round",
        {"seat/template/outline/round": '11 1/2"'},
        {"template edge": "template"},
        {"template edge": (5.75 - 4.5 - 13.0 / 32.0) * INCH},
    ),
]

ON_TOP = [
    Fault(
        "a post too thick for its nuts",
        "round",
        {"seat/plate/carries/0/outline/round": '7 1/4"'},
        {"nut room": "standing", "overlap": "standing"},
        {"nut room": 4.5 * INCH - 3.625 * INCH - CORNERS_34, "overlap": -0.125 * INCH},
    ),
    Fault(
        "nuts too close by the site, EN",
        "free",
        {"required/nut room": 90},
        {"nut room": "nut"},
        {"nut room": 120.0 - 2.0 * 36.0 / sqrt(3.0)},
    ),
    Fault(
        "washers off a narrow beam",
        "square",
        {"/beams/0/width": '2 1/2"', "required/beam hole edge": '1"'},
        {"washer on seat": "washer"},
        {"washer on seat": -0.25 * INCH},
    ),
    Fault(
        "washers off a small plate, EN",
        "free",
        {"seat/plate/outline/rectangle": [210, 260], "required/hole edge": 20},
        {"washer on seat": "washer"},
        {"washer on seat": -3.0},
    ),
    Fault(
        "washers lost in their holes",
        "round",
        {"seat/washer/size": '1 1/4"'},
        {"washer over hole": "washer"},
        {"washer over hole": -INCH / 32.0},
    ),
    Fault(
        "a beam drilled too wide for its washers",
        "square",
        {"/beams/0/hole": '3 1/4"'},
        {"washer over hole": "washer"},
        {"washer over hole": -0.125 * INCH},
    ),
    Fault(
        "a plate that hangs over",
        "round",
        {"seat/plate/outline/square": '17"'},
        {"plate on concrete": "plate"},
        {"plate on concrete": (11.25 - 8.5 * sqrt(2.0)) * INCH},
    ),
    Fault(
        "shims at the edge",
        "anchors",
        {"seat/shim/center": ['10 1/2"', 0]},
        {"plate on concrete": "shim"},
        {"plate on concrete": -0.75 * INCH},
    ),
    Fault(
        "a thick bed of grout",
        "round",
        {"seat/plate/above": '3"'},
        {"grout bed": "plate"},
        {"grout bed": 3 * INCH},
    ),
    Fault(
        "a thin bed of grout",
        "anchors",
        {"seat/plate/above": '3/4"'},
        {"grout bed": "plate"},
        {"grout bed": 0.75 * INCH},
    ),
    Fault(
        "a low template",
        "rectangle",
        {"seat/template/above": 10},
        {"above concrete": "template-nut"},
        {"above concrete": 10.0 - NUT_1},
    ),
    Fault(
        "a low plate on leveling nuts",
        "round",
        {"seat/plate/above": '3/4"'},
        {"above concrete": "leveling-nut", "grout bed": "plate"},
        {"above concrete": (0.75 - 0.25 - 0.758) * INCH},
    ),
    Fault(
        "a beam wider than its pier",
        "square",
        {"/beams/0/width": '26"'},
        {"beam face": "beam"},
        {"beam face": -INCH},
    ),
    Fault(
        "a beam too near the face by the site",
        "square",
        {"required/beam inside": '10"'},
        {"beam face": "beam"},
        {"beam face": 9.375 * INCH},
    ),
    Fault(
        "too little bearing",
        "square",
        {"required/beam bearing": '24"'},
        {"beam bearing": "beam"},
        {"beam bearing": 22.5 * INCH},
    ),
    Fault(
        "a beam that stops short",
        "square",
        {
            "/beams/0/overhang": ['12"', '1/2"'],
            "seat/rods/pattern/at": [['-4"', 0]],
            "required/beam hole end": '4"',
        },
        {"beam bearing": "beam"},
        {"beam bearing": 11.75 * INCH},
    ),
    Fault(
        "a hole near the end of the beam",
        "square",
        {"/beams/0/overhang": '8"'},
        {"beam hole": "beam"},
        {"beam hole": 4 * INCH},
    ),
    Fault(
        "a hole near a splice",
        "square",
        {"/beams/0/splices": ['1"']},
        {"beam hole": "beam"},
        {"beam hole": 3 * INCH},
    ),
    Fault(
        "a hole near the side of the beam",
        "square",
        {"/beams/0/width": '3 1/2"'},
        {"beam hole": "beam"},
        {"beam hole": 1.75 * INCH},
    ),
    Fault(
        "a hose too thick",
        "square",
        {"/placing/hose": '6"'},
        {"pour opening": "template"},
        {"pour opening": 3.75 * INCH},
    ),
    Fault(
        "a vibrator too thick",
        "anchors",
        {"/placing/vibrator": '5 1/2"'},
        {"pour opening": "template"},
        {"pour opening": 5 * INCH},
    ),
]

FAULTS = [*HOLES, *ON_TOP]
STILL_CLEAN = [
    (
        "holes by the later Manual",
        "rectangle",
        {"required/hole table": "manual-15", "seat/plate/holes/diameter": 47},
    ),
    ("four rods under a post that is a column", "round", {"seat/column": True}),
    ("a beam drilled where it is listed", "square", {"/beams/0/holes at": [['-4"', 0], ['4"', 0]]}),
]
