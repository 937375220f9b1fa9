"""The JSON Schema (draft-07) of a site file as it is written, for editors that complete and check YAML."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from models.reading.merging import blocks_in
from models.spec.base import LENGTH, Spec
from models.spec.pier import KindSpec
from models.spec.schedule import ScheduleSpec
from models.spec.site import SiteSpec

Schema = dict[str, Any]

_PLACED = ("mark", "x", "y", "top", "bottom", "kind")
"""What every pier says itself."""


def site_schema() -> Schema:
    """A schema of the YAML as written: kinds in full, piers by what differs, lengths as text or number.

    It knows the fields, their words and kinds of value; sums and references are checked by reading the file.
    """
    made = SiteSpec.model_json_schema(mode="validation", ref_template="#/definitions/{model}")
    definitions: dict[str, Schema] = made.pop("$defs")
    definitions["ScheduleSpec"] = ScheduleSpec.model_json_schema()
    for model in _blocks_below(KindSpec):
        definitions[f"{model.__name__}_difference"] = _difference(definitions[model.__name__])
    pier = _difference(definitions["PierSpec"])
    difference = deepcopy(pier)
    del difference["properties"]["mark"]
    definitions["PierSpec"] = {**pier, "required": list(_PLACED)}
    schedule = definitions["ScheduleSpec"]["properties"]
    schedule["differences"]["additionalProperties"] = difference
    piers = made["properties"]["piers"]
    made["properties"]["piers"] = {
        "description": "a list of piers, or a schedule that lists them",
        "anyOf": [piers, {"$ref": "#/definitions/ScheduleSpec"}],
    }
    for holder in (definitions["KindSpec"], definitions["PierSpec"], difference):
        parts = holder["properties"]["seat"]
        holder["properties"]["seat"] = {"anyOf": [*parts.get("anyOf", [parts]), {"type": "null"}]}
    whole: Schema = _as_written({**made, "definitions": definitions})
    whole["definitions"]["Length"] = dict(LENGTH)
    return {"$schema": "http://json-schema.org/draft-07/schema#", "title": "Site file", **whole}


def _blocks_below(model: type[Spec]) -> list[type[Spec]]:
    """Every spec model that stands in the fields of one, each once, by name."""
    found: dict[str, type[Spec]] = {}
    waiting = [model]
    while waiting:
        for field in (above := waiting.pop()).model_fields:
            for block in blocks_in(above, field):
                if block.__name__ not in found:
                    found[block.__name__] = block
                    waiting.append(block)
    return [found[name] for name in sorted(found)]


def _difference(schema: Schema) -> Schema:
    """The same block with nothing required: what differs is enough. Lists stay whole, their items full."""
    out = deepcopy(schema)
    out.pop("required", None)
    out["properties"] = {name: _loosened(field) for name, field in out["properties"].items()}
    return out


def _loosened(field: Schema) -> Schema:
    """A field that may refer to differences of a block, and may be left empty to remove the kind's."""
    refers = str(field.get("$ref", "")).startswith("#/definitions/")
    if refers:
        field = {**field, "$ref": f"{field['$ref']}_difference"}
    if "anyOf" in field:
        parts = [_referring(part) for part in field["anyOf"]]
        empty = {"type": "null"}
        field = {**field, "anyOf": parts if empty in parts else [*parts, empty]}
    elif refers or "oneOf" in field:
        field = {"anyOf": [field, {"type": "null"}]}
    elif isinstance(field.get("type"), str) and "enum" not in field:
        field = {**field, "type": [field["type"], "null"]}
    return field


def _referring(part: Schema) -> Schema:
    return {**part, "$ref": f"{part['$ref']}_difference"} if "$ref" in part else part


def _as_written(value: Any) -> Any:
    """Draft-07, and what a hand may write: names of words with spaces, `none` for a block, 90 as a word.

    What newer drafts call prefixItems is a list of items in draft-07. Defaults are mm, so they are left out.
    """
    if isinstance(value, list):
        return [_as_written(item) for item in value]
    if not isinstance(value, dict):
        return value
    if value == LENGTH:
        return {"$ref": "#/definitions/Length"}
    out = {key: _as_written(item) for key, item in value.items() if key not in _LEFT_OUT}
    if "prefixItems" in value:
        out["items"] = _as_written(value["prefixItems"])
        out["additionalItems"] = False
    words = [value["const"]] if "const" in value else value.get("enum")
    if words is not None:
        out["enum"] = [*words, *(int(word) for word in words if isinstance(word, str) and word.isdigit())]
        out.pop("type", None)
    parts = out.get("anyOf", [])
    if {"type": "null"} in parts and any("$ref" in part and part != _LENGTH_REF for part in parts):
        out["anyOf"] = [part for part in parts if part != {"type": "null"}] + [{"enum": ["none", None]}]
    if isinstance(fields := out.get("properties"), dict) and "type" in out:
        spaced = {f"^{name.replace('_', '[ -]')}$": field for name, field in fields.items() if "_" in name}
        if spaced:
            out["patternProperties"] = spaced
            out["required"] = [name for name in out.get("required", []) if "_" not in name]
    return out


_LEFT_OUT = frozenset({"default", "prefixItems", "discriminator", "const", "title"})
_LENGTH_REF = {"$ref": "#/definitions/Length"}
