"""The whole site file."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from models.spec.answered import Answered
from models.spec.base import (
    Angle,
    Coordinate,
    Count,
    Line,
    Mark,
    Name,
    NonNegative,
    Positive,
    Signed,
    Signed2,
    Spec,
    Stress,
    Volume,
    choice,
    none_word,
)
from models.spec.before import Before
from models.spec.concrete import ConcreteSpec
from models.spec.flood import Flood
from models.spec.outline import OutlineSpec
from models.spec.pier import KindSpec, PierSpec
from models.spec.placing import Placing
from models.spec.required import Required
from models.spec.shots import ShotsSpec


class ControlPoint(Spec):
    """A point that the surveyor knows."""

    name: Line
    x: Coordinate
    y: Coordinate
    z: Coordinate | None = None


PAPER = ("letter", "tabloid", "arch C", "arch D", "arch E", "A4", "A3", "A2", "A1", "A0")
"""Papers that sheets can be made for."""
Paper = Annotated[
    Literal["letter", "tabloid", "arch C", "arch D", "arch E", "A4", "A3", "A2", "A1", "A0"], choice(*PAPER)
]


class SiteInfo(Spec):
    """What the site is called and how it measures."""

    name: Line
    units: Annotated[Literal["ft-in", "mm"], choice("ft-in", "mm")]
    foot: Annotated[Literal["international", "us survey"], choice("international", "us survey")] = Field(
        "international", description="the foot of coordinates in feet"
    )
    datum: Line = ""
    rules: Annotated[Literal["aci-318-19", "en-1992"], choice("aci-318-19", "en-1992")] = Field(
        "aci-318-19", description="whose published figures apply where the site says none"
    )
    paper: Paper | None = Field(
        None, description="what sheets at 1:1 are printed on; letter, or A4 under mm, when left out"
    )
    grout_bag: Volume | None = Field(None, description="what a bag of grout yields, as its label says")
    flood: Annotated[Flood | None, Before(none_word)] = None
    control_points: list[ControlPoint] = Field(default_factory=list, max_length=1000)


class GradeBeamSpec(Spec):
    """A beam in the ground that piers stand on: a strip, or a free outline, in site axes."""

    rivals: ClassVar[tuple[tuple[str, ...], ...]] = (("start", "end", "width"), ("outline",))

    name: Name
    start: tuple[Coordinate, Coordinate] | None = Field(None, description="x, y where its center line starts")
    end: tuple[Coordinate, Coordinate] | None = Field(None, description="x, y where its center line ends")
    width: Positive | None = None
    outline: Annotated[OutlineSpec | None, Before(none_word)] = None
    top: Coordinate = Field(description="elevation of its top")
    depth: Positive
    cover: NonNegative | None = Field(None, description="specified cover to its sides and bottom")
    strength: Stress | None = Field(
        None, description="of its concrete; what hooks need in it is not checked when left out"
    )


class BeamSpec(Spec):
    """A drilled beam over beam seats; it runs straight from its first pier to its last."""

    name: Name
    piers: list[Mark] = Field(min_length=1, max_length=200, description="marks, from its named end")
    direction: Angle | None = Field(
        None, description="of the run, degrees from site x; needed for a single pier"
    )
    width: Positive
    depth: Positive
    plies: Annotated[Count, Field(ge=1, le=12)] = 1
    offset: Signed = Field(
        0.0, description="its center line, to the left of the line through the piers' centers"
    )
    overhang: Signed2 = Field(0.0, description="past the centers of the first and last pier")
    above: NonNegative = Field(0.0, description="top of concrete to its underside")
    hole: Positive | None = Field(
        None, description="diameter of its holes; at the rods unless holes_at says otherwise"
    )
    holes_at: list[tuple[Signed, Signed]] | None = Field(
        None,
        max_length=1000,
        description="along from the first pier's center, and to the left of the beam's center line",
    )
    named_end: Line = ""
    splices: list[Signed] = Field(
        default_factory=list, max_length=200, description="along from the first pier's center"
    )


class SiteSpec(Spec):
    """A site file, read, merged and in mm."""

    site: SiteInfo
    concrete: ConcreteSpec = Field(default_factory=ConcreteSpec.model_construct)
    required: Required = Field(default_factory=Required.model_construct)
    placing: Placing = Field(default_factory=Placing.model_construct)
    kinds: dict[Line, KindSpec] = Field(min_length=1)
    grade_beams: list[GradeBeamSpec] = Field(default_factory=list, max_length=1000)
    beams: list[BeamSpec] = Field(default_factory=list, max_length=2000)
    piers: list[PierSpec] = Field(min_length=1)
    shots: ShotsSpec = Field(default_factory=ShotsSpec)
    answered: list[Answered] = Field(default_factory=list, max_length=5000)
