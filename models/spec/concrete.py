"""Concrete, its exposure, its cover."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from models.spec.base import NonNegative, Positive, Spec, Stress, choice

Exposure = Annotated[
    Literal["ground", "weather", "interior", "corrosive", "marine splash", "marine submerged"],
    choice("ground", "weather", "interior", "corrosive", "marine splash", "marine submerged"),
]
"""ground: cast against and permanently in contact with the ground. weather: exposed to weather or in contact
with the ground (formed). The marine ones and corrosive are for salt."""


class CoverSpec(Spec):
    """Specified cover by face; a face left out is judged by the published least for the exposure."""

    side: NonNegative | None = Field(None, description="from the walls of the pier to the nearest steel")
    top: NonNegative | None = Field(None, description="from the top of concrete down to the nearest steel")
    bottom: NonNegative | None = Field(
        None, description="from the underside of the pier up to the nearest steel"
    )


class ChamferSpec(Spec):
    """45 degree chamfers, by leg."""

    top: NonNegative = Field(0.0, description="round the top edge")
    corners: NonNegative = Field(0.0, description="down the vertical corners")


class ConcreteSpec(Spec):
    """What is cast."""

    strength: Stress | None = Field(None, description="specified strength, on cylinders")
    aggregate: Positive | None = Field(None, description="largest size of the coarse aggregate")
    exposure: Exposure | None = None
    cover: CoverSpec = Field(default_factory=CoverSpec.model_construct)
    chamfer: ChamferSpec = Field(default_factory=ChamferSpec.model_construct)
