"""JSON Schema (draft-07) of what `pierclear` writes."""

from __future__ import annotations

from typing import Any

DRAFT = "http://json-schema.org/draft-07/schema#"

_LEVELS = ["HOLD", "TIGHT", "NOT CHECKED"]
_TEXTS = {"type": "array", "items": {"type": "string"}}
_MAYBE_NUMBER = {"type": ["number", "null"]}
_POINT = {"type": "array", "items": {"type": "number"}, "minItems": 3, "maxItems": 3}
_MAYBE_POINT = [_POINT, {"type": "null"}]


def schema_of(document: str) -> dict[str, Any]:
    """The schema of `site`, `findings`, `gaps` or `asbuilt`. Raises KeyError for anything else."""
    return {
        "site": _site_schema,
        "findings": findings_schema,
        "gaps": gaps_schema,
        "asbuilt": _as_built_schema,
    }[document]()


def findings_schema() -> dict[str, Any]:
    """Schema of `pierclear check --json`."""
    finding = _keys(
        {
            "id": {"type": "string", "minLength": 1, "description": "stable: findings are compared by it"},
            "level": {"enum": _LEVELS},
            "answered": {
                "type": ["string", "null"],
                "description": "the engineer's answer: who, when, reference",
            },
            "rule": {"type": "string", "minLength": 1},
            "source": {"type": "string", "minLength": 1, "description": "document, edition and clause"},
            "pier": {"type": "string", "description": "mark"},
            "parts": {"type": "array", "items": {"type": "string"}},
            "labels": {"type": "array", "items": {"type": "string"}, "description": "the parts in words"},
            "measured_mm": _MAYBE_NUMBER,
            "required_mm": _MAYBE_NUMBER,
            "limit": {"enum": ["least", "most", None], "description": "which way required_mm limits"},
            "tolerance_mm": _MAYBE_NUMBER,
            "reserve_mm": {**_MAYBE_NUMBER, "description": "how far it may move before it fails"},
            "at_mm": {"anyOf": _MAYBE_POINT, "description": "x east, y north, z up, site axes"},
            "says": {"type": "string", "minLength": 1, "description": "one sentence"},
            "measured": {**_MAYBE_NUMBER, "description": "where it isn't a length, in `unit`"},
            "required": _MAYBE_NUMBER,
            "unit": {"type": "string"},
            "lapsed": {"type": "string", "description": "an answer that holds no more, and why"},
        },
        optional=("measured", "required", "unit", "lapsed"),
    )
    report = _keys(
        {
            "version": {"const": 1},
            "site": {"type": "string"},
            "input_sha256": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
            "rule_book": {"type": "string", "minLength": 1},
            "overrides": {
                "type": "array",
                "items": {"type": "string"},
                "description": "looser than published",
            },
            "piers": {"type": "integer", "minimum": 0},
            "checked": {"type": "integer", "minimum": 0, "description": "judged measurements"},
            "not_checked": {"type": "integer", "minimum": 0},
            "clear": {
                "type": "object",
                "additionalProperties": {"type": "integer", "minimum": 0},
                "description": "by rule, how many measurements are clear",
            },
            "not_modelled": {"type": "array", "items": {"type": "string"}},
            "does_not_apply": {"type": "object", "additionalProperties": {"type": "string"}},
            "tolerances": {**_TEXTS, "description": "whose placing tolerances are taken, and how"},
            "both_axes": {**_TEXTS, "description": "met along each axis of the plan, not along both at once"},
            "answers": {**_TEXTS, "description": "answers that match no finding"},
            "since": _since_schema(),
            "findings": {"type": "array", "items": finding},
        },
        optional=(
            "clear",
            "not_modelled",
            "does_not_apply",
            "tolerances",
            "both_axes",
            "answers",
            "since",
        ),
    )
    return {"$schema": DRAFT, "title": "pierclear findings, lengths in mm", **report}


def _since_schema() -> dict[str, Any]:
    """What changed since an earlier report: of those in both, the level and the measurement then and now."""
    changed = _keys(
        {
            "id": {"type": "string"},
            "level": {"enum": _LEVELS},
            "was_level": {"enum": _LEVELS},
            "measured_mm": _MAYBE_NUMBER,
            "was_measured_mm": _MAYBE_NUMBER,
        }
    )
    gone = _keys({key: {"type": "string"} for key in ("id", "level", "pier", "says")})
    return _keys(
        {
            "file": {"type": "string"},
            "site": {"type": "string"},
            "input_sha256": {"type": "string"},
            "new": {**_TEXTS, "description": "ids"},
            "gone": {"type": "array", "items": gone},
            "better": {"type": "array", "items": changed},
            "worse": {"type": "array", "items": changed},
            "same": {"type": "integer", "minimum": 0},
        }
    )


def gaps_schema() -> dict[str, Any]:
    """Schema of `pierclear gaps --json`."""
    gap = _keys(
        {
            "pier": {"type": "string", "description": "mark"},
            "a": {"type": "string", "description": "a part's id"},
            "b": {"type": "string", "description": "a part's id, or a face such as P7/concrete/side"},
            "gap_mm": {
                **_MAYBE_NUMBER,
                "description": "surface to surface; negative where they overlap; null: not measured",
            },
            "shared_mm3": {**_MAYBE_NUMBER, "description": "shared volume of two parts that overlap"},
            "together": {
                "type": "boolean",
                "description": "false: never there at the same time (a template and a plate)",
            },
            "at_a_mm": {"anyOf": _MAYBE_POINT, "description": "nearest point on a, site axes"},
            "at_b_mm": {"anyOf": _MAYBE_POINT, "description": "nearest point on b, site axes"},
        },
        optional=("together",),
    )
    return {
        "$schema": DRAFT,
        "title": "pierclear gaps, lengths in mm",
        **_keys(
            {
                "version": {"const": 1},
                "within_mm": {"type": "number", "exclusiveMinimum": 0},
                "gaps": {"type": "array", "items": gap},
            },
            optional=("within_mm",),
        ),
    }


def _as_built_schema() -> dict[str, Any]:
    from viewer.report.as_built_schema import as_built_schema

    finding = findings_schema()["properties"]["findings"]["items"]
    return as_built_schema(DRAFT, finding)


def _site_schema() -> dict[str, Any]:
    from models.reading.schema import site_schema

    return site_schema()


def _keys(properties: dict[str, Any], optional: tuple[str, ...] = ()) -> dict[str, Any]:
    """An object with these keys, all there but the optional ones; more are allowed."""
    required = [key for key in properties if key not in optional]
    return {"type": "object", "properties": properties, "required": required}
