"""Sites made in memory (mm) that hold every kind of part, for the tests of hardware, meshes and export."""

from __future__ import annotations

from typing import Any

from models.build import build_site
from models.pier import Pier
from models.site import Site
from models.spec.site import SiteSpec
from tests.support.placing import exact

INCH = 25.4
RODS: dict[str, Any] = {
    "diameter": INCH,
    "pattern": {"grid": [2, 2], "spacing": [240, 200]},
    "embedment": 700,
    "projection": 130,
}
PLATE: dict[str, Any] = {
    "outline": {"square": 380},
    "thickness": 20,
    "above": 45,
    "holes": {"diameter": 46},
    "mark": "PL1",
}
CAGE: dict[str, Any] = {
    "size": 480,
    "verticals": {"size": "No. 6", "per_face": {"x": 3, "y": 3}, "top": 60, "bottom": 60},
    "ties": {
        "size": "No. 4",
        "spacing": 250,
        "top": 60,
        "top_group": {"count": 2, "clear": 30},
        "diamond": True,
        "crossties": {"pairs": [[2, 6]]},
    },
    "dowels": {"size": "No. 6", "count": 4, "height": 800, "embed": 400},
}
# A square with one rounded corner and one bay cut in by an arc: straight edges, arcs of both senses.
FREE: dict[str, Any] = {
    "edges": [
        {"x": -200, "y": -200},
        {"x": 200, "y": -200},
        {"x": 200, "y": 100},
        {"x": 100, "y": 200, "radius": 100, "turn": "left"},
        {"x": 40, "y": 200},
        {"x": -40, "y": 200, "radius": 60, "turn": "right"},
        {"x": -200, "y": 200},
    ]
}


def pier(mark: str = "P1", **given: Any) -> dict[str, Any]:
    """A square pier of 600 mm, 1,500 mm tall, at the origin, unless told otherwise."""
    base = {"mark": mark, "x": 0, "y": 0, "top": 0, "bottom": -1500, "kind": "k", "outline": {"square": 600}}
    return base | given


def site(*piers: dict[str, Any], **given: Any) -> Site:
    """A site of these piers, built, everything placed exactly unless `placing` says otherwise."""
    spec = SiteSpec.model_validate(
        {
            "site": {"name": "made in memory", "units": "mm"},
            "kinds": {"k": {"outline": {"square": 600}}},
            "piers": list(piers),
        }
        | exact(given)
    )
    return build_site(spec, "0" * 64)


def one(**given: Any) -> Pier:
    """A site of a single pier, as its pier."""
    return site(pier(**given)).piers[0]


def plate_seat(**given: Any) -> dict[str, Any]:
    """A plate on four rods, with everything that belongs to it."""
    seat: dict[str, Any] = {
        "type": "plate",
        "rods": RODS,
        "plate": PLATE,
        "washer": {"size": 76, "thickness": 9.5},
        "level_on": "nuts",
        "grout": {"least": 25},
        "template": {
            "thickness": 19,
            "outline": {"square": 600},
            "above": 40,
            "holes": {"diameter": 27},
            "opening": {"round": 120},
        },
    }
    return seat | given


def beam_seat(**given: Any) -> dict[str, Any]:
    """Two rods for a beam over the pier, with square washers."""
    seat: dict[str, Any] = {
        "type": "beam",
        "rods": RODS | {"pattern": {"at": [[-100, 0], [100, 0]]}, "projection": 500},
        "washer": {"size": 76, "thickness": 6, "shape": "square"},
    }
    return seat | given


def everything() -> Site:
    """Piers that together hold every role and every shape that a part can have."""
    hooks = {"bend": 76, "tail": 100}
    anchors = {"bar": "No. 8", "pattern": RODS["pattern"], "embedment": 600, "projection": 70}
    return site(
        pier("P1", seat=plate_seat(), cage=CAGE, concrete={"chamfer": {"top": 19, "corners": 19}}),
        pier("P2", x=3000, seat=beam_seat(), turn=30),
        pier("P3", x=6000, seat=beam_seat()),
        pier(
            "P4",
            x=9000,
            outline={"round": 760},
            concrete={"chamfer": {"top": 19}},
            cage={
                "verticals": {"size": "No. 6", "count": 8, "top": 60, "bottom": 60},
                "ties": {"size": "No. 3", "spacing": 300, "lap": 300, "top": 60},
            }
            | {"size": 600},
            seat=plate_seat(rods=RODS | hooks | {"end": "L", "pattern": {"circle": 300, "count": 4}}),
        ),
        pier("P5", x=12000, seat=plate_seat(rods=RODS | hooks | {"end": "J"}, template=None)),
        pier(
            "P6",
            x=15000,
            outline=FREE,
            concrete={"chamfer": {"top": 15}},
            seat=plate_seat(
                rods=anchors | {"end": "L"},
                plate=PLATE | {"outline": {"round": 390}, "cutouts": [{"rectangle": [60, 40]}]},
                level_on="shims",
                shim={"square": 76},
                template=None,
            ),
        ),
        pier(
            "P7",
            x=18000,
            seat=plate_seat(
                rods=RODS | {"end": "plate", "head_plate": {"size": 76, "thickness": 12}, "stub": 20},
                plate=PLATE
                | {"outline": FREE, "carries": [{"name": "post", "outline": {"round": 90}, "height": 200}]},
            ),
            embeds=[
                {
                    "name": "conduit",
                    "diameter": 33,
                    "points": [[0, 0, 50], [0, 0, -600], [0, 400, -600]],
                    "bend": 300,
                }
                | {"exits": ["top"]},
                {"name": "sleeve", "outline": {"round": 90}, "bore": 80, "bottom": -300, "top": -200},
            ],
        ),
        beams=[
            {"name": "B1", "piers": ["P2", "P3"], "width": 133, "depth": 400, "hole": 27, "overhang": 300}
        ],
        grade_beams=[
            {"name": "GB1", "start": [-1000, 0], "end": [10000, 0], "width": 900, "top": -1500, "depth": 600},
            {"name": "GB2", "outline": FREE | {"center": [12000, 0]}, "top": -1500, "depth": 500},
        ],
    )
