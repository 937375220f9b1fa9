"""The seat: rods or bar anchors, and what comes to stand on them."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from models.spec.base import Angle, NonNegative, Point, Positive, Signed, Spec
from models.spec.outline import OutlineSpec


class Pattern(Spec):
    """Where rods or holes are; exactly one of grid, circle or at."""

    grid: tuple[int, int] | None = Field(None, description="how many along x, along y")
    spacing: tuple[Positive, Positive] | Positive | None = Field(None, description="of the grid, center to center, along x and y")
    circle: Positive | None = Field(None, description="diameter of the rod circle")
    count: int | None = Field(None, ge=1, le=100, description="how many on the circle")
    start: Angle = Field(0.0, description="where the first stands on the circle, from the pier's x")
    at: list[Point] | None = Field(None, description="centers, from the pier's center", min_length=1)
    offset: tuple[Signed, Signed] = (0.0, 0.0)
    turn: Angle = 0.0


class HeadPlate(Spec):
    """A plate washer above the nut at the foot of a rod."""

    size: Positive = Field(description="side of the square, or diameter")
    thickness: Positive
    shape: Literal["square", "round"] = "square"


class Rods(Spec):
    """Cast-in rods (diameter) or bar anchors (bar); exactly one of the two."""

    diameter: Positive | None = Field(None, description="nominal thread diameter")
    bar: str | None = Field(None, description="bar size, when reinforcing bars serve as anchors")
    pattern: Pattern
    embedment: Positive = Field(
        description="top of concrete to the bearing side of the head, or to the lowest point of a hook or a plain end"
    )
    projection: Positive = Field(description="top of concrete to the top of the rod")
    end: Literal["nut", "plate", "J", "L", "plain"] = Field("nut", description="what holds the foot")
    head_plate: HeadPlate | None = Field(None, description="with end: plate")
    stub: NonNegative = Field(0.0, description="rod showing below the nut at the foot")
    bend: Positive | None = Field(None, description="inside bend diameter of a hook")
    tail: NonNegative | None = Field(None, description="straight tail of a hook")
    hook_to: Literal["in", "out", "left", "right"] = Field("in", description="which way a hook points, seen from the center")
    thread: Positive | None = Field(None, description="threaded length at the top")
    grade: str = ""
    torqued: bool = Field(False, description="rods that are tightened after the pour")
    coating: Literal["plain", "epoxy", "galvanized"] = "plain"


class Holes(Spec):
    """Holes of a plate, a beam seat or a template; at the rods unless `pattern` says otherwise."""

    diameter: Positive
    pattern: Pattern | None = None


class Plate(Spec):
    """A steel plate that drops over the rods."""

    outline: OutlineSpec
    thickness: Positive
    above: NonNegative = Field(description="top of concrete to the underside of the plate")
    holes: Holes
    cutouts: list[OutlineSpec] = Field(default_factory=list, description="other openings")
    mark: str = ""
    material: str = ""


class Washer(Spec):
    """The washer under each nut."""

    size: Positive = Field(description="outside diameter, or side of the square")
    thickness: Positive
    shape: Literal["round", "square"] = "round"
    hole: Positive | None = Field(None, description="1/16 in (1.6 mm) over the rod when left out")


class Grout(Spec):
    """The bed under a plate."""

    least: Positive
    most: Positive | None = None
    outline: OutlineSpec | None = Field(None, description="the plate's when left out")


class Template(Spec):
    """The plywood that holds the rods during the pour."""

    thickness: Positive
    outline: OutlineSpec
    above: NonNegative = Field(0.0, description="top of concrete to the underside of the plywood")
    holes: Holes
    opening: OutlineSpec | None = Field(None, description="the pour opening")
    nuts: Literal["none", "above", "both"] = Field("both", description="which sides of the plywood a nut stands on")


class Seat(Spec):
    """What the pier carries and is tied down by."""

    type: Literal["beam", "plate", "none"]
    rods: Rods | None = None
    plate: Plate | None = None
    washer: Washer | None = None
    nuts: bool = Field(True, description="a heavy hex nut on each rod")
    level_on: Literal["nuts", "shims", "none"] = Field("none", description="what levels the plate")
    shim: OutlineSpec | None = Field(None, description="plan of one shim stack, centered")
    grout: Grout | None = None
    template: Template | None = None
