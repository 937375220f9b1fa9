"""Figures of holes, plates, beams and templates, each at its limit and half a millimeter to either side.

Every limit is worked out here from the figure of its document and the clean site's own dimensions; d is the
reserve in mm.
"""

from __future__ import annotations

from math import hypot, sqrt

from tests.faults.harness import INCH, Limit, four, mm

NUT_1 = 1.012 * INCH
"""mm: a heavy hex nut of a 1 in rod is at most this high (ASME B18.2.2): 25.7048."""
CORNERS_34 = 1.25 * INCH / sqrt(3.0)
"""mm: half the way across the corners of a nut with 1 1/4 in flats: the flats over sqrt 3."""
CORNERS_36 = 36.0 / sqrt(3.0)

HOLES = [
    # 1/32 in all round; an anchor of No. 8 over its ribs of 0.05 in; holes of 46 beside their rods of 25.4.
    Limit(
        "play in the template",
        "square",
        "rod in hole",
        lambda d: {"seat/template/holes/diameter": mm(INCH + 2.0 * (INCH / 32.0 + d))},
        "template",
    ),
    Limit(
        "play in the beam",
        "square",
        "rod in hole",
        lambda d: {"/beams/0/hole": mm(INCH + 2.0 * (INCH / 32.0 + d))},
        "beam",
    ),
    Limit(
        "anchors over their ribs",
        "anchors",
        "rod in hole",
        lambda d: {"/required/plug weld": None, "seat/plate/holes/diameter": mm(1.1 * INCH + 2.0 * d)},
        "plate",
    ),
    Limit(
        "holes beside their rods",
        "rectangle",
        "rod in hole",
        lambda d: {"seat/plate/holes/pattern": {"at": four(92.0, 52.0), "offset": [mm(10.3 - d), 0]}},
        "plate",
    ),
    # Design Guide 1, Table 2.3: 1 13/16 in for 1 in, 1 5/16 for 3/4; the site's 34.
    Limit(
        "largest hole for 1 in",
        "rectangle",
        "hole size",
        lambda d: {"seat/plate/holes/diameter": mm(1.8125 * INCH - d)},
    ),
    Limit(
        "largest hole for 3/4 in",
        "round",
        "hole size",
        lambda d: {"seat/plate/holes/diameter": mm(1.3125 * INCH - d)},
    ),
    Limit(
        "largest hole by the site, EN",
        "free",
        "hole size",
        lambda d: {"seat/plate/holes/diameter": mm(34.0 - d)},
    ),
    # The site's 2 in, from a cutout between two holes 7 in apart; Table J3.4: 1 1/4 in for 1 in; the site's
    # 40.
    Limit(
        "holes beside a cutout",
        "anchors",
        "hole edge",
        lambda d: {"seat/plate/cutouts": [{"round": mm(2.0 * (1.5 * INCH - d)), "center": ['3 1/2"', 0]}]},
    ),
    Limit(
        "holes to the edge, 1 1/4 in",
        "rectangle",
        "hole edge",
        lambda d: {
            "seat/washer/size": 60,
            "seat/leveling washer/size": 60,
            "seat/plate/outline/rectangle": [320, mm(2.0 * (52.0 + 31.75 + d))],
        },
    ),
    Limit(
        "holes to the edge",
        "anchors",
        "hole edge",
        lambda d: {"seat/plate/outline/square": mm(2.0 * (5.5 * INCH + d))},
    ),
    Limit(
        "holes to the edge, EN",
        "free",
        "hole edge",
        lambda d: {"seat/plate/outline/rectangle": [mm(2.0 * (120.0 + d)), 260]},
    ),
    Limit(
        "spacing of holes", "rectangle", "hole spacing", lambda d: {"required/hole spacing": mm(104.0 - d)}
    ),
    Limit("spacing of holes, EN", "free", "hole spacing", lambda d: {"required/hole spacing": mm(120.0 - d)}),
    # J2.3b: plate 1 in + 5/16; + 1/8 more (2 1/4 x 5/8 is less); 4 holes of 1 3/8 apart.
    Limit(
        "least hole of a plug weld",
        "anchors",
        "plug weld",
        lambda d: {"seat/plate/holes/diameter": mm(1.3125 * INCH + d)},
    ),
    Limit(
        "largest hole of a plug weld",
        "anchors",
        "plug weld",
        lambda d: {"seat/plate/holes/diameter": mm(1.4375 * INCH - d)},
    ),
    Limit(
        "spacing of plug welds",
        "anchors",
        "plug weld",
        lambda d: {"seat/rods/pattern/spacing": mm(5.5 * INCH + d), "seat/template/opening/round": '3"'},
    ),
    # Practice: 1 in of plywood; from the opening of 60 across; to the edge; the site's 30.
    Limit(
        "plywood round the pour opening",
        "rectangle",
        "template edge",
        lambda d: {"seat/template/opening/round": mm(2.0 * (hypot(92.0, 52.0) - 13.5 - 25.4 - d))},
    ),
    Limit(
        "plywood to the edge",
        "rectangle",
        "template edge",
        lambda d: {"seat/template/outline/rectangle": [mm(2.0 * (92.0 + 13.5 + 25.4 + d)), 460]},
    ),
    Limit(
        "plywood to the edge, EN",
        "free",
        "template edge",
        lambda d: {"seat/template/outline/rectangle": [420, mm(2.0 * (60.0 + 13.0 + 30.0 + d))]},
    ),
]

