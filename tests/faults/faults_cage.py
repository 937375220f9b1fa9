"""Single faults of bars, ties and laps in clean sites, and every rule that each must break."""

from __future__ import annotations

from math import cos, hypot, pi, sin, sqrt

from tests.faults.harness import INCH, Fault, mm
from tests.faults.limits_cage import CORNER

CHAMFERED = 24.0**2 - 4.0 * 0.75**2 / 2.0
"""in2: a section of 24 in square less its four chamfers of 3/4 in."""


def _ring(corners: int, radius: float, start: float = 0.0) -> list[list[str]]:
    turns = [start + 2.0 * pi * k / corners for k in range(corners)]
    return [[mm(radius * cos(t)), mm(radius * sin(t))] for t in turns]


def _many_sided(corners: int) -> dict[str, object]:
    """A column of so many corners, 12 in from its center to each, 2 in of cover, a No. 8 snug in every bend.

    Bends of 1 in inside radius: their centers lie on the ring that is 2 + 1/2 + 1 in inside of the faces.
    """
    turn = cos(pi / corners)
    bars = ((12.0 * turn - 3.5) / turn + 0.5) * INCH
    edges = [{"x": x, "y": y} for x, y in _ring(corners, 12.0 * INCH)]
    return {
        "outline": {"edges": edges},
        "concrete": {"cover": {"side": '2"'}},
        "cage/size": None,
        "cage/ties/diamond": False,
        "cage/verticals/count": None,
        "cage/verticals/at": _ring(corners, bars),
    }


BARS = [
    Fault(
        "a bar through its ties",
        "rectangle",
        {"cage/verticals/at/5": [0, 132]},
        {"overlap": "vertical/6"},
        {"overlap": -8.0},
    ),
    Fault(
        "a dowel found in a bar",
        "square",
        {"cage/dowels/count": None, "cage/dowels/at": [[mm(CORNER - 0.5 * INCH), mm(CORNER)]]},
        {"overlap": "P1/dowel/1"},
    ),
    Fault(
        "two bars side by side",
        "rectangle",
        {"cage/verticals/at/+": [0, 90]},
        {"bar spacing": "vertical/6:P1/vertical/9"},
        {"bar spacing": 14.0},
    ),
    Fault(
        "a dowel found beside a bar, EN",
        "free",
        {"cage/dowels/count": None, "cage/dowels/at": [[0, 124]]},
        {"bar spacing": "P1/dowel/1:P1/vertical"},
        {"bar spacing": 152.0 - 124.0 - 16.0},
    ),
    Fault(
        "dowels found too close",
        "anchors",
        {"cage/dowels/at": [[0, '-1"'], [0, '1"']], "cage/dowels/lap": "3'-0\"", "cage/dowels/embed": '19"'},
        {"bar spacing": "dowel/1:P1/dowel/2"},
        {"bar spacing": 1.25 * INCH},
    ),
    Fault(
        "three bars in a round pier",
        "round",
        {
            "seat": None,
            "cage/verticals/count": 3,
            "cage/verticals/size": "No. 11",
            "cage/dowels/count": 3,
            "cage/dowels/lap": "2'",
        },
        {"fewest bars": "vertical"},
        {"fewest bars": 3.0},
    ),
    Fault(
        "three bars in a round column, EN",
        "hoops",
        {"cage/verticals/count": 3, "cage/verticals/size": "32 mm"},
        {"fewest bars": "vertical"},
        {"fewest bars": 3.0},
    ),
    Fault(
        "light bars in a column",
        "column",
        {"cage/verticals/size": "No. 6"},
        {"steel ratio": "vertical"},
        {"steel ratio": 100 * 8 * 0.44 / 400},
    ),
    Fault(
        "a pedestal called a column",
        "square",
        {"use": "column"},
        {"steel ratio": "vertical"},
        {"steel ratio": 100 * 8 * 0.44 / CHAMFERED},
    ),
    Fault(
        "a rectangular pedestal called a column",
        "rectangle",
        {"use": "column"},
        {"steel ratio": "vertical"},
        {"steel ratio": 100 * 8 * 314 / (560 * 460 - 2 * 15**2)},
    ),
    Fault(
        "too much steel where bars lap",
        "column",
        {"cage/verticals/size": "No. 18", "cage/dowels/lap": "2'-6\""},
        {"steel ratio": "dowel"},
        {"steel ratio": 100 * (8 * 4.0 + 4 * 0.79) / 400},
    ),
    Fault(
        "too much steel, EN",
        "hoops",
        {"cage/verticals/count": 9, "cage/verticals/size": "40 mm"},
        {"steel ratio": "vertical"},
        {"steel ratio": 100 * 9 * 1260 / (pi / 4 * 600**2)},
    ),
]

