"""From a field of a spec to words: where it stands, what it is called, what was given, and what would do."""

from __future__ import annotations

from collections.abc import Sequence
from types import UnionType
from typing import Annotated, Any, Literal, NamedTuple, Union, get_args, get_origin

from pydantic import WithJsonSchema
from pydantic_core import ErrorDetails

from models.lengths import Units
from models.problems import Place, Problem
from models.reading.merging import blocks_in
from models.reading.yamlfile import Items, Map, Text
from models.spec.base import Spec, nearest

Names = list[str | int]

_ONE_OF = {
    "piers": "pier",
    "beams": "beam",
    "grade_beams": "grade beam",
    "embeds": "embed",
    "control_points": "control point",
    "answered": "answer",
}


class Told(NamedTuple):
    """A problem, and its reason without the words for whose field it is, by which it is told only once."""

    problem: Problem
    reason: str


class Block(NamedTuple):
    """Raw fields, the model they are to fit, whose they are in words ("pier P7"), and the site's units."""

    raw: Map
    model: type[Spec]
    owner: str
    units: Units | None

    def problem(self, path: Sequence[str | int], wrong: str, instead: str) -> Told:
        """A problem with what stands at this path of fields."""
        found = find(self.raw, path)
        return self._told(found.place, found.names, wrong, instead)

    def problems_of(self, errors: Sequence[ErrorDetails]) -> list[Told]:
        """The problems that validation found; a misspelled field is told once, not also as missing."""
        meant = {
            (*error["loc"][:-1], self._meant(find(self.raw, error["loc"]).names))
            for error in errors
            if error["type"] == "extra_forbidden"
        }
        return [self._problem_of(e) for e in errors if e["type"] != "missing" or tuple(e["loc"]) not in meant]

    def _meant(self, names: Names) -> str:
        """The known field that an unknown one is spelled most like; empty when none comes near."""
        holder = model_at(self.model, names[:-1], self.raw)
        return nearest(str(names[-1]), holder.model_fields) if holder and names else ""

    def _problem_of(self, error: ErrorDetails) -> Told:
        found = find(self.raw, error["loc"])
        wrong, instead = self._reason(error, found)
        names = found.names
        if error["type"] == "missing" and names and isinstance(names[-1], int):
            names = names[:-1]
        place = found.key_place if error["type"] == "extra_forbidden" else found.place
        return self._told(place, names, wrong, instead)

    def _told(self, place: Place, names: Names, wrong: str, instead: str) -> Told:
        field = in_words(self.raw, names, self.owner)
        joint = " " if wrong.startswith("is ") else ": "
        return Told(Problem(place, f"{field}{joint}{wrong}" if field else wrong, instead), wrong)

    def _reason(self, error: ErrorDetails, found: Found) -> tuple[str, str]:
        """What is wrong and what would do, in plain words, for any error of validation."""
        kind, limits = error["type"], error.get("ctx", {})
        holder = model_at(self.model, found.names[:-1], self.raw)
        if kind == "value_error":
            wrong, _, instead = str(limits["error"]).partition("; ")
            return wrong, instead
        if kind == "missing":
            return self._missing(found, holder)
        if kind == "extra_forbidden":
            known = list(holder.model_fields) if holder else []
            near = self._meant(found.names)
            instead = f"did you mean {near}?" if near else f"the fields here are {', '.join(known)}"
            return "there is no such field", instead
        if kind in ("model_type", "model_attributes_type", "dict_type"):
            block = model_at(self.model, found.names, self.raw)
            fields = f"its fields: {', '.join(block.model_fields)}" if block else "its fields below it"
            return f"{given(found.value)} where a block of fields should be", f"write {fields}"
        if kind in ("list_type", "tuple_type"):
            return f"{given(found.value)} where a list should be", f"write {self._list_like(found.names)}"
        if kind in ("too_short", "too_long"):
            side, key = ("at least", "min_length") if kind == "too_short" else ("at most", "max_length")
            have = len(found.value) if isinstance(found.value, list | dict) else 0
            return f"it has {_things(have)}", f"give {side} {limits.get(key)}"
        for name, word, advice in _LIMITS:
            if name in limits:
                return f"{given(found.value)} {word} {limits[name]:g}", f"write {advice} {limits[name]:g}"
        return f"{given(found.value)} cannot be used here", "see the example sites for what stands here"

    def _missing(self, found: Found, holder: type[Spec] | None) -> tuple[str, str]:
        last = found.names[-1] if found.names else ""
        if isinstance(last, int):
            above = find(self.raw, found.names[:-1]).value
            have = len(above) if isinstance(above, Items) else 0
            return (
                f"it has {_things(have)}, and that is too few",
                f"write {self._list_like(found.names[:-1])}",
            )
        example = example_of(holder, last, self.units) if holder else ""
        if found.place.cell is not None and found.there:
            return "is empty", f"fill in its cell, like {example}" if example else ""
        return "is empty" if found.there else "is missing", f"write {last}: {example}" if example else ""

    def _list_like(self, names: Names) -> str:
        """What a list looks like that stands at these fields."""
        deep = 0
        while names and isinstance(names[-1], int):
            names, deep = names[:-1], deep + 1
        holder = model_at(self.model, names[:-1], self.raw) if names else None
        example = example_of(holder, str(names[-1]), self.units) if holder else ""
        return example[deep : len(example) - deep] or "[a, b]"


