"""The common ground of every spec model: strictness, lengths, stresses and points."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo, WithJsonSchema

from models.lengths import Units, angle_from, length_from, stress_from


class Spec(BaseModel):
    """Base of every spec model: frozen, no unknown fields, no NaN or infinity."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


def _units(info: ValidationInfo) -> Units:
    context = info.context or {}
    units: Units = context.get("units", Units.FT_IN)
    return units


def _length(value: Any, info: ValidationInfo) -> float:
    return length_from(value, _units(info))


_LENGTH_SCHEMA = {
    "anyOf": [{"type": "string"}, {"type": "number"}],
    "description": "a length such as 3'-6 1/2\", 42 1/2\", 42.5 in, 3.54 ft, 1067 mm or 1.067 m",
}

Signed = Annotated[float, BeforeValidator(_length), WithJsonSchema(_LENGTH_SCHEMA)]
"""A length of either sign, mm."""
Positive = Annotated[float, BeforeValidator(_length), Field(gt=0.0), WithJsonSchema(_LENGTH_SCHEMA)]
"""A length greater than zero, mm."""
NonNegative = Annotated[float, BeforeValidator(_length), Field(ge=0.0), WithJsonSchema(_LENGTH_SCHEMA)]
"""A length of zero or more, mm."""
Stress = Annotated[
    float,
    BeforeValidator(stress_from),
    Field(gt=0.0),
    WithJsonSchema({"type": "string", "description": "a strength such as 5000 psi, 5 ksi or 35 MPa"}),
]
"""A strength, MPa."""
Angle = Annotated[
    float,
    BeforeValidator(angle_from),
    WithJsonSchema({"anyOf": [{"type": "number"}, {"type": "string"}], "description": "degrees"}),
]
"""An angle in degrees, counterclockwise."""
Point = tuple[Signed, Signed]
"""x, y in mm."""
