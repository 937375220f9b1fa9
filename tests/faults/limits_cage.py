"""Figures of bars, ties and laps, each at its limit and half a millimeter to either side.

Every limit is worked out here from the figure of its document and the clean site's own dimensions; d is the
reserve in mm.
"""

from __future__ import annotations

from math import hypot, pi, sqrt

from tests.faults.harness import INCH, Limit, mm

HALF_ROOT = 1.0 / sqrt(2.0)
CORNER = (7.75 - 0.5 - 1.0 + 0.625 * HALF_ROOT) * INCH
"""mm: a corner bar of the 15 1/2 in cages from both axes: a No. 6 (3/8 in radius) snug in a bend of 1 in
inside radius, No. 4 ties, so that its center lies (1 - 3/8) in / sqrt 2 out from the bend's."""
ACI_LAP = 1.3 * (3.0 / 40.0 * 60000.0 / sqrt(5000.0) * 0.8 / 2.5 * 0.75)
"""in: 1.3 l_d by Eq. 25.4.2.4a for a No. 6 (psi_s 0.8) in 5000 psi, fully confined (2.5): 19.86."""
HOOK = 60000.0 / 55.0
"""f_y / 55 of 25.4.3.1, psi."""
EN_CORNER = 10.0 + 20.0 - (20.0 - 8.0) * HALF_ROOT
"""mm: a corner bar of the free site from the outside of its ties: 10, bent to 20 inside radius round 16."""


def _diagonals(p: float) -> list[list[str]]:
    """Four places on the diagonals, p mm from both axes."""
    return [[mm(sx * p), mm(sy * p)] for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))]


BARS = [
    # 25.2.3: 1 1/2 in = 38.1 for any bar; a ninth bar of 20 mm straight in from the one in the middle of a
    # face.
    Limit(
        "bars 38.1 apart",
        "rectangle",
        "bar spacing",
        lambda d: {"cage/verticals/at/+": [0, mm(124.0 - 20.0 - 38.1 - d)]},
        "vertical/6:P1/vertical/9",
    ),
    # 8.2(2): the largest aggregate and 5 mm = 25; a dowel of 16 mm as found, straight in from a bar of 16
    # mm that
    # stands 170 - 10 - 8 = 152 from the center.
    Limit(
        "a dowel 25 from a bar, EN",
        "free",
        "bar spacing",
        lambda d: {"cage/dowels/count": None, "cage/dowels/at": [[0, mm(152.0 - 16.0 - 25.0 - d)]]},
        "dowel/1",
    ),
    # 25.2.3: dowels as found on the diagonals, 1 1/2 in clear of the corner bars, 3/4 in both.
    Limit(
        "found dowels 1 1/2 in from bars",
        "anchors",
        "bar spacing",
        lambda d: {"cage/dowels/at": _diagonals(CORNER - (2.25 * INCH + d) * HALF_ROOT)},
        "dowel",
    ),
    # A corner bar and the middle one of a short side: 6.5 across and 117.5 along, less a diameter of 20.
    Limit(
        "bars by the site's own figure",
        "rectangle",
        "bar spacing",
        lambda d: {"required/bar clear": mm(hypot(6.5, 117.5) - 20.0 - d)},
        "vertical",
    ),
]

