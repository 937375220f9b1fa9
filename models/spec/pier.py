"""One pier as judged: its place, and its kind with its own differences merged in."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag

from models.spec.base import (
    Angle,
    Coordinate,
    Exits,
    Kind,
    Mark,
    Name,
    Point,
    Positive,
    Signed,
    Spec,
    choice,
    none_word,
)
from models.spec.before import Before
from models.spec.cage import Cage
from models.spec.concrete import ConcreteSpec
from models.spec.outline import OutlineSpec
from models.spec.required import Required
from models.spec.seat import Seat


class SweptEmbed(Spec):
    """A conduit, pipe or strap of round section, in the pier's frame."""

    name: Name
    diameter: Positive
    points: list[tuple[Signed, Signed, Signed]] = Field(
        min_length=2, max_length=200, description="x, y, and height above the top of concrete"
    )
    bend: Positive | None = Field(None, description="inside bend diameter at each turn")
    exits: list[Exits] = Field(
        default_factory=list, description="faces it goes out through on purpose; no cover is asked for there"
    )


class PrismEmbed(Spec):
    """A block, sleeve or strap of any plan, in the pier's frame."""

    name: Name
    outline: OutlineSpec
    bore: Positive | None = Field(None, description="a round hole down its middle")
    bottom: Signed = Field(description="height above the top of concrete (negative below it)")
    top: Signed
    exits: list[Exits] = Field(
        default_factory=list, description="faces it goes out through on purpose; no cover is asked for there"
    )


def _embed(value: Any) -> str:
    if isinstance(value, SweptEmbed):
        return "swept"
    return "swept" if isinstance(value, dict) and ("points" in value or "diameter" in value) else "prism"


Embed = Annotated[
    Annotated[SweptEmbed, Tag("swept")] | Annotated[PrismEmbed, Tag("prism")], Discriminator(_embed)
]


def _seat(value: Any) -> Any:
    return {"type": "none"} if none_word(value) is None else value


class KindSpec(Spec):
    """A type of pier shared by many marks; every field can be overridden by one pier."""

    outline: OutlineSpec
    use: Annotated[Literal["column", "pedestal"], choice("column", "pedestal")] | None = Field(
        None, description="which of the code's two it is; what depends on it is not checked when left out"
    )
    concrete: ConcreteSpec = Field(default_factory=ConcreteSpec.model_construct)
    required: Required = Field(default_factory=Required.model_construct)
    cage: Annotated[Cage | None, Before(none_word)] = None
    seat: Annotated[Seat, Before(_seat)] = Field(default_factory=lambda: Seat.model_construct(type="none"))
    embeds: list[Embed] = Field(default_factory=list, max_length=100)


class PierSpec(KindSpec):
    """A pier: a kind, a place, and what differs."""

    mark: Mark
    x: Coordinate = Field(description="of its center, east")
    y: Coordinate = Field(description="of its center, north")
    top: Coordinate = Field(description="elevation of the top of concrete")
    bottom: Coordinate = Field(description="elevation of the bottom of the pier")
    kind: Kind
    turn: Angle = Field(0.0, description="degrees counterclockwise")


__all__ = ["KindSpec", "PierSpec", "Point", "PrismEmbed", "SweptEmbed"]
