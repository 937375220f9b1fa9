"""The common ground of every spec model: strictness, lengths, strengths, bar sizes, words and points."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from functools import lru_cache
from typing import Annotated, Any, ClassVar, Literal

from pydantic import (
    BaseModel,
    ConfigDict,
    Discriminator,
    Field,
    Tag,
    ValidationInfo,
    WithJsonSchema,
)

from models.catalogue import canonical_bar
from models.lengths import Units, angle_from, length_from, stress_from
from models.shapes.volumes import volume_from
from models.spec.before import Before, BeforeIn

LONGEST = 1e6
"""mm: no size of a pier or of what is in it comes near 1 km; coordinates and elevations may."""


class Spec(BaseModel):
    """Base of every spec model: frozen, no unknown fields, no NaN or infinity.

    rivals: ways to say one thing, of which a block uses one. Each way is the names of its fields, the leading
    one first; a difference that leads with one way drops the fields of the others instead of mixing them.
    Defaults that are blocks are made by model_construct: their own validators need not be built at start-up.
    Without a validation context, numbers are mm; a file is read with `{"units": ..., "foot": ...}`.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, defer_build=True)
    rivals: ClassVar[tuple[tuple[str, ...], ...]] = ()


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word that is spelled most like this one; empty when none comes near."""
    by_low = {name.lower(): name for name in known}
    close = get_close_matches(word.lower(), by_low, n=1, cutoff=0.6)
    return by_low[close[0]] if close else ""


def _kind(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, dict | list | tuple):
        return "a block of fields" if isinstance(value, dict) else "a list"
    return str(value)


def _units(info: ValidationInfo) -> Units | None:
    return (info.context or {}).get("units")


def _length(value: Any, info: ValidationInfo) -> float:
    mm = length_from(value, _units(info))
    if abs(mm) > LONGEST:
        raise ValueError(
            f"{value} is longer than 1 km, and nothing of a pier is; check the figure and its unit"
        )
    return mm


def _coordinate(value: Any, info: ValidationInfo) -> float:
    return length_from(value, _units(info), (info.context or {}).get("foot", "international"))


_canonical = lru_cache(maxsize=1024)(canonical_bar)


def _bar_size(value: Any, info: ValidationInfo) -> str:
    if isinstance(value, bool) or not isinstance(value, str | int):
        raise ValueError(f"{_kind(value)} where a bar size should be; write one, like No. 8, 25M or 16 mm")
    units = _units(info)
    if units is not None:
        return _canonical(str(value), units)
    try:
        return _canonical(str(value), Units.FT_IN)
    except ValueError:
        return _canonical(str(value), Units.MM)


def _count(value: Any) -> int:
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    if not isinstance(value, str):
        raise ValueError(f"{_kind(value)} where a count should be; write a whole number")
    text = value.strip()
    if not (text.isascii() and text.removeprefix("-").isdigit() and len(text) < 10):
        raise ValueError(f"{_short(value)} is not a count; write a whole number")
    return int(text)


def _flag(value: Any) -> bool:
    if isinstance(value, bool):
        return value
    word = value.strip().lower() if isinstance(value, str) else ""
    if word in ("yes", "true"):
        return True
    if word in ("no", "false"):
        return False
    given = f"{_short(value)} is neither yes nor no" if word else f"{_kind(value)} where yes or no should be"
    raise ValueError(f"{given}; write yes or no")


def _short(value: str) -> str:
    one = " ".join(value.split())
    return (one if len(one) <= 40 else one[:37] + "...") or "an empty text"


def _line(value: Any) -> str:
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise ValueError(f"{_kind(value)} where a text should be; write it on the field's own line")
    text = " ".join(str(value).split())
    if len(text) > 200:
        raise ValueError(f"{_short(text)} is longer than 200 letters; write a shorter one")
    return text


def _name(value: Any) -> str:
    text = _line(value)
    plain = all(c.isalnum() or c in " _.-" for c in text)
    if text and text[0].isalpha() and len(text) <= 40 and plain and text.isascii():
        return text
    advice = "begin with a letter, then letters, digits, spaces, dots and dashes, 40 at most"
    raise ValueError(f"{_short(text)} cannot be a name; {advice}")


def _mark(value: Any) -> str:
    text = _line(value)
    plain = all(c.isalnum() or c in "_.-" for c in text)
    if text and text[0].isalpha() and len(text) <= 24 and plain and text.isascii():
        return text
    if text.replace(".", "", 1).isdigit():
        hint = "a spreadsheet turns 07 into 7 and 1E2 into 100: begin marks with a letter, like P7"
        raise ValueError(f"{_short(text)} is a number, not a mark; {hint}")
    advice = "begin with a letter, then letters, digits, dots and dashes without spaces, 24 at most, like P7"
    raise ValueError(f"{_short(text)} cannot be a mark; {advice}")


def choice(*words: str) -> Before:
    """A validator that takes one of these words in any case, and offers the nearest where it is none."""
    by_low = {word.lower(): word for word in words}

    def check(value: Any) -> str:
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise ValueError(f"{_kind(value)} where a word should be; write one of {', '.join(words)}")
        text = " ".join(str(value).lower().split())
        if text in by_low:
            return by_low[text]
        near = nearest(text, words)
        meant = f"did you mean {near}? " if near else ""
        raise ValueError(f"{_short(str(value))} is not known here; {meant}write one of {', '.join(words)}")

    return Before(check)


def none_word(value: Any) -> Any:
    """The word `none` in place of a block: there is no such thing here."""
    return None if isinstance(value, str) and value.strip().lower() == "none" else value


def _one_or_two(value: Any) -> str:
    return "two" if isinstance(value, list | tuple) else "one"


def _schema(description: str, *types: str, **more: Any) -> WithJsonSchema:
    kinds: dict[str, Any] = {"type": types[0]} if len(types) == 1 else {"anyOf": [{"type": t} for t in types]}
    return WithJsonSchema({**kinds, "description": description, **more})


LENGTH = {
    "anyOf": [{"type": "string"}, {"type": "number"}],
    "description": 'a length such as 3\'-6 1/2", 42 1/2", 42.5 in, 3.54 ft, 1067 mm or 1.067 m; a bare '
    "number is mm, in a site whose units are mm",
    "examples": ['8"', "3'-6 1/2\"", "42.5 in", "200 mm"],
}
"""JSON Schema of a length."""
_LENGTH = WithJsonSchema(LENGTH)

Signed = Annotated[float, BeforeIn(_length), _LENGTH]
"""A length of either sign, mm."""
Positive = Annotated[float, BeforeIn(_length), Field(gt=0.0), _LENGTH]
"""A length greater than zero, mm."""
NonNegative = Annotated[float, BeforeIn(_length), Field(ge=0.0), _LENGTH]
"""A length of zero or more, mm."""
Coordinate = Annotated[float, BeforeIn(_coordinate), _LENGTH]
"""A coordinate or elevation of the site, mm; feet are the site's foot."""
Stress = Annotated[
    float,
    Before(stress_from),
    Field(gt=0.0),
    _schema(
        "a strength such as 5000 psi, 5 ksi, 35 MPa or C30/37", "string", examples=["5000 psi", "35 MPa"]
    ),
]
"""A strength, MPa."""
Volume = Annotated[
    float,
    Before(volume_from),
    Field(gt=0.0),
    _schema("a volume such as 0.45 cu ft or 12.7 L", "string", examples=["0.45 cu ft", "12.7 L"]),
]
"""A volume, mm3."""
Angle = Annotated[
    float,
    Before(angle_from),
    _schema("degrees, counterclockwise", "number", "string", examples=[45]),
]
"""An angle in degrees, counterclockwise."""
BarSize = Annotated[
    str,
    BeforeIn(_bar_size),
    _schema(
        'a bar size: No. 8, 8 or "#8"; 25M, 16 mm', "string", "integer", examples=["No. 8", "25M", "16 mm"]
    ),
]
"""A bar size, canonical."""
Count = Annotated[int, Before(_count)]
"""A whole number."""
Flag = Annotated[bool, Before(_flag), _schema("yes or no", "boolean", "string", examples=["yes"])]
"""Yes or no."""
Line = Annotated[str, Before(_line), _schema("a text", "string", "number", examples=["a text"])]
"""Free text on one line."""
Name = Annotated[str, Before(_name), _schema("a name that begins with a letter", "string", examples=["B1"])]
"""A name that can stand in an id."""
Kind = Annotated[str, Before(_line), _schema("the name of a kind", "string", examples=["tall"])]
"""The name of a kind."""
Mark = Annotated[str, Before(_mark), _schema("a mark that begins with a letter", "string", examples=["P7"])]
"""A pier's mark."""
Point = tuple[Signed, Signed]
"""x, y in mm."""
Size2 = Annotated[
    Annotated[tuple[Positive, Positive], Tag("two")] | Annotated[Positive, Tag("one")],
    Discriminator(_one_or_two),
]
"""One length for both directions, or one along x and one along y."""
Signed2 = Annotated[
    Annotated[tuple[Signed, Signed], Tag("two")] | Annotated[Signed, Tag("one")], Discriminator(_one_or_two)
]
"""One length for both ends, or one for each."""
Coating = Annotated[Literal["plain", "epoxy", "galvanized"], choice("plain", "epoxy", "galvanized")]
"""What covers the steel."""
HookTo = Annotated[Literal["in", "out", "left", "right"], choice("in", "out", "left", "right")]
"""Which way a hook points, seen from the center of the pier."""
Exits = Annotated[Literal["top", "bottom"], choice("top", "bottom")]
"""A face of the concrete."""
