"""Figures that the site specifies itself; each comes before the published one."""

from __future__ import annotations

from pydantic import Field

from models.spec.base import NonNegative, Spec


class Required(Spec):
    """The site's own least distances; one looser than published is listed at the top of every report."""

    bar_clear: NonNegative | None = Field(None, description="clear between longitudinal bars")
    rod_bar_clear: NonNegative | None = Field(None, description="clear between rods and bars")
    rod_tie_clear: NonNegative | None = Field(
        None, description="clear between rods and the ties that cross them; contact will do when left out"
    )
    rod_spacing: NonNegative | None = Field(None, description="rods, center to center")
    rod_edge: NonNegative | None = Field(None, description="rod center to the face of the concrete")
    hole_play: NonNegative | None = Field(None, description="clear all round a rod in a hole")