_LIMITS = (
    ("gt", "is not more than", "a figure above"),
    ("ge", "is less than", "at least"),
    ("lt", "is not less than", "a figure below"),
    ("le", "is more than", "at most"),
)


class Found(NamedTuple):
    """What stands at a path of fields.

    place: its own, or where it is missing that of the block that should hold it; key_place: of its name;
    value: None where missing;
    names: the fields on the way, without steps that the raw data do not have (the tags of a union);
    there: whether its name stands in the file.
    """

    place: Place
    key_place: Place
    value: Any
    names: Names
    there: bool


def find(raw: Map, path: Sequence[str | int]) -> Found:
    """Look a path of fields up in raw data."""
    here: Any = raw
    place = key_place = raw.place
    names, there = Names(), True
    for i, step in enumerate(path):
        is_last = i == len(path) - 1
        if step == "[key]" and names:  # the name of a field is wrong, not what stands in it
            here, place = names[-1], key_place
            continue
        if isinstance(here, Map) and isinstance(step, str) and step in here.keys_at:
            place = key_place = here.keys_at[step]
            here = here.get(step)
        elif isinstance(here, Items) and isinstance(step, int) and step < len(here):
            place = key_place = here.items_at[step]
            here = here[step]
        elif is_last and isinstance(here, Map if isinstance(step, str) else Items):
            here, there = None, False
        else:
            continue
        names.append(step)
        if isinstance(here, Text):
            place = here.place
    return Found(place, key_place, here, names, there)


def in_words(raw: Map, names: Names, owner: str) -> str:
    """The field in words, from the inside out: "spacing of the ties of the cage of pier P7"."""
    words: list[str] = [owner] if owner else []
    here: Any = raw
    for i, name in enumerate(names):
        if isinstance(name, str):
            here = here.get(name) if isinstance(here, Map) else None
            words.append(f"the {given(name).replace('_', ' ')}")
            continue
        here = here[name] if isinstance(here, Items) and name < len(here) else None
        above = names[i - 1] if i else ""
        called = (here.get("name") or here.get("mark")) if isinstance(here, Map) else None
        shown = given(called) if isinstance(called, Text) else f"{name + 1}"
        if above in _ONE_OF:
            words[-1] = f"{_ONE_OF[str(above)]} {shown}"
        elif isinstance(above, int):
            words.append(f"item {name + 1}")
        else:
            words[-1] = f"item {name + 1} of {words[-1]}"
    if names:
        words[-1] = words[-1].removeprefix("the ")
    return " of ".join(reversed(words))


def model_at(model: type[Spec], names: Names, raw: Map) -> type[Spec] | None:
    """The model of the block at these fields; where a list takes several, the one that fits the raw best."""
    here: Any = raw
    known: tuple[type[Spec], ...] = (model,)
    for name in names:
        if isinstance(name, str):
            one = _fitting(known, here)
            if one is None:
                return None
            known = blocks_in(one, name)
            here = here.get(name) if isinstance(here, Map) else None
        else:
            here = here[name] if isinstance(here, Items) and name < len(here) else None
    return _fitting(known, here)


def _fitting(known: tuple[type[Spec], ...], raw: Any) -> type[Spec] | None:
    fields = set(raw) if isinstance(raw, Map) else set()
    return max(known, key=lambda spec: len(fields & spec.model_fields.keys()), default=None)


def given(value: Any) -> str:
    """What was given, short and on one line."""
    if value is None:
        return "nothing"
    if isinstance(value, dict | list):
        return "a block of fields" if isinstance(value, dict) else "a list"
    one = " ".join(str(value).split())
    return (one if len(one) <= 40 else one[:37] + "...") or "an empty text"


def example_of(model: type[Spec], field: str, units: Units | None) -> str:
    """How a field may be written, in these units; empty for a block."""
    info = model.model_fields.get(field)
    if info is not None and info.examples:
        return str(info.examples[0])
    return "" if info is None else _example(info.annotation, info.metadata, units)


def _example(annotation: Any, metadata: Sequence[Any], units: Units | None) -> str:
    for item in metadata:
        if isinstance(item, WithJsonSchema) and (examples := (item.json_schema or {}).get("examples")):
            return str(examples[-1 if units == Units.MM else 0])
    origin, parts = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _example(parts[0], parts[1:], units)
    if origin in (Union, UnionType):
        return _example(parts[0], (), units)
    if origin is Literal:
        return str(parts[0])
    if origin in (tuple, list):
        inner = [_example(part, (), units) for part in parts]
        return f"[{', '.join(inner)}]" if all(inner) else ""
    return "4" if annotation is int else ""


def _things(count: int) -> str:
    return "1 item" if count == 1 else f"{count} items"
