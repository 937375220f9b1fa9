"""A weld of a plate, as the engineer draws it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from models.spec.base import Flag, Line, Positive, Spec, choice

TYPES = (
    "fillet",
    "plug",
    "square groove",
    "V groove",
    "bevel groove",
    "U groove",
    "J groove",
)
CONTOURS = ("flush", "convex", "concave")
FINISHES = ("grinding", "chipping", "hammering", "machining", "rolling")
BARS = "bars"
"""Where a weld is that fastens the bar anchors in their holes."""


class Weld(Spec):
    """One weld: in words, and as far as it is said, what its symbol is drawn from."""

    what: Line = Field(description="in the engineer's words: which pieces, which weld, which size")
    where: Annotated[Literal["shop", "field"], choice("shop", "field")] = "shop"
    at: Line = Field(
        "", description="what is welded to the plate: bars, or the name of a thing that the plate carries"
    )
    type: (
        Annotated[
            Literal["fillet", "plug", "square groove", "V groove", "bevel groove", "U groove", "J groove"],
            choice(*TYPES),
        ]
        | None
    ) = Field(None, description="which symbol is drawn; words alone when left out")
    size: Positive | None = Field(
        None, description="leg of a fillet, depth of a groove, diameter of a plug where the pieces meet"
    )
    side: Annotated[Literal["arrow", "other", "both"], choice("arrow", "other", "both")] = Field(
        "arrow", description="of the joint: that which the arrow points to, the other, or both"
    )
    all_around: Flag = False
    contour: Annotated[Literal["flush", "convex", "concave"], choice(*CONTOURS)] | None = None
    finish: (
        Annotated[Literal["grinding", "chipping", "hammering", "machining", "rolling"], choice(*FINISHES)]
        | None
    ) = Field(None, description="how the contour is made")
    flush: Flag = Field(False, description="ground flush afterwards: contour flush, by grinding")
    held_back: Positive | None = Field(None, description="how far from the weld coating is held back")

    @property
    def shape(self) -> str | None:
        """The contour that is asked for, however it was said."""
        return "flush" if self.flush else self.contour

    @property
    def by(self) -> str | None:
        """How that contour is made."""
        return "grinding" if self.flush and self.finish is None else self.finish
