"""JSON Schema (draft-07) of `pierclear asbuilt --json`."""

from __future__ import annotations

from typing import Any

_NUMBER = {"type": "number"}
_MAYBE = {"type": ["number", "null"]}
_PAIR = {"type": "array", "items": _NUMBER, "minItems": 2, "maxItems": 2}
_MAYBE_PAIR = {"anyOf": [_PAIR, {"type": "null"}]}
_TEXT = {"type": "string"}
_MAYBE_TRUE = {"type": ["boolean", "null"], "description": "null: not all of its rods were measured"}


def as_built_schema(draft: str, finding: dict[str, Any]) -> dict[str, Any]:
    """The schema; finding: that of one finding."""
    fit = {
        "way": {"enum": ["control points", "best fit", "as it stands"]},
        "turn_deg": {**_NUMBER, "description": "of the shots against the drawing, counterclockwise"},
        "move_mm": {**_PAIR, "description": "of the drawing's point about_mm, x and y"},
        "about_mm": _PAIR,
        "residual_mm": {**_NUMBER, "description": "root mean square over the points that decided"},
        "ppm": {**_NUMBER, "description": "how much farther apart measured than drawn; told, never applied"},
        "points": {"type": "integer"},
        "lift_mm": _MAYBE,
        "outliers": {"type": "array", "items": {"type": "object"}},
    }
    pier = {
        "pier": _TEXT,
        "off_mm": {**_MAYBE_PAIR, "description": "measured less drawn, site axes"},
        "off_of": {"enum": ["top", "rods", None]},
        "turn_deg": _MAYBE,
        "top_off_mm": {**_MAYBE, "description": "measured less drawn"},
        "plumb_mm": {**_MAYBE_PAIR, "description": "top less bottom, site axes"},
        "plumb_over_mm": _MAYBE,
        "rods_off_mm": _MAYBE_PAIR,
        "flush_mm": {"type": "object", "additionalProperties": _NUMBER},
    }
    seat = {
        "part": _TEXT,
        "drops_on": _MAYBE_TRUE,
        "room_mm": {**_MAYBE, "description": "in the tightest hole at the best move"},
        "bound_mm": {**_MAYBE, "description": "no move leaves more"},
        "uncertainty_mm": {**_MAYBE, "description": "of the measuring; it drops on when room_mm is not less"},
        "move_mm": {**_MAYBE_PAIR, "description": "of its origin, site axes, after turn_deg about it"},
        "turn_deg": _MAYBE,
        "why_not": _TEXT,
        "enlarge_mm": {**_MAYBE, "description": "every hole's diameter by this much would do"},
        "holes": {"type": "array", "items": {"type": "object"}},
        "in_the_way": {"type": "array", "items": {"type": "object"}},
    }
    under = {"grout_mm": _MAYBE, "level_mm": _MAYBE, "projection_left_mm": {"type": "object"}}
    whole = {
        "version": {"const": 1},
        "site": _TEXT,
        "input_sha256": _TEXT,
        "shots": _TEXT,
        "uncertainty_mm": _NUMBER,
        "fit": _keys(fit),
        "piers": {"type": "array", "items": _keys(pier)},
        "seats": {"type": "array", "items": _keys({"pier": _TEXT, **seat, **under})},
        "beams": {"type": "array", "items": _keys({"beam": _TEXT, "piers": {"type": "array"}, **seat})},
        "level_mm": {**_MAYBE, "description": "the greatest of (top of concrete + least grout)"},
        "levels": {"type": "array", "items": {"type": "object"}},
        "unmatched": {"type": "array", "items": _keys({"line": {"type": "integer"}, "text": _TEXT})},
        "checked": {"type": "integer"},
        "findings": {"type": "array", "items": finding},
    }
    return {"$schema": draft, "title": "pierclear as built, lengths in mm", **_keys(whole)}


def _keys(properties: dict[str, Any]) -> dict[str, Any]:
    return {"type": "object", "properties": properties, "required": list(properties)}