TIES = [
    Fault(
        "ties too far apart",
        "square",
        {"cage/ties/spacing": '14"'},
        {"tie spacing": "tie"},
        {"tie spacing": 14 * INCH},
    ),
    Fault(
        "hoops too far apart, EN",
        "hoops",
        {"cage/ties/spacing": 300},
        {"tie spacing": "hoop"},
        {"tie spacing": 300.0},
    ),
    Fault(
        "top ties too close",
        "rectangle",
        {"cage/ties/top group/clear": 20},
        {"tie clear": "tie"},
        {"tie clear": 20.0},
    ),
    Fault(
        "top ties too close, EN",
        "free",
        {"cage/ties/top group/clear": 12},
        {"tie clear": "tie"},
        {"tie clear": 12.0},
    ),
    Fault(
        "the first tie too high",
        "square",
        {"cage/ties/first": '6"'},
        {"first tie": "tie"},
        {"first tie": 6 * INCH},
    ),
    Fault(
        "the first hoop too high",
        "round",
        {"cage/ties/first": '5"'},
        {"first tie": "hoop"},
        {"first tie": 5 * INCH},
    ),
    Fault(
        "light ties for No. 11",
        "column",
        {"cage/size": '16 1/2"', "cage/verticals/size": "No. 11", "cage/ties/size": "No. 3"},
        {"tie size": "P1/"},
        {"tie size": 0.375 * INCH},
    ),
    Fault(
        "light ties for No. 14",
        "column",
        {
            "cage/size": '16 1/2"',
            "cage/verticals/size": "No. 14",
            "cage/ties/size": "No. 3",
            "cage/dowels/lap": "2'-6\"",
        },
        {"tie size": "P1/"},
        {"tie size": 0.375 * INCH},
    ),
    Fault("one tie at the top", "square", {"cage/ties/top group/count": 1}, {"top ties": "tie/2"}),
    Fault("two light ties at the top", "rectangle", {"cage/ties/size": "12 mm"}, {"top ties": "tie/3"}),
    Fault("no group of hoops at the top", "round", {"cage/ties/top group": None}, {"top ties": "hoop/2"}),
    Fault(
        "diamonds left off",
        "column",
        {"cage/ties/diamond": False},
        {"held bars": "vertical"},
        # corner bars stand 8 1/2 less 1 1/2, plus half an inch over sqrt 2, out; middle ones 8 1/2 less 1
        {"held bars": (hypot(7.0 + 0.5 / sqrt(2.0), 0.5 - 0.5 / sqrt(2.0)) - 1.0) * INCH},
    ),
    Fault(
        "one crosstie where two are needed",
        "column",
        {"cage/ties/diamond": False, "cage/ties/crossties": {"pairs": [[2, 6]]}},
        {"held bars": "vertical/4"},
        {"held bars": (hypot(7.0 + 0.5 / sqrt(2.0), 0.5 - 0.5 / sqrt(2.0)) - 1.0) * INCH},
    ),
    Fault(
        "twelve bars and no crossties",
        "square",
        {"cage/verticals/count": 12},
        {"held bars": "vertical"},
        {"held bars": 2.0},
    ),
    Fault("a wide cage without crossties, EN", "free", {"cage/size": [420, 340]}, {"held bars": "vertical"}),
    Fault(
        "nine corners of 140 degrees",
        "column",
        _many_sided(9),
        {"held bars": "vertical"},
        {"held bars": 140.0},
    ),
    Fault(
        "short tails of ties",
        "column",
        {"cage/ties/tail": '2"'},
        {"hook tail": "P1/"},
        {"hook tail": 2 * INCH},
    ),
    Fault(
        "short tails of feet",
        "round",
        {"cage/dowels/tail": '6"'},
        {"hook tail": "dowel"},
        {"hook tail": 6 * INCH},
    ),
    Fault(
        "short tails of links, EN",
        "hoops",
        {"cage/ties/tail": 30},
        {"hook tail": "hoop"},
        {"hook tail": 30.0},
    ),
    Fault(
        "tight bends of ties",
        "column",
        {"cage/ties/bend": '1 1/2"'},
        {"bend size": "P1/"},
        {"bend size": 1.5 * INCH},
    ),
    Fault(
        "tight bends of feet",
        "round",
        {"cage/dowels/bend": '3"'},
        {"bend size": "dowel"},
        {"bend size": 3 * INCH},
    ),
    Fault(
        "short laps of hoops",
        "round",
        {"seat": None, "cage/verticals/count": 12, "cage/ties/lap": '4"'},
        {"hoop lap": "hoop"},
        {"hoop lap": pi / 6.0 * 8.75 * INCH},
    ),
    Fault(
        "hoops that hook round no bar",
        "round",
        {
            "seat": None,
            "cage/verticals/count": None,
            "cage/verticals/at": _ring(8, 6.5 * INCH, pi / 9.0),
            "cage/dowels": None,
        },
        {"hoop lap": "hoop"},
    ),
]