TIES = [
    # 25.7.2.1(b): 16 bars of 3/4 in; of 1 in; of 20 mm. EN 9.5.3: 0.6 of 20 bars of 16 near the ends; 0.6
    # of 400.
    Limit("ties 12 in apart", "square", "tie spacing", lambda d: {"cage/ties/spacing": mm(12.0 * INCH - d)}),
    Limit("ties 16 in apart", "column", "tie spacing", lambda d: {"cage/ties/spacing": mm(16.0 * INCH - d)}),
    Limit("ties 320 apart", "rectangle", "tie spacing", lambda d: {"cage/ties/spacing": mm(320.0 - d)}),
    Limit("ties 192 apart, EN", "free", "tie spacing", lambda d: {"cage/ties/spacing": mm(192.0 - d)}),
    Limit("hoops 240 apart, EN", "hoops", "tie spacing", lambda d: {"cage/ties/spacing": mm(240.0 - d)}),
    # 25.7.2.1(a): 4/3 of 20; of 1 in, above a diamond. EN 8.2: 20 and 5.
    Limit(
        "ties 26.7 clear",
        "rectangle",
        "tie clear",
        lambda d: {"cage/ties/top group/clear": mm(80.0 / 3.0 + d)},
        "tie",
    ),
    Limit(
        "ties 1.33 in clear of a diamond",
        "column",
        "tie clear",
        lambda d: {"cage/ties/top group": {"count": 2, "clear": mm(4.0 / 3.0 * INCH + d)}},
        "tie",
    ),
    Limit(
        "ties 25 clear, EN", "free", "tie clear", lambda d: {"cage/ties/top group/clear": mm(25.0 + d)}, "tie"
    ),
    # 10.7.6.2.1: half a spacing above the grade beam.
    Limit("the first tie, of 8 in", "square", "first tie", lambda d: {"cage/ties/first": mm(4.0 * INCH - d)}),
    Limit(
        "the first tie, of 12 in", "column", "first tie", lambda d: {"cage/ties/first": mm(6.0 * INCH - d)}
    ),
    Limit("the first hoop", "round", "first tie", lambda d: {"cage/ties/first": mm(4.0 * INCH - d)}),
    # 10.7.6.1.5: within 5 in. Top of the first at 40, 16 mm ties; at 3 in, No. 4.
    Limit(
        "the last of the top ties",
        "rectangle",
        "top ties",
        lambda d: {"cage/ties/top group/clear": mm(127.0 - 40.0 - 32.0 - d)},
        "tie/2",
    ),
    Limit(
        "the last of the top hoops",
        "round",
        "top ties",
        lambda d: {"concrete/aggregate": '1/2"', "cage/ties/top group/clear": mm(INCH - d)},
        "hoop/2",
    ),
    Limit(
        "the last of the top ties, to its center",
        "square",
        "top ties",
        lambda d: {
            "concrete/aggregate": '1/2"',
            "required/top ties to": "center",
            "cage/ties/top group/clear": mm(1.25 * INCH - d),
        },
        "tie/2",
    ),
    # 25.3.2: 6 diameters and 3 in past 135 degrees. 25.3.1: 12 diameters past 90. EN Figure 8.5: 5 and 50.
    Limit("tails of ties", "square", "hook tail", lambda d: {"cage/ties/tail": mm(3.0 * INCH + d)}, "tie"),
    Limit("tails of 16 mm ties", "rectangle", "hook tail", lambda d: {"cage/ties/tail": mm(96.0 + d)}, "tie"),
    Limit("tails of hoops", "round", "hook tail", lambda d: {"cage/ties/tail": mm(3.0 * INCH + d)}, "hoop"),
    Limit(
        "tails of feet", "square", "hook tail", lambda d: {"cage/dowels/tail": mm(9.0 * INCH + d)}, "dowel"
    ),
    Limit("tails of links, EN", "free", "hook tail", lambda d: {"cage/ties/tail": mm(50.0 + d)}, "tie"),
    # 25.3.2: 4 diameters. 25.3.1: 6. EN 8.3: 4 up to 16 mm.
    Limit("bends of ties", "square", "bend size", lambda d: {"cage/ties/bend": mm(2.0 * INCH + d)}, "tie"),
    Limit("bends of 16 mm ties", "rectangle", "bend size", lambda d: {"cage/ties/bend": mm(64.0 + d)}, "tie"),
    Limit(
        "bends of feet", "square", "bend size", lambda d: {"cage/dowels/bend": mm(4.5 * INCH + d)}, "dowel"
    ),
    Limit("bends of links, EN", "free", "bend size", lambda d: {"cage/ties/bend": mm(40.0 + d)}, "tie"),
    Limit("bends of feet, EN", "free", "bend size", lambda d: {"cage/dowels/bend": mm(64.0 + d)}, "dowel"),
    # 25.7.2.3: 6 in clear on each side. Corner bars stand S/2 - 1.5 in + 0.442 in out, middle ones S/2 -
    # 7/8 in.
    Limit(
        "a bar 6 in from a held one",
        "square",
        "held bars",
        lambda d: {
            "cage/size": mm(
                2.0 * (sqrt((6.75 * INCH - d) ** 2 - (6.875 * INCH - CORNER) ** 2) + 7.75 * INCH - CORNER)
            )
        },
        "vertical",
    ),
    # 9.5.3(6): 150; the short faces are nearer.
    Limit(
        "a bar 150 from a held one, EN",
        "free",
        "held bars",
        lambda d: {
            "cage/size": [mm(2.0 * (sqrt((166.0 - d) ** 2 - (EN_CORNER - 18.0) ** 2) + EN_CORNER)), 340]
        },
        "vertical",
    ),
    # 25.7.2.4: 6 in along the hoop from one of twelve bars to the next.
    Limit(
        "ends of hoops",
        "round",
        "hoop lap",
        lambda d: {
            "outline/round": '34"',
            "cage/verticals/count": 12,
            "cage/ties/lap": '4"',
            "cage/size": mm(2.0 * (6.0 * INCH + d) / (pi / 6.0) + 0.5 * INCH),
        },
        "hoop",
    ),
    # The same from one of ten to the next.
    Limit(
        "ends of hoops round ten bars",
        "round",
        "hoop lap",
        lambda d: {
            "seat": None,
            "outline/round": '30"',
            "cage/verticals/count": 10,
            "cage/ties/lap": '4"',
            "cage/size": mm(2.0 * (6.0 * INCH + d) / (pi / 5.0) + 0.5 * INCH),
        },
        "hoop",
    ),
]

