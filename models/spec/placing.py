"""How things are placed: by whose tolerances, and how those are taken."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from models.spec.base import NonNegative, Positive, Spec, choice

RodEdition = Literal["ACI 117-10", "AISC 303-05", "AISC 303-10", "EN 1090-2", "EN 1090-2 adjustable"]
ConcreteEdition = Literal["ACI 117-10", "EN 13670"]
Demand = Literal["cover", "spacing", "length"]


class Tolerances(Spec):
    """Whose tolerances apply, and the site's own, each to one side of where the thing is drawn."""

    rods: (
        Annotated[
            RodEdition,
            choice("ACI 117-10", "AISC 303-05", "AISC 303-10", "EN 1090-2", "EN 1090-2 adjustable"),
        ]
        | None
    ) = Field(None, description="whose figures for rods; those that go with the rule book when left out")
    concrete: Annotated[ConcreteEdition, choice("ACI 117-10", "EN 13670")] | None = Field(
        None, description="whose figures for bars and concrete; those that go with the rule book if left out"
    )
    rod_in_plan: NonNegative | None = Field(
        None, description='a rod from its place, along one axis; 1/8" where a template sets it'
    )
    rods_in_group: NonNegative | None = Field(
        None, description='between any two rods of one pier; 1/8" where a template sets them'
    )
    rod_height: NonNegative | None = Field(None, description="top of a rod, up or down")
    cage_in_plan: NonNegative | None = Field(
        None, description="the cage from its place in the form; it gives way to the rods when left out"
    )
    embed_in_plan: NonNegative | None = Field(
        None, description="an embed from its place; how near things may come to it is not judged otherwise"
    )
    concrete_height: NonNegative | None = Field(None, description="top of concrete, up or down")
    cover: NonNegative | None = Field(None, description="what placing may take of the cover")
    bar_spacing: NonNegative | None = Field(None, description="distance from bar to bar, or to a rod")
    bar_end: NonNegative | None = Field(None, description="the end of a bar, along it")


class Placing(Spec):
    """How things are placed, for the tolerances."""

    rods_set_by: Annotated[Literal["hand", "template"], choice("hand", "template")] | None = Field(
        None, description="through the template where a seat has one, else by hand, when left out"
    )
    hose: Positive | None = Field(
        None, description="outside diameter of the hose or tremie that has to go down past the top ties"
    )
    vibrator: Positive | None = Field(
        None, description="diameter of the vibrator's head, which has to go down past the top ties"
    )
    tolerances: Tolerances = Field(default_factory=Tolerances.model_construct)
    combine: Annotated[Literal["worst case", "root of squares"], choice("worst case", "root of squares")] = (
        Field("worst case", description="how tolerances of two things add up")
    )
    beams_drilled: Annotated[Literal["as measured", "as drawn"], choice("as measured", "as drawn")] = Field(
        "as measured", description="whether beams are drilled after the rods were measured"
    )
    met_as_built: list[Annotated[Demand, choice("cover", "spacing", "length")]] = Field(
        default_factory=list,
        max_length=3,
        description="figures to be met by what is placed, its tolerance taken off; codes permit it off "
        "cover, spacing and length as drawn",
    )