LAPS = [
    Fault(
        "dowels too short",
        "column",
        {"cage/dowels/height": "2'-6\""},
        {"dowel lap": "dowel"},
        {"dowel lap": 27 * INCH},
    ),
    Fault(
        "a low seat",
        "square",
        {"/piers/0/top": "3'-4\"", "cage/dowels/height": "3'-1\""},
        {"dowel lap": "dowel"},
        {"dowel lap": 34.5 * INCH},
    ),
    Fault(
        "dowels too short, EN",
        "free",
        {"cage/dowels/height": 600},
        {"dowel lap": "dowel"},
        {"dowel lap": 525.0},
    ),
    Fault(
        "dowels of a round pier too short",
        "round",
        {"cage/dowels/height": '18"'},
        {"dowel lap": "dowel"},
        {"dowel lap": 15 * INCH},
    ),
    Fault(
        "dowels found near the middle",
        "anchors",
        {"cage/dowels/at": [[0, '2"']]},
        {"lap spread": "dowel"},
        {"lap spread": 4.875 * INCH},
    ),
    Fault(
        "a dowel found too far from its bar, for its short lap",
        "anchors",
        {"cage/dowels/lap": '10"'},
        {"lap spread": "dowel"},
        {"lap spread": (CORNER - 5 * INCH) * sqrt(2.0)},
    ),
    Fault(
        "No. 14 lapped in tension",
        "column",
        {
            "cage/dowels/size": "No. 14",
            "cage/dowels/lap in": "tension",
            "cage/dowels/lap": "2'-6\"",
            "cage/dowels/hook": "none",
        },
        {"lapped sizes": "dowel"},
        {"lapped sizes": 1.693 * INCH},
    ),
    Fault(
        "No. 14 lapped to No. 14",
        "column",
        {
            "cage/verticals/size": "No. 14",
            "cage/dowels/size": "No. 14",
            "cage/dowels/lap": "2'-6\"",
            "cage/dowels/hook": "none",
        },
        {"lapped sizes": "dowel"},
        {"lapped sizes": 1.693 * INCH},
    ),
    Fault(
        "shallow hooks",
        "column",
        {"cage/dowels/embed": '12"'},
        {"hook development": "dowel"},
        {"hook development": 12 * INCH},
    ),
    Fault(
        "shallow coated hooks",
        "anchors",
        {"cage/dowels/embed": '10"'},
        {"hook development": "dowel"},
        {"hook development": 10 * INCH},
    ),
]

FAULTS = [*BARS, *TIES, *LAPS]
STILL_CLEAN = [
    (
        "two crossties",
        "column",
        {"cage/ties/diamond": False, "cage/ties/crossties": {"pairs": [[2, 6], [4, 8]]}},
    ),
    # Two layers of crossties and a diamond that rises by its own thickness: 2 in on top of the highest tie.
    (
        "crossties and diamonds",
        "column",
        {"cage/ties/top": '3 1/2"', "cage/ties/crossties": {"pairs": [[2, 6], [4, 8]]}},
    ),
    ("eight corners of 135 degrees", "column", _many_sided(8)),
    (
        "No. 3 ties round No. 10",
        "column",
        {"cage/size": '16 1/2"', "cage/verticals/size": "No. 10", "cage/ties/size": "No. 3"},
    ),
    ("just 8 % of steel", "column", {"cage/verticals/size": "No. 18", "cage/dowels": None}),
]
