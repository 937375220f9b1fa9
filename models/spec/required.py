"""Figures that the site specifies itself; each comes before the published one."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from models.spec.base import NonNegative, Positive, Spec, choice

HoleTable = Literal["dg1-2", "manual-15"]
"""AISC Design Guide 1, 2nd ed., Table 2.3; the Manual, 15th ed., Table 14-2."""
TieMeasure = Literal["underside", "center"]


class Required(Spec):
    """The site's own least distances; one looser than published is listed at the top of every report."""

    bar_clear: NonNegative | None = Field(None, description="clear between longitudinal bars")
    rod_bar_clear: NonNegative | None = Field(None, description="clear between rods and bars")
    rod_tie_clear: NonNegative | None = Field(
        None, description="clear between rods and the ties that cross them; contact will do when left out"
    )
    tie_clear: NonNegative | None = Field(None, description="clear between ties that follow each other")
    top_ties_to: Annotated[TieMeasure, choice("underside", "center")] = Field(
        "underside", description="to what of the last tie around the rods its depth is measured"
    )
    rod_spacing: NonNegative | None = Field(None, description="rods, center to center")
    rod_edge: NonNegative | None = Field(None, description="rod center to the face of the concrete")
    hole_play: NonNegative | None = Field(None, description="clear all round a rod in a hole")
    rod_embedment: Positive | None = Field(
        None, description="top of concrete to the bearing side of a rod's foot; as drawn when left out"
    )
    thread_spare: NonNegative | None = Field(
        None, description="thread below the lowest nut on a rod; none when left out"
    )
    thread_showing: NonNegative | None = Field(
        None, description="rod standing out of its highest nut; flush with it when left out"
    )
    bar_recess: NonNegative | None = Field(
        None, description="how far a welded bar may end below the top of its plate; flush when left out"
    )
    nut_room: NonNegative | None = Field(
        None, description='room round the corners of a nut, for a wrench; 1/4" when left out'
    )
    hole_table: Annotated[HoleTable, choice("dg1-2", "manual-15")] | None = Field(
        None, description="whose largest plate holes apply; Design Guide 1, 2nd ed., when left out"
    )
    largest_hole: Positive | None = Field(None, description="largest hole of a plate for its rods")
    hole_edge: NonNegative | None = Field(None, description="hole center to the edge of the plate")
    hole_spacing: NonNegative | None = Field(None, description="holes of a plate, center to center")
    plug_weld: Positive | None = Field(
        None, description="thickness of plug welds in the holes, where AISC 360 J2.3b is to limit them"
    )
    template_edge: NonNegative | None = Field(
        None, description='plywood between a hole and an edge of the template; 1" when left out'
    )
    beam_inside: NonNegative | None = Field(
        None, description="side of a beam inside the face of the pier; flush when left out"
    )
    beam_bearing: Positive | None = Field(None, description="length of a beam that bears on the pier")
    beam_hole_edge: Positive | None = Field(None, description="hole center to the side of a beam")
    beam_hole_end: Positive | None = Field(
        None, description="hole center to the end of a beam, or to a splice in it"
    )
