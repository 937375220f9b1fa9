"""Figures of cover, in the pier and in the grade beam, each at its limit and half a millimeter either side.

Every limit is worked out here from the figure of its document and the clean site's own dimensions; d is the
reserve in mm.
"""

from __future__ import annotations

from math import sqrt

from tests.faults.harness import INCH, Limit, mm, pipe

LIMITS = [
    # (24 - 15.5) / 2 = 4 1/4 in of cover on the ties, against the site's own figure.
    Limit(
        "ties to the side, as specified",
        "square",
        "cover",
        lambda d: {"concrete/cover/side": mm(4.25 * INCH - d)},
        "/tie/",
    ),
    Limit(
        "ends of bars to the top",
        "square",
        "cover",
        lambda d: {"cage/verticals/top": mm(3.0 * INCH + d)},
        "/vertical/",
    ),
    Limit(
        "ends of bars to the bottom",
        "anchors",
        "cover",
        lambda d: {"cage/verticals/bottom": mm(2.5 * INCH + d)},
        "/vertical/",
    ),
    Limit(
        "the highest tie to the top",
        "rectangle",
        "cover",
        lambda d: {"cage/ties/top": mm(40.0 + d)},
        "/tie/1",
    ),
    # Table 20.5.1.3.1, weather: 1 1/2 in for No. 4 hoops; the No. 6 bars inside them have 2 in, theirs, as
    # well.
    Limit(
        "hoops exposed to weather",
        "round",
        "cover",
        lambda d: {
            "embeds": [],
            "/concrete/cover/side": None,
            "cage/size": mm(24.0 * INCH - 2.0 * (1.5 * INCH + d)),
        },
        "P1/",
    ),
    Limit(
        "ties exposed to weather",
        "column",
        "cover",
        lambda d: {"cage/size": mm(20.0 * INCH - 2.0 * (1.5 * INCH + d))},
        "P1/",
    ),
    # Cast against the ground 3 in, with nothing under the pier: 76.2.
    Limit(
        "ends of bars to the ground",
        "rectangle",
        "cover",
        lambda d: {"/concrete/cover/bottom": None, "cage/verticals/bottom": mm(76.2 + d)},
        "/vertical/",
    ),
    # Interior, columns and pedestals: 1 1/2 in; the cage is 380 by 300 of 460: 80 on the long sides.
    Limit(
        "ties inside a building",
        "rectangle",
        "cover",
        lambda d: {"/concrete/cover/side": None, "outline/rectangle": [560, mm(300.0 + 2.0 * (38.1 + d))]},
        "/tie/",
    ),
    # R20.5.1.4: 2 1/2 in for salt; the site gives no figure, and the cage is 15 1/2 in.
    Limit(
        "ties exposed to salt",
        "anchors",
        "cover",
        lambda d: {
            "concrete/exposure": "corrosive",
            "/concrete/cover/side": None,
            "outline/square": mm(15.5 * INCH + 2.0 * (2.5 * INCH + d)),
            "required/rod edge": '4"',
        },
        "/tie/",
    ),
    # The foot of a rod: its nut ends 1.012 in = 25.7048 below the embedment, 80 needed in a pier of 1500.
    Limit(
        "foot of a rod to the bottom",
        "rectangle",
        "cover",
        lambda d: {"seat/rods/embedment": mm(1500.0 - 80.0 - 25.7048 - d)},
        "P1/",
    ),
    # A conduit of 30 beside the cage: its skin at 230 - 40.
    Limit(
        "a conduit to the side",
        "rectangle",
        "cover",
        lambda d: {"embeds": [pipe(30, 0.0, -(230.0 - 40.0 - 15.0 - d), -1000, -300)]},
        "embed",
    ),
    # XS3: 45 least and 10 deviation; below 55 it is TIGHT, below 45 on HOLD.
    Limit(
        "hoops to the nominal cover, EN",
        "hoops",
        "cover",
        lambda d: {"cage/size": mm(600.0 - 2.0 * (55.0 + d))},
        "/hoop/",
        tight=True,
    ),
    Limit(
        "hoops to the least cover, EN",
        "hoops",
        "cover",
        lambda d: {"cage/size": mm(600.0 - 2.0 * (45.0 + d))},
        "P1/",
    ),
    # 4.4.1.3(4): 75 against soil.
    Limit(
        "ends of bars to the soil, EN",
        "hoops",
        "cover",
        lambda d: {"cage/verticals/bottom": mm(75.0 + d)},
        "/vertical/",
    ),
    Limit(
        "ties to the side, as specified, EN",
        "free",
        "cover",
        # 10 mm of the figure are deviation: short of 320 - 185 - d it is TIGHT first, so the HOLD lies 10
        # lower
        lambda d: {"concrete/cover/side": mm(280.0 - 170.0 - 20.0 + 10.0 - d)},
        "P1/",
    ),
    # Feet of dowels: the underside of the foot lies `embed` below the pier, 3 in of 24 needed below it.
    Limit(
        "foot of a dowel to the bottom of the grade beam",
        "square",
        "grade beam cover",
        lambda d: {"cage/dowels/embed": mm(21.0 * INCH - d)},
        "dowel",
    ),
    Limit(
        "foot of a dowel to the bottom of the grade beam, EN",
        "free",
        "grade beam cover",
        lambda d: {"cage/dowels/embed": mm(600.0 - 75.0 - d)},
        "dowel",
        tight=True,
    ),
    Limit(
        "foot of a dowel to the bottom of the grade beam less the deviation, EN",
        "free",
        "grade beam cover",
        lambda d: {"cage/dowels/embed": mm(600.0 - 65.0 - d)},
        "dowel",
    ),
    # Dowels on the diagonals of a pier turned by 45 degrees point straight at the sides: sqrt 2 x 5 in to
    # the bar,
    # then a quarter bend of (4 1/2 + 3/4) / 2 in and a tail of 9 in.
    Limit(
        "foot of a dowel to the side of the grade beam",
        "anchors",
        "grade beam cover",
        lambda d: {"/grade beams/0/width": mm(2.0 * ((5.0 * sqrt(2.0) + 2.625 + 9.0 + 3.0) * INCH + d))},
        "dowel",
    ),
]
