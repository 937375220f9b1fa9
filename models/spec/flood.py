"""Flood figures of the site, and what is enclosed below the flood."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from models.areas import area_from
from models.spec.base import Coordinate, Count, Flag, Line, NonNegative, Positive, Spec, choice

Area = Annotated[
    float,
    BeforeValidator(area_from),
    Field(gt=0.0),
    WithJsonSchema({"type": "string", "description": "an area such as 240 sq ft, 180 sq in or 22 m2"}),
]
"""An area, mm2."""


class Opening(Spec):
    """Flood openings of one kind in one wall; net size, or the area that a rated opening is rated for."""

    rivals: ClassVar[tuple[tuple[str, ...], ...]] = (("width", "height"), ("rated",))

    wall: Line = Field(description="the wall in words, like north")
    count: Annotated[Count, Field(ge=1, le=200)] = 1
    width: Positive | None = Field(None, description="net, of what lets water through")
    height: Positive | None = Field(None, description="net")
    rated: Area | None = Field(None, description="area enclosed that one of them is rated for")
    bottom: Coordinate = Field(description="elevation of the bottom of the opening")


class Enclosure(Spec):
    """Walls that enclose a space below the flood."""

    name: Line
    area: Area = Field(description="enclosed")
    grade: Coordinate = Field(
        description="elevation of the ground at the walls, inside or outside, the higher"
    )
    openings: list[Opening] = Field(default_factory=list, max_length=200)
    breakaway: Flag = Field(False, description="whether somebody has confirmed that the walls are breakaway")


class Flood(Spec):
    """Flood figures of the site."""

    zone: Annotated[Literal["A", "V", "coastal A", "X"], choice("A", "V", "coastal A", "X")]
    base_flood_elevation: Coordinate
    freeboard: NonNegative = 0.0
    lowest_floor_top: Coordinate | None = None
    lowest_member_bottom: Coordinate | None = None
    enclosures: list[Enclosure] = Field(default_factory=list, max_length=100)