ON_TOP = [
    # 1/4 in round the corners, to a round post; 8 to a flat one; washers smaller so that they clear the
    # posts.
    Limit(
        "a post beside the nuts",
        "round",
        "nut room",
        lambda d: {
            "seat/washer/size": '1 3/4"',
            "seat/plate/carries/0/outline/round": mm(2.0 * (4.25 * INCH - CORNERS_34 - d)),
        },
        "standing",
    ),
    Limit(
        "a stiffener beside the nuts, EN",
        "free",
        "nut room",
        lambda d: {
            "seat/plate/carries": [
                {
                    "name": "stiffener",
                    "height": 80,
                    "outline": {"rectangle": [mm(2.0 * (80.0 - CORNERS_36 - 8.0 - d)), 200]},
                }
            ]
        },
        "standing",
    ),
    # Square washers of 3 in on the beam; of 76 on the plate.
    Limit(
        "washers on the beam",
        "square",
        "washer on seat",
        lambda d: {"/beams/0/width": mm(3.0 * INCH + 2.0 * d), "required/beam hole edge": '1"'},
    ),
    Limit(
        "washers on the plate",
        "rectangle",
        "washer on seat",
        lambda d: {"seat/plate/outline/rectangle": [mm(2.0 * (92.0 + 38.0 + d)), 250]},
    ),
    Limit(
        "washers over their holes",
        "rectangle",
        "washer over hole",
        lambda d: {"seat/washer/size": mm(46.0 + 2.0 * d)},
        "washer",
    ),
    Limit(
        "leveling nuts over their holes, EN",
        "free",
        "washer over hole",
        lambda d: {"required/largest hole": 50, "seat/plate/holes/diameter": mm(2.0 * (CORNERS_36 - d))},
        "leveling-nut",
    ),
    # The flat top is 560 - 2 x 15; 24 in round less 2 x 3/4.
    Limit(
        "the plate on the flat",
        "rectangle",
        "plate on concrete",
        lambda d: {"seat/plate/outline/rectangle": [mm(530.0 - 2.0 * d), 250]},
        "plate",
    ),
    Limit(
        "the plate on the round flat",
        "round",
        "plate on concrete",
        lambda d: {"seat/plate/outline/square": mm(sqrt(2.0) * (11.25 * INCH - d))},
        "plate",
    ),
    Limit(
        "grout of its own on the flat",
        "rectangle",
        "plate on concrete",
        lambda d: {"seat/grout/outline": {"rectangle": [mm(530.0 - 2.0 * d), 250]}},
        "grout",
    ),
    Limit("least grout", "rectangle", "grout bed", lambda d: {"seat/grout/least": mm(45.0 - d)}),
    Limit("most grout", "rectangle", "grout bed", lambda d: {"seat/grout/most": mm(45.0 + d)}),
    Limit(
        "least grout under a welded plate",
        "anchors",
        "grout bed",
        lambda d: {"seat/plate/above": mm(INCH + d)},
    ),
    Limit(
        "leveling nuts over the concrete",
        "rectangle",
        "above concrete",
        lambda d: {"seat/plate/above": mm(NUT_1 + 6.0 + d)},
        "leveling-nut",
    ),
    Limit(
        "nuts of the template over the concrete",
        "square",
        "above concrete",
        lambda d: {"seat/template/above": mm(NUT_1 + d)},
        "template-nut",
    ),
    Limit(
        "leveling nuts over the concrete, EN",
        "free",
        "above concrete",
        lambda d: {"seat/plate/above": mm(22.0 + d), "seat/grout/least": 20, "seat/rods/thread": "170"},
        "leveling-nut",
    ),
    # A pier of 24 in under 5 1/4 in of beam, bearing on 24 less 2 x 3/4 in.
    Limit(
        "a beam as wide as the pier",
        "square",
        "beam face",
        lambda d: {"/beams/0/width": mm(24.0 * INCH - 2.0 * d)},
        "beam",
    ),
    Limit(
        "a beam inside the faces by the site's figure",
        "square",
        "beam face",
        lambda d: {"required/beam inside": mm((24.0 - 5.25) / 2.0 * INCH - d)},
        "beam",
    ),
    Limit(
        "bearing of the beam",
        "square",
        "beam bearing",
        lambda d: {"required/beam bearing": mm(22.5 * INCH - d)},
        "beam",
    ),
    Limit(
        "bearing of a beam that ends on the pier",
        "square",
        "beam bearing",
        # it runs 11 1/4 in past the center at one end and to the flat's edge at the other
        lambda d: {
            "/beams/0/overhang": ['12"', mm(9.0 * INCH + d)],
            "required/beam bearing": mm(20.25 * INCH),
            "required/beam hole end": '4"',
        },
        "beam",
    ),
    Limit(
        "holes to the side of the beam",
        "square",
        "beam hole",
        lambda d: {"/beams/0/width": mm(4.0 * INCH + 2.0 * d)},
        "beam",
    ),
    Limit(
        "holes to the end of the beam",
        "square",
        "beam hole",
        lambda d: {"/beams/0/overhang": [mm(11.0 * INCH + d), '12"']},
        "beam",
    ),
    Limit(
        "holes to a splice of the beam",
        "square",
        "beam hole",
        lambda d: {"/beams/0/splices": [mm(11.0 * INCH + d)]},
        "beam",
    ),
    # Between the ties' inner face at 7 1/4 in and the plywood at 3 1/2 in; through an opening of 5 in.
    Limit(
        "the hose beside the template",
        "square",
        "pour opening",
        lambda d: {"/placing/hose": mm(3.75 * INCH - d)},
    ),
    Limit(
        "the vibrator through the template",
        "anchors",
        "pour opening",
        lambda d: {"/placing/vibrator": mm(5.0 * INCH - d)},
    ),
    Limit(
        "the hose through the template, EN",
        "free",
        "pour opening",
        lambda d: {"seat/template/outline/rectangle": [660, 580], "/placing/hose": mm(50.0 - d)},
    ),
]

LIMITS = [*HOLES, *ON_TOP]
