"""Plan outlines as a builder writes them."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from models.spec.base import Point, Positive, Signed, Spec


class Edge(Spec):
    """One corner of a free outline, and how the edge arrives at it."""

    x: Signed
    y: Signed
    radius: Positive | None = Field(None, description="radius of the arc that arrives here; straight when left out")
    turn: Literal["left", "right"] = Field("left", description="which way that arc turns, going round counterclockwise")


class OutlineSpec(Spec):
    """Exactly one of square, rectangle, round or edges."""

    square: Positive | None = Field(None, description="side")
    rectangle: tuple[Positive, Positive] | None = Field(None, description="along x, along y")
    round: Positive | None = Field(None, description="diameter")
    edges: list[Edge] | None = Field(None, description="corners in order, counterclockwise", min_length=2)
    center: Point = Field((0.0, 0.0), description="where its center (or, for edges, its origin) lies, from the pier's")
