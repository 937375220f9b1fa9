"""Flood figures of the site, and what is enclosed below the flood."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, WithJsonSchema, model_validator

from models.shapes.areas import area_from
from models.spec.base import Coordinate, Count, Flag, Line, NonNegative, Positive, Spec, choice
from models.spec.before import Before

Area = Annotated[
    float,
    Before(area_from),
    Field(gt=0.0),
    WithJsonSchema({"type": "string", "description": "an area such as 240 sq ft, 180 sq in or 22 m2"}),
]
"""An area, mm2."""


class Opening(Spec):
    """Flood openings of one kind in one wall; net size, or the area that a rated opening is rated for."""

    wall: Line = Field(description="the wall in words, like north")
    count: Annotated[Count, Field(ge=1, le=200)] = 1
    width: Positive | None = Field(None, description="net, of what lets water through")
    height: Positive | None = Field(None, description="net")
    rated: Area | None = Field(None, description="area enclosed that one of them is rated for")
    bottom: Coordinate = Field(description="elevation of the bottom of the opening")

    @model_validator(mode="after")
    def _has_a_size(self) -> Self:
        sized = self.width is not None and self.height is not None
        if (self.width is None) != (self.height is None):
            raise ValueError("it has one of width and height; give both, net")
        if sized == (self.rated is not None):
            raise ValueError(
                "it needs its net size or its rating, one of the two; give width and height, or rated"
            )
        return self


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
