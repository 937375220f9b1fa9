"""Figures of rods and of what stands beside them, each at its limit and half a millimeter to either side.

Every limit is worked out here from the figure of its document and the clean site's own dimensions; d is the
reserve in mm.
"""

from __future__ import annotations

from math import hypot, sqrt

from tests.faults.harness import INCH, Limit, four, mm, pipe

NUT_1 = 1.012 * INCH
"""mm: a heavy hex nut of a 1 in rod is at most this high (ASME B18.2.2): 25.7048."""
CORNERS_34 = 1.25 * INCH / sqrt(3.0)
"""mm: half the way across the corners of a nut with 1 1/4 in flats: the flats over sqrt 3."""
CORNERS_36 = 36.0 / sqrt(3.0)

OVERLAP = [
    # A conduit of 1 in beside rod 2 at 4 in, below the top ties; rod and conduit 1/2 in in radius each.
    Limit(
        "a conduit beside a rod",
        "square",
        "overlap",
        lambda d: {"embeds": [pipe(INCH, 5.0 * INCH + d, 0.0, -35 * INCH, -24 * INCH)]},
        "embed/conduit:P1/rod/2",
    ),
    # A block of 40 below the bar of 20 in the middle of a face, whose skin is at 114; between two ties.
    Limit(
        "a block beside a bar",
        "rectangle",
        "overlap",
        lambda d: {
            "embeds": [
                {
                    "name": "block",
                    "outline": {"square": 40, "center": [0, mm(94.0 - d)]},
                    "bottom": -800,
                    "top": -700,
                }
            ]
        },
        "embed/block:P1/vertical/6",
    ),
    # A bar that presses into its ties: half a millimeter is the room for fitting.
    Limit(
        "a bar pressed into its ties",
        "rectangle",
        "overlap",
        lambda d: {"cage/verticals/at/5": [0, mm(124.5 - d)]},
        "vertical/6",
    ),
    # A pipe of 30 across two rods of 24: the rods stand 80 from the middle.
    Limit(
        "a conduit beside a rod, EN",
        "free",
        "overlap",
        lambda d: {"embeds": [pipe(30.0, 80.0 - 12.0 - 15.0 - d, 60.0, -200, -100)]},
        "embed/conduit:P1/rod",
    ),
]

