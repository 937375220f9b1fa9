"""One pier as judged: its place, and its kind with its own differences merged in."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from models.spec.base import Angle, Point, Positive, Signed, Spec
from models.spec.cage import Cage
from models.spec.concrete import ConcreteSpec
from models.spec.outline import OutlineSpec
from models.spec.required import Required
from models.spec.seat import Seat


class SweptEmbed(Spec):
    """A conduit, pipe or strap of round section, in the pier's frame."""

    name: str
    diameter: Positive
    points: list[tuple[Signed, Signed, Signed]] = Field(min_length=2, description="x, y, and height above the top of concrete")
    bend: Positive | None = Field(None, description="inside bend diameter at each turn")
    exits: list[Literal["top", "bottom"]] = Field(default_factory=list)


class PrismEmbed(Spec):
    """A block, sleeve or strap of any plan, in the pier's frame."""

    name: str
    outline: OutlineSpec
    bore: Positive | None = Field(None, description="a round hole down its middle")
    bottom: Signed = Field(description="height above the top of concrete (negative below it)")
    top: Signed
    exits: list[Literal["top", "bottom"]] = Field(default_factory=list)


class KindSpec(Spec):
    """A type of pier shared by many marks; every field can be overridden by one pier."""

    outline: OutlineSpec
    use: Literal["column", "pedestal"] | None = None
    concrete: ConcreteSpec = ConcreteSpec()
    required: Required = Required()
    cage: Cage | None = None
    seat: Seat = Seat(type="none")
    embeds: list[SweptEmbed | PrismEmbed] = Field(default_factory=list)


class PierSpec(KindSpec):
    """A pier: a kind, a place, and what differs."""

    mark: Annotated[str, Field(min_length=1, max_length=24, pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]*$")]
    x: Signed
    y: Signed
    top: Signed = Field(description="elevation of the top of concrete")
    bottom: Signed = Field(description="elevation of the bottom of the pier")
    kind: str
    turn: Angle = Field(0.0, description="degrees counterclockwise")


__all__ = ["KindSpec", "PierSpec", "Point", "PrismEmbed", "SweptEmbed"]