LAPS = [
    # Laps begin at the lower end of the verticals.
    Limit(
        "laps as drawn", "square", "dowel lap", lambda d: {"cage/dowels/height": mm(40.5 * INCH + d)}, "dowel"
    ),
    Limit("laps as drawn, EN", "free", "dowel lap", lambda d: {"cage/dowels/height": mm(775.0 + d)}, "dowel"),
    # 25.5.5.1: 0.0005 x 60,000 diameters = 30 in for No. 8.
    Limit(
        "laps in compression",
        "column",
        "dowel lap",
        lambda d: {"cage/dowels/height": mm(33.0 * INCH + d)},
        "dowel",
    ),
    Limit(
        "class B laps",
        "round",
        "dowel lap",
        lambda d: {"cage/dowels/height": mm((3.0 + ACI_LAP) * INCH + d)},
        "dowel",
    ),
    # Epoxy with more than 3 diameters of cover and 6 clear: 1.2.
    Limit(
        "class B laps of coated bars",
        "anchors",
        "dowel lap",
        lambda d: {"cage/dowels/height": mm((2.5 + 1.2 * ACI_LAP) * INCH + d)},
        "dowel",
    ),
    # 25.5.1.3: a fifth of the lap; 6 in.
    Limit(
        "bars of a lap 2 1/2 in apart",
        "anchors",
        "lap spread",
        lambda d: {
            "cage/dowels/lap": '12 1/2"',
            "cage/dowels/at": _diagonals(CORNER - (2.5 * INCH - d) * HALF_ROOT),
        },
        "dowel",
    ),
    Limit(
        "bars of a lap 6 in apart",
        "anchors",
        "lap spread",
        # from the bar in the middle of a face, 7.75 - 7/8 in out
        lambda d: {"cage/dowels/lap": "3'-0\"", "cage/dowels/at": [[mm(0.875 * INCH + d), 0]]},
        "dowel",
    ),
    # 25.4.3.1: psi_c = f'c / 15,000 + 0.6; d_b^1.5.
    Limit(
        "hooks in a 4000 psi grade beam",
        "square",
        "hook development",
        lambda d: {"cage/dowels/embed": mm(HOOK * (4.0 / 15.0 + 0.6) / sqrt(4000.0) * 0.75**1.5 * INCH + d)},
        "dowel",
    ),
    Limit(
        "hooks in a 5000 psi grade beam",
        "column",
        "hook development",
        lambda d: {"cage/dowels/embed": mm(HOOK * (5.0 / 15.0 + 0.6) / sqrt(5000.0) * INCH + d)},
        "dowel",
    ),
    Limit(
        "coated hooks",
        "anchors",
        "hook development",
        lambda d: {
            "cage/dowels/embed": mm(1.2 * HOOK * (4.0 / 15.0 + 0.6) / sqrt(4000.0) * 0.75**1.5 * INCH + d)
        },
        "dowel",
    ),
    # 10.6.1.1: 1 % of the section: eight No. 8 of 0.79 in2 in 632 in2. EN 9.5.2(2): 0.2 %: eight of 314 mm2.
    Limit(
        "steel of a column", "column", "steel ratio", lambda d: {"outline/square": mm(sqrt(632.0) * INCH - d)}
    ),
    Limit(
        "steel of a column, EN",
        "hoops",
        "steel ratio",
        lambda d: {"outline/round": mm(sqrt(8 * 314 / 0.002 * 4.0 / pi) - d)},
    ),
    # 0.5 %, its chamfered corners left out of the section.
    Limit(
        "steel of a pedestal",
        "rectangle",
        "steel ratio",
        lambda d: {"outline/rectangle": [mm((8 * 314 / 0.005 + 4 * 15.0**2 / 2.0) / 460.0 - d), 460]},
    ),
]

LIMITS = [*BARS, *TIES, *LAPS]
