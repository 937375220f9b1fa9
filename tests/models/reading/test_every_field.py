"""Every field of a site file, given every kind of wrong value: refused at its own line, or legal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import yaml

from models.problems import BadInput, Problem
from models.reading.merging import blocks_in
from models.reading.site_file import read_site
from models.spec.base import Spec
from models.spec.pier import KindSpec, PierSpec
from models.spec.site import SiteSpec

# Every field of every block, once, each on a line of its own once it is dumped as a block.
FULL: dict[str, Any] = {
    "site": {
        "name": "Full", "units": "ft-in", "foot": "international", "datum": "d", "rules": "aci-318-19",
        "paper": "letter", "grout_bag": "0.45 cu ft",
        "flood": {
            "zone": "V", "base_flood_elevation": "11 ft", "freeboard": "2 ft", "lowest_floor_top": "14 ft",
            "lowest_member_bottom": "13 ft",
            "enclosures": [
                {
                    "name": "store", "area": "240 sq ft", "grade": "4 ft", "breakaway": "yes",
                    "openings": [
                        {"wall": "north", "count": 2, "width": "16 in", "height": "8 in", "bottom": "5 ft"},
                        {"wall": "south", "rated": "120 sq ft", "bottom": "5 ft"},
                    ],
                },
            ],
        },
        "control_points": [{"name": "CP1", "x": "1 ft", "y": "2 ft", "z": "3 ft"}],
    },
    "concrete": {
        "strength": "5000 psi", "aggregate": "0.75 in", "exposure": "weather",
        "cover": {"side": "2 in", "top": "2 in", "bottom": "3 in"},
        "chamfer": {"top": "0.5 in", "corners": "0.5 in"},
    },
    "required": {
        "bar_clear": "1 in", "rod_bar_clear": "1 in", "rod_tie_clear": "0 in", "rod_spacing": "3 in",
        "rod_edge": "3 in", "hole_play": "0.1 in", "rod_embedment": "24 in", "thread_spare": "1 in",
        "thread_showing": "0.2 in", "bar_recess": "0.2 in", "nut_room": "0.5 in", "hole_table": "manual-15",
        "largest_hole": "2 in", "hole_edge": "1.5 in", "hole_spacing": "3 in", "plug_weld": "0.5 in",
        "template_edge": "1 in", "beam_inside": "0.5 in", "beam_bearing": "3 in", "beam_hole_edge": "1.5 in",
        "beam_hole_end": "4 in", "tie_clear": "1 in", "top_ties_to": "center",
    },
    "placing": {
        "rods_set_by": "hand", "hose": "4 in", "vibrator": "2 in",
        "tolerances": {
            "rods": "AISC 303-05", "concrete": "EN 13670", "rod_in_plan": "0.1 in", "rods_in_group": "0.1 in",
            "rod_height": "0.5 in", "cage_in_plan": "0.5 in", "embed_in_plan": "0.5 in",
            "concrete_height": "0.5 in", "cover": "0.5 in", "bar_spacing": "0.5 in", "bar_end": "1 in",
        },
        "combine": "root of squares", "beams_drilled": "as drawn", "met_as_built": ["cover", "spacing"],
    },
    "kinds": {
        "square": {
            "outline": {"square": "24 in", "center": ["0", "0"]},
            "use": "column",
            "concrete": {"strength": "4000 psi"},
            "required": {"bar_clear": "2 in"},
            "cage": {
                "size": ["20 in", "20 in"], "offset": ["0", "0"], "yield_strength": "60 ksi",
                "verticals": {
                    "size": "No. 6", "count": 8, "start": 0, "top": "2 in", "bottom": "2 in",
                    "coating": "epoxy",
                },
                "ties": {
                    "size": "No. 3", "spacing": "12 in", "first": "4 in", "top": "3 in",
                    "top_group": {"count": 3, "clear": "1 in"}, "moved": {"2": "-1/2 in"}, "tail": "4 in",
                    "bend": "1.5 in",
                    "diamond": "yes", "crossties": {"size": "No. 3", "pairs": [[1, 5]]}, "coating": "plain",
                },
                "dowels": {
                    "size": "No. 6", "count": 4, "lap": "30 in", "lap_in": "compression", "height": "36 in",
                    "embed": "12 in", "hook": "90", "hook_to": "in", "bend": "5 in", "tail": "10 in",
                    "coating": "galvanized",
                },
            },
            "seat": {
                "type": "plate", "column": "yes",
                "rods": {
                    "diameter": "1 in",
                    "pattern": {
                        "grid": [2, 2], "spacing": ["8 in", "8 in"], "offset": ["0", "0"], "turn": 0,
                    },
                    "embedment": "24 in", "projection": "4 in", "end": "plate",
                    "head_plate": {"size": "3 in", "thickness": "0.5 in", "shape": "square"},
                    "stub": "0.5 in", "hook_to": "in", "thread": "4 in", "grade": "36",
                    "nut": {"flats": "1.6 in", "height": "1 in"},
                    "torqued": "no", "coating": "plain",
                },
                "plate": {
                    "outline": {"square": "14 in"}, "thickness": "0.5 in", "above": "1 in",
                    "holes": {"diameter": "1.5 in", "pattern": {"circle": "10 in", "count": 4, "start": 45}},
                    "cutouts": [{"round": "2 in"}], "mark": "PL1", "material": "A36",
                    "carries": [{"name": "post", "outline": {"round": "4 in"}, "height": "8 in"}],
                    "finish": "galvanized", "revision": "C",
                    "welds": [
                        {"what": "post to plate", "where": "field", "flush": "yes"},
                        {
                            "what": "post to plate", "at": "post", "type": "fillet", "size": "0.25 in",
                            "side": "both", "all_around": "yes", "contour": "convex",
                            "finish": "grinding", "held_back": "2 in",
                        },
                    ],
                },
                "washer": {"size": "3 in", "thickness": "0.25 in", "shape": "square", "hole": "1.1 in"},
                "nuts": "yes", "level_on": "shims", "shim": {"square": "2 in"},
                "grout": {"least": "0.75 in", "most": "1.5 in", "outline": {"square": "16 in"}},
                "template": {
                    "thickness": "0.75 in", "outline": {"square": "22 in"}, "above": "0 in",
                    "holes": {"diameter": "1.1 in"}, "opening": {"rectangle": ["4 in", "4 in"]},
                    "nuts": "both",
                },
            },
            "embeds": [
                {
                    "name": "conduit", "diameter": "1 in",
                    "points": [["1 in", "0", "1 in"], ["1 in", "0", "-20 in"]], "bend": "6 in",
                    "exits": ["top"],
                },
                {
                    "name": "sleeve", "outline": {"square": "3 in"}, "bore": "2 in", "bottom": "-9 in",
                    "top": "-6 in", "exits": ["bottom"],
                },
            ],
        },
        "round": {
            "outline": {"round": "30 in"},
            "cage": {
                "verticals": {"size": "No. 6", "at": [["9 in", "0"], ["0", "9 in"], ["-9 in", "0"]]},
                "ties": {"size": "No. 3", "spacing": "12 in", "lap": "8 in"},
                "dowels": {"size": "No. 6", "at": [["7 in", "0"]], "height": "36 in"},
            },
            "seat": {
                "type": "beam",
                "rods": {
                    "bar": "No. 8", "pattern": {"at": [["4 in", "0"], ["-4 in", "0"]]}, "embedment": "24 in",
                    "projection": "9 in", "end": "J", "bend": "6 in", "tail": "4 in",
                },
            },
        },
        "faces": {
            "outline": {
                "edges": [
                    {"x": "-9 in", "y": "-9 in"}, {"x": "9 in", "y": "-9 in"},
                    {"x": "9 in", "y": "9 in", "radius": "20 in", "turn": "left"},
                    {"x": "-9 in", "y": "9 in"},
                ],
            },
            "cage": {"size": "12 in", "verticals": {"size": "No. 5", "per_face": {"x": 3, "y": 3}}},
            "seat": {
                "type": "plate",
                "rods": {
                    "diameter": "0.75 in", "pattern": {"at": [["0", "0"]]}, "embedment": "12 in",
                    "projection": "5 in",
                },
                "plate": {
                    "outline": {"square": "8 in"}, "thickness": "0.5 in", "above": "2 in",
                    "holes": {"diameter": "1 in"},
                },
                "level_on": "nuts",
                "leveling_washer": {"size": "2 in", "thickness": "0.25 in"},
            },
        },
    },
    "grade_beams": [
        {
            "name": "GB1", "start": ["-2 ft", "0"], "end": ["30 ft", "0"], "width": "24 in", "top": "1 ft",
            "depth": "18 in", "cover": "3 in", "strength": "4 ksi",
        },
        {"name": "GB2", "outline": {"square": "40 in"}, "top": "1 ft", "depth": "18 in"},
    ],
    "beams": [
        {
            "name": "B1", "piers": ["P1", "P2"], "direction": 0, "width": "6 in", "depth": "16 in",
            "plies": 3, "offset": "0 in", "overhang": ["12 in", "12 in"], "above": "0.5 in", "hole": "1.1 in",
            "holes_at": [["0", "0"]], "named_end": "west", "splices": ["4 ft"],
        },
    ],
    "piers": [
        {
            "mark": "P1", "x": "0 ft", "y": "0 ft", "top": "9 ft", "bottom": "1 ft", "kind": "square",
            "turn": 45,
        },
        {"mark": "P2", "x": "10 ft", "y": "0 ft", "top": "9 ft", "bottom": "1 ft", "kind": "round"},
    ],
    "shots": {
        "units": "us survey ft", "columns": "PENZD", "pattern": "MARK-WHAT-NUMBER",
        "words": {"rod": "AB", "dowel": "DWL", "top": "TC", "bottom": "BC"},
        "uncertainty": "0.005 ft", "tape_uncertainty": "0.0625 in", "fit": "best fit",
        "play": {"shift": "0.5 in", "turn": 2},
    },
    "answered": [
        {"finding": "f", "by": "b", "date": "d", "reference": "r", "measured": "1.5 in"},
    ],
}  # fmt: skip

WRONG = ("nonsense", "{a: b}", ".nan")
MORE = ("-3", "-3 in", "0", ".inf", "1e9", "12", "[1, 2, 3]", "[]", "99999999 ft", '""', "8.5", "", "#8", "~")
Path_ = tuple[str | int, ...]


@dataclass(frozen=True)
class At:
    """A field of FULL, by the keys and numbers on the way to it."""

    path: Path_

    def __str__(self) -> str:
        return ".".join(map(str, self.path))


def fields(value: Any, path: Path_ = ()) -> Iterator[Path_]:
    if isinstance(value, dict):
        for key, item in value.items():
            yield (*path, key)
            yield from fields(item, (*path, key))
    elif isinstance(value, list):
        for i, item in enumerate(value):
            yield (*path, i)
            yield from fields(item, (*path, i))


ALL = [At(path) for path in fields(FULL)]
MARKER = "HERE"
JARGON = ("pydantic", "Input should", "valid ", "type=", "Spec", "dict", "tuple", "NoneType")


def with_marker(path: Path_) -> str:
    """FULL as text, every field on its own line, with the value at `path` replaced by MARKER."""

    def copy(value: Any, rest: Path_) -> Any:
        if not rest:
            return MARKER
        if isinstance(value, dict):
            return {key: copy(item, rest[1:]) if key == rest[0] else item for key, item in value.items()}
        return [copy(item, rest[1:]) if i == rest[0] else item for i, item in enumerate(value)]

    made: str = yaml.dump(copy(FULL, path), Dumper=yaml.CSafeDumper, sort_keys=False, width=1000)
    return made


def problems(path: Path) -> tuple[Problem, ...]:
    """The problems of a site file; none where it is read."""
    try:
        read_site(path)
    except BadInput as told:
        return told.problems
    return ()


def test_the_full_site_is_read_and_has_every_field(tmp_path: Path) -> None:
    path = tmp_path / "site.yaml"
    path.write_text(yaml.safe_dump(FULL, sort_keys=False), encoding="utf-8")
    read_site(path)
    given = {(model, name) for model, name in _given(FULL, SiteSpec)}
    known = {(model, name) for model in _models(SiteSpec) for name in model.model_fields}
    # A pier inherits the fields of its kind; they are given there.
    known -= {(PierSpec, name) for name in KindSpec.model_fields}
    missing = sorted(f"{model.__name__}.{name}" for model, name in known - given)
    assert missing == []


def _models(model: type[Spec]) -> set[type[Spec]]:
    found, waiting = {model}, [model]
    while waiting:
        for name in (above := waiting.pop()).model_fields:
            for block in blocks_in(above, name):
                if block not in found:
                    found.add(block)
                    waiting.append(block)
    return found


def _given(value: Any, model: type[Spec]) -> Iterator[tuple[type[Spec], str]]:
    for name, item in value.items():
        yield model, name
        items = item if isinstance(item, list) else list(item.values()) if name == "kinds" else [item]
        for one in items:
            if isinstance(one, dict) and blocks_in(model, name):  # ties are moved by number, not by name
                fitting = [
                    block for block in blocks_in(model, name) if one.keys() <= block.model_fields.keys()
                ]
                yield from _given(one, fitting[0])


def refuses(folder: Path, at: At, wrongs: Sequence[str]) -> int:
    """How many of the wrong values are refused, each in plain words and at its line."""
    text = with_marker(at.path)
    line = text[: text.index(MARKER)].count("\n") + 1
    path = folder / "site.yaml"
    refused = 0
    for wrong in wrongs:
        path.write_text(text.replace(MARKER, wrong), encoding="utf-8")
        found = problems(path)
        refused += bool(found)
        lines = {problem.place.line for problem in found}
        # An empty field is left out: what its block then lacks is told at the block.
        left_out = wrong in ("", "~")
        assert not found or line in lines or left_out or _elsewhere(at.path), (wrong, [str(p) for p in found])
        for says in map(str, found):
            assert "\n" not in says
            assert not [word for word in JARGON if word in says], says
    return refused


@pytest.mark.parametrize("at", ALL, ids=str)
def test_a_wrong_value_is_refused_at_its_line(tmp_path: Path, at: At) -> None:
    assert refuses(tmp_path, at, WRONG) > 0, "every wrong value was taken"


@pytest.mark.long
@pytest.mark.parametrize("at", ALL, ids=str)
def test_more_wrong_values_are_refused_at_their_line_or_legal(tmp_path: Path, at: At) -> None:
    refuses(tmp_path, at, MORE)


def _elsewhere(path: Path_) -> bool:
    """Fields whose value is legal in itself but changes what others may say, which is then told there."""
    return path[-1] in (
        "type", "end", "units", "mark", "name", "level_on", "foot", "kinds", "square", "top",
        "carries",  # a weld to a post needs one
    )  # fmt: skip
