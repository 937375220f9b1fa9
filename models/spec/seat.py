"""The seat: rods or bar anchors, and what comes to stand on them."""

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
    Line,
    Name,
    NonNegative,
    Point,
    Positive,
    Signed,
    Size2,
    Spec,
    choice,
    none_word,
)
from models.spec.before import Before
from models.spec.outline import OutlineSpec
from models.spec.weld import Weld

Shape = Annotated[Literal["square", "round"], choice("square", "round")]
GridCount = Annotated[Count, Field(ge=1, le=20)]


class Pattern(Spec):
    """Where rods or holes are; exactly one of grid, circle or at."""

    rivals: ClassVar[tuple[tuple[str, ...], ...]] = (
        ("grid", "spacing"),
        ("circle", "count", "start"),
        ("at",),
    )

    grid: tuple[GridCount, GridCount] | None = Field(None, description="how many along x, along y")
    spacing: Size2 | None = Field(None, description="of the grid, center to center, along x and y")
    circle: Positive | None = Field(None, description="diameter of the rod circle")
    count: Annotated[Count, Field(ge=1, le=100)] | None = Field(None, description="how many on the circle")
    start: Angle = Field(0.0, description="where the first stands on the circle, from the pier's x")
    at: list[Point] | None = Field(
        None, description="centers, from the pier's center", min_length=1, max_length=200
    )
    offset: tuple[Signed, Signed] = Field(
        (0.0, 0.0), description="center of the pattern, from the pier's center"
    )
    turn: Angle = Field(0.0, description="of the whole pattern")


class HeadPlate(Spec):
    """A plate washer above the nut at the foot of a rod."""

    size: Positive = Field(description="side of the square, or diameter")
    thickness: Positive
    shape: Shape = "square"


class NutSize(Spec):
    """A nut that the catalogue does not list."""

    flats: Positive = Field(description="width across flats")
    height: Positive


class Rods(Spec):
    """Cast-in rods (diameter) or bar anchors (bar); exactly one of the two."""

    rivals: ClassVar[tuple[tuple[str, ...], ...]] = (("diameter",), ("bar",))

    diameter: Positive | None = Field(None, description="nominal thread diameter")
    bar: BarSize | None = Field(None, description="bar size, when reinforcing bars serve as anchors")
    pattern: Pattern
    embedment: Positive = Field(
        description="top of concrete to the bearing side of the head, or to the lowest point of a hook or "
        "a plain end"
    )
    projection: Positive = Field(description="top of concrete to the top of the rod")
    end: Annotated[Literal["nut", "plate", "J", "L", "plain"], choice("nut", "plate", "J", "L", "plain")] = (
        Field("nut", description="what holds the foot")
    )
    head_plate: Annotated[HeadPlate | None, Before(none_word)] = Field(None, description="with end: plate")
    stub: NonNegative = Field(0.0, description="rod showing below the nut at the foot")
    bend: Positive | None = Field(None, description="inside bend diameter of a hook")
    tail: NonNegative | None = Field(None, description="straight tail of a hook")
    hook_to: HookTo = Field("in", description="which way a hook points, seen from the center")
    thread: Positive | None = Field(None, description="threaded length at the top")
    nut: Annotated[NutSize | None, Before(none_word)] = Field(
        None, description="the nuts on the rods; the greatest heavy hex nut when left out"
    )
    grade: Line = ""
    torqued: Flag = Field(False, description="rods that are tightened after the pour")
    coating: Coating = "plain"


class Holes(Spec):
    """Holes of a plate, a beam seat or a template; at the rods unless `pattern` says otherwise."""

    diameter: Positive
    pattern: Annotated[Pattern | None, Before(none_word)] = None


class Standing(Spec):
    """Something welded on top of a plate: the foot of a post, a stiffener."""

    name: Name
    outline: OutlineSpec
    height: Positive = Field(description="above the top of the plate")


class Plate(Spec):
    """A steel plate that drops over the rods."""

    outline: OutlineSpec
    thickness: Positive
    above: NonNegative = Field(description="top of concrete to the underside of the plate")
    holes: Holes
    cutouts: list[OutlineSpec] = Field(default_factory=list, description="other openings", max_length=50)
    carries: list[Standing] = Field(
        default_factory=list, description="what stands on the plate, welded to it", max_length=50
    )
    mark: Line = ""
    material: Line = ""
    finish: Line = ""
    revision: Line = ""
    welds: list[Weld] = Field(default_factory=list, max_length=20)


class Washer(Spec):
    """The washer under each nut."""

    size: Positive = Field(description="outside diameter, or side of the square")
    thickness: Positive
    shape: Shape = "round"
    hole: Positive | None = Field(None, description="1/16 in (1.6 mm) over the rod when left out")


class Grout(Spec):
    """The bed under a plate."""

    least: Positive
    most: Positive | None = None
    outline: Annotated[OutlineSpec | None, Before(none_word)] = Field(
        None, description="the plate's when left out"
    )


class Template(Spec):
    """The plywood that holds the rods during the pour."""

    thickness: Positive
    outline: OutlineSpec
    above: NonNegative = Field(0.0, description="top of concrete to the underside of the plywood")
    holes: Holes
    opening: Annotated[OutlineSpec | None, Before(none_word)] = Field(None, description="the pour opening")
    nuts: Annotated[Literal["none", "above", "both"], choice("none", "above", "both")] | None = Field(
        None,
        description="which sides of the plywood a nut stands on; when left out both, or above only where "
        "the concrete leaves no room for one below",
    )


class Seat(Spec):
    """What the pier carries and is tied down by."""

    type: Annotated[Literal["beam", "plate", "none"], choice("beam", "plate", "none")]
    column: Flag = Field(False, description="a column stands on it, so that it needs four rods")
    rods: Annotated[Rods | None, Before(none_word)] = None
    plate: Annotated[Plate | None, Before(none_word)] = None
    washer: Annotated[Washer | None, Before(none_word)] = None
    nuts: Flag = Field(True, description="a heavy hex nut on each rod")
    level_on: Annotated[Literal["nuts", "shims", "none"], choice("nuts", "shims", "none")] = Field(
        "none", description="what levels the plate"
    )
    leveling_washer: Annotated[Washer | None, Before(none_word)] = Field(
        None, description="the washer between each leveling nut and the plate"
    )
    shim: Annotated[OutlineSpec | None, Before(none_word)] = Field(
        None, description="plan of one shim stack, centered"
    )
    grout: Annotated[Grout | None, Before(none_word)] = None
    template: Annotated[Template | None, Before(none_word)] = None
