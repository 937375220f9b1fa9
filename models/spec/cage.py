"""The cage: verticals, ties, crossties, dowels."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from models.spec.base import (
    Angle,
    BarSize,
    Coating,
    Count,
    Flag,
    HookTo,
    NonNegative,
    Point,
    Positive,
    Signed,
    Size2,
    Spec,
    Stress,
    choice,
    none_word,
)
from models.spec.before import Before

BarCount = Annotated[Count, Field(ge=1, le=200)]


class PerFace(Spec):
    """Verticals by face of a rectangular cage, corners counted in both."""

    x: Annotated[Count, Field(ge=2, le=50)] = Field(description="bars along each face that runs with x")
    y: Annotated[Count, Field(ge=2, le=50)] = Field(description="bars along each face that runs with y")


class Verticals(Spec):
    """Longitudinal bars; exactly one of count, per_face or at."""

    rivals: ClassVar[tuple[tuple[str, ...], ...]] = (("count",), ("per_face",), ("at",))

    size: BarSize
    count: Annotated[Count, Field(ge=3, le=200)] | None = Field(
        None, description="equally around the cage, the first in a corner"
    )
    per_face: Annotated[PerFace | None, Before(none_word)] = None
    at: list[Point] | None = Field(
        None, description="centers, from the pier's center", min_length=1, max_length=200
    )
    start: Angle = Field(0.0, description="round cages: where the first bar stands, from the pier's x")
    top: NonNegative | None = Field(
        None, description="top of concrete to the bar end; the top cover when left out"
    )
    bottom: NonNegative | None = Field(
        None, description="bottom of pier to the bar end; the bottom cover when left out"
    )
    coating: Coating = "plain"


class TopGroup(Spec):
    """The closer group of ties around the rods at the top."""

    count: Annotated[Count, Field(ge=1, le=20)]
    clear: Positive = Field(description="clear space between the bars of two ties that follow")


class Crossties(Spec):
    """Crossties on top of every tie; each pair names two verticals by number, counted from the first."""

    size: BarSize | None = Field(None, description="the ties' size when left out")
    pairs: list[tuple[BarCount, BarCount]] = Field(
        min_length=1,
        max_length=100,
        examples=[[[2, 6]]],
        description="numbers of the two verticals that each crosstie holds",
    )


class Ties(Spec):
    """Closed ties of a rectangular cage, or hoops of a round one."""

    size: BarSize
    spacing: Positive
    first: NonNegative | None = Field(
        None, description="bottom of pier to the first tie's center; half a spacing when left out"
    )
    top: NonNegative | None = Field(
        None, description="top of concrete to the highest tie's upper side; the top cover when left out"
    )
    top_group: Annotated[TopGroup | None, Before(none_word)] = None
    tail: Positive | None = Field(
        None, description="straight tail of the hooks; the code's least when left out"
    )
    bend: Positive | None = Field(None, description="inside bend diameter; the code's least when left out")
    lap: Positive | None = Field(None, description="round hoops: lap of the ends")
    diamond: Flag = Field(False, description="a diamond tie through the middle bars, on top of every tie")
    crossties: Annotated[Crossties | None, Before(none_word)] = None
    coating: Coating = "plain"


class Dowels(Spec):
    """Bars that stand out of the grade beam; exactly one of count or at."""

    rivals: ClassVar[tuple[tuple[str, ...], ...]] = (("count",), ("at",))

    size: BarSize
    count: BarCount | None = Field(None, description="equally among the verticals, each lapped against one")
    at: list[Point] | None = Field(
        None, description="centers as found, from the pier's center", min_length=1, max_length=200
    )
    lap: Positive | None = Field(None, description="lap with the verticals that the drawings ask for")
    lap_in: Annotated[Literal["tension", "compression"], choice("tension", "compression")] = Field(
        "tension", description="how the laps are ever loaded; compression only where the engineer says so"
    )
    height: Positive = Field(description="how far they stand above the bottom of the pier")
    embed: Positive | None = Field(
        None, description="how far they reach into the grade beam; not modelled when left out"
    )
    hook: Annotated[Literal["none", "90"], choice("none", "90")] = Field(
        "90", description="at the foot, inside the grade beam"
    )
    hook_to: HookTo = Field("out", description="which way the foot points, seen from the center")
    bend: Positive | None = Field(
        None, description="inside bend diameter of the foot; the code's least when left out"
    )
    tail: Positive | None = Field(
        None, description="straight tail of the foot; the code's least when left out"
    )
    coating: Coating = "plain"


class Cage(Spec):
    """All the reinforcement of a pier."""

    size: Size2 | None = Field(
        None,
        description="out to out of the ties (diameter if round); pier size less side cover when left out",
    )
    offset: tuple[Signed, Signed] = Field((0.0, 0.0), description="center of the cage, from the pier's")
    verticals: Verticals
    yield_strength: Stress | None = Field(
        None, description="of all its bars; Grade 60 (Grade 420) when left out, where a lap depends on it"
    )
    ties: Annotated[Ties | None, Before(none_word)] = None
    dowels: Annotated[Dowels | None, Before(none_word)] = None