RODS = [
    # The site's own 1 in, from a No. 6 bar 6 7/8 in out; nothing at the foot.
    Limit(
        "a rod beside a bar",
        "square",
        "rod to bar",
        lambda d: {
            "/beams/0/overhang": '14"',
            "seat/rods/end": "plain",
            "seat/rods/pattern/at/1/0": mm((6.875 - 0.375 - 0.5 - 1.0) * INCH - d),
        },
        "rod/2:P1/vertical/4",
    ),
    # Practice: 4/3 of the aggregate of 20; a bar of 20 as found, beside a rod of 25.4 with nothing at its
    # foot.
    Limit(
        "a bar beside a rod",
        "rectangle",
        "rod to bar",
        lambda d: {
            "seat/rods/end": "plain",
            "cage/verticals/at/+": [
                mm(92.0 - 0.6 * (22.7 + 80.0 / 3.0 + d)),
                mm(-52.0 + 0.8 * (22.7 + 80.0 / 3.0 + d)),
            ],
        },
        "rod/2:P1/vertical/9",
    ),
    # 5 mm and the aggregate: the plate of 60 at a rod's foot (80, 60), to the bar of 16 at 185 - 18 on the
    # x axis.
    Limit(
        "feet beside bars, EN",
        "free",
        "rod to bar",
        lambda d: {"cage/dowels": None, "required/rod bar clear": mm(hypot(167.0 - 110.0, 30.0) - 8.0 - d)},
        "head",
    ),
    # A rod beside the long leg of a tie, 7 1/4 in out, where no bar stands.
    Limit(
        "a rod beside a tie",
        "square",
        "rod to tie",
        lambda d: {
            "/beams/0/overhang": '14"',
            "cage/verticals": {"size": "No. 7", "per face": {"x": 3, "y": 2}, "bottom": '2 1/2"'},
            "seat/rods/end": "plain",
            "seat/rods/pattern/at/1/0": mm((7.25 - 0.5 - 0.5) * INCH - d),
        },
        "rod/2:P1/tie",
    ),
    # Tails run beside the diagonal of their corner, 20 + 5 off it: the corner's bend is centered at (155,
    # 140), and
    # a rod of 24 at (80, 60) is 5 / sqrt 2 off the diagonal.
    Limit(
        "long tails beside rods, EN",
        "free",
        "rod to tie",
        lambda d: {
            "cage/ties/tail": 150,
            "seat/rods/end": "plain",
            "seat/rods/head plate": None,
            "required/rod tie clear": mm(25.0 - 5.0 / sqrt(2.0) - 12.0 - 5.0 - d),
        },
        "P1/tie",
    ),
    # Table 17.9.2(a): 4 rods of 25.4; torqued, 6 of 3/4 in, on a circle.
    Limit(
        "rods 4 diameters apart",
        "rectangle",
        "rod spacing",
        lambda d: {"seat/rods/pattern/at": four(92.0, (101.6 + d) / 2.0)},
        "rod",
    ),
    Limit(
        "torqued rods 6 diameters apart",
        "round",
        "rod spacing",
        lambda d: {
            "seat/rods/torqued": True,
            "seat/rods/pattern/circle": mm((4.5 * INCH + d) * sqrt(2.0)),
            "seat/template/opening/round": '2"',
            "embeds": [],
        },
        "rod",
    ),
    Limit(
        "rods by the site's own figure, EN",
        "free",
        "rod spacing",
        lambda d: {"seat/rods/pattern/spacing": [160, mm(96.0 + d)]},
        "rod",
    ),
    # An anchor 3 1/2 in from the middle of 24; a rod of the free site to the bay of radius 100 about (0,
    # 360).
    Limit(
        "anchors to the side",
        "anchors",
        "rod edge",
        lambda d: {"required/rod edge": mm(8.5 * INCH - d)},
        "anchor",
    ),
    Limit(
        "rods to the bay in the side, EN",
        "free",
        "rod edge",
        lambda d: {"required/rod edge": mm(hypot(80.0, 300.0) - 100.0 - d)},
        "rod",
    ),
    # 6 x 3/4 in, and the site's own figure for it.
    Limit(
        "rods to the round side",
        "round",
        "rod edge",
        lambda d: {"required/rod edge": mm(7.5 * INCH - d)},
        "rod",
    ),
    Limit(
        "embedment of rods",
        "square",
        "rod embedment",
        lambda d: {"required/rod embedment": mm(36.0 * INCH - d)},
    ),
    Limit(
        "embedment of four rods",
        "rectangle",
        "rod embedment",
        lambda d: {"required/rod embedment": mm(500.0 - d)},
    ),
    Limit(
        "embedment of anchors",
        "anchors",
        "rod embedment",
        lambda d: {"required/rod embedment": mm(24.0 * INCH - d)},
    ),
    # Plate 45 + 20, washer 9.5, nut; beam 16 in, washer 1/4, nut; plate 1 1/2 and 1 in, where a bar is
    # welded.
    Limit(
        "rods through a plate",
        "rectangle",
        "rod projection",
        lambda d: {"seat/rods/projection": mm(45.0 + 20.0 + 9.5 + NUT_1 + d)},
    ),
    Limit(
        "rods through a beam",
        "square",
        "rod projection",
        lambda d: {"seat/rods/projection": mm(16.25 * INCH + NUT_1 + d)},
    ),
    Limit(
        "bars through a plate",
        "anchors",
        "rod projection",
        lambda d: {"seat/rods/projection": mm(2.5 * INCH + d)},
    ),
    Limit(
        "rods with 5 of thread showing, EN",
        "free",
        "rod projection",
        lambda d: {"seat/rods/projection": mm(45.0 + 20.0 + 6.0 + 22.0 + 5.0 + d)},
    ),
    # Nuts below the template at 1 1/2 in; leveling nuts at 45 less washer 6; template at 40 and 5 to spare.
    Limit(
        "thread down to the template",
        "square",
        "rod thread",
        lambda d: {"seat/rods/thread": mm(18.5 * INCH - (1.5 * INCH - NUT_1) + d)},
    ),
    Limit(
        "thread down to the leveling nuts",
        "rectangle",
        "rod thread",
        lambda d: {"seat/rods/thread": mm(130.0 - (45.0 - 6.0 - NUT_1) + d)},
    ),
    Limit(
        "thread to spare, EN",
        "free",
        "rod thread",
        lambda d: {"seat/rods/thread": mm(130.0 - (40.0 - 22.0) + 5.0 + d)},
    ),
]

LIMITS = [*OVERLAP, *RODS]
