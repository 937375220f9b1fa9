"""Plan outlines as a builder writes them."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from models.spec.base import Coordinate, Positive, Spec, choice


class Edge(Spec):
    """One corner of a free outline, and how the edge arrives at it."""

    x: Coordinate
    y: Coordinate
    radius: Positive | None = Field(
        None, description="radius of the arc that arrives here; straight if left out"
    )
    turn: Annotated[Literal["left", "right"], choice("left", "right")] = Field(
        "left", description="which way that arc turns, going round counterclockwise"
    )


class OutlineSpec(Spec):
    """Exactly one of square, rectangle, round or edges; a grade beam's stands in site coordinates."""

    rivals: ClassVar[tuple[tuple[str, ...], ...]] = (("square",), ("rectangle",), ("round",), ("edges",))

    square: Positive | None = Field(None, description="side")
    rectangle: tuple[Positive, Positive] | None = Field(None, description="along x, along y")
    round: Positive | None = Field(None, description="diameter")
    edges: list[Edge] | None = Field(
        None, description="corners in order, counterclockwise", min_length=2, max_length=200
    )
    center: tuple[Coordinate, Coordinate] = Field(
        (0.0, 0.0), description="where its center (or the origin of edges) lies, from the pier's"
    )
