"""How a pier's differences go over its kind: field by field, but never two ways of saying one thing."""

from __future__ import annotations

from functools import cache
from typing import Any, get_args, get_origin

from models.reading.yamlfile import Items, Map
from models.spec.base import Spec


@cache
def blocks_in(model: type[Spec], field: str) -> tuple[type[Spec], ...]:
    """The spec models that may stand in a field, alone or in its list; empty when it is no block."""
    info = model.model_fields.get(field)
    return () if info is None else tuple(_specs_in(info.annotation))


@cache
def block_of(model: type[Spec], field: str) -> type[Spec] | None:
    """The spec model of a block that stands in a field itself; None when the field is no block."""
    info = model.model_fields.get(field)
    if info is None or get_origin(info.annotation) in (list, dict, tuple):
        return None
    found = blocks_in(model, field)
    return found[0] if len(found) == 1 else None


def _specs_in(annotation: Any) -> list[type[Spec]]:
    if isinstance(annotation, type) and get_origin(annotation) is None:
        return [annotation] if issubclass(annotation, Spec) else []
    return [spec for part in get_args(annotation) for spec in _specs_in(part)]


def merge(base: Map, over: Map, model: type[Spec]) -> Map:
    """`base` with the fields of `over` put over it, as a new Map; both raw, `model` says what they describe.

    Blocks merge field by field; everything else is replaced, lists as a whole. An empty field (None) removes.
    Where `over` leads with one of the model's rival ways to say a thing, the fields of the others drop out.
    """
    out = Map(over.place)
    dropped = _dropped(over, model)
    for key, value in base.items():
        if key not in dropped:
            out.put(key, value, base.keys_at[key])
    for key, value in over.items():
        block = block_of(model, key)
        below = out.get(key)
        if block is not None and isinstance(value, Map) and isinstance(below, Map):
            value = merge(below, value, block)
        out.put(key, value, over.keys_at[key])
    return out


def _dropped(over: Map, model: type[Spec]) -> set[str]:
    """Fields of the base that a difference makes void."""
    leading = [way for way in model.rivals if over.get(way[0]) is not None]
    if len(leading) != 1:
        return set()  # none; or more than one, which validation tells
    return {field for way in model.rivals if way is not leading[0] for field in way}


def without_empty(value: Any) -> Any:
    """A raw value without its empty fields, recursively; keys_at still knows where they stood."""
    if isinstance(value, Map):
        out = Map(value.place)
        for key, item in value.items():
            if item is not None:
                out[key] = without_empty(item)
        out.keys_at = value.keys_at
        return out
    if isinstance(value, Items):
        made = Items(without_empty(item) for item in value)
        made.place, made.items_at = value.place, value.items_at
        return made
    return value
