"""The whole site file."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from models.spec.base import Angle, NonNegative, Positive, Signed, Spec
from models.spec.concrete import ConcreteSpec
from models.spec.outline import OutlineSpec
from models.spec.pier import KindSpec, PierSpec
from models.spec.required import Required


class Flood(Spec):
    """Flood figures of the site."""

    zone: Literal["A", "V", "coastal A", "X"]
    base_flood_elevation: Signed
    freeboard: NonNegative = 0.0
    lowest_floor_top: Signed | None = None
    lowest_member_bottom: Signed | None = None


class ControlPoint(Spec):
    """A point that the surveyor knows."""

    name: str
    x: Signed
    y: Signed
    z: Signed | None = None


class SiteInfo(Spec):
    """What the site is called and how it measures."""

    name: str
    units: Literal["ft-in", "mm"]
    foot: Literal["international", "us survey"] = Field("international", description="the foot of coordinates in feet")
    datum: str = ""
    rules: Literal["aci-318-19", "en-1992"] = "aci-318-19"
    flood: Flood | None = None
    control_points: list[ControlPoint] = Field(default_factory=list)


class GradeBeamSpec(Spec):
    """A beam in the ground that piers stand on: a strip from one point to another, or a free outline, site axes."""

    name: str
    start: tuple[Signed, Signed] | None = None
    end: tuple[Signed, Signed] | None = None
    width: Positive | None = None
    outline: OutlineSpec | None = None
    top: Signed
    depth: Positive
    cover: NonNegative | None = Field(None, description="specified cover to its sides and bottom")


class BeamSpec(Spec):
    """A drilled beam over beam seats; it runs straight from its first pier to its last."""

    name: str
    piers: list[str] = Field(min_length=1, description="marks, from its named end")
    direction: Angle | None = Field(None, description="of the run, degrees from site x; needed for a single pier")
    width: Positive
    depth: Positive
    plies: int = Field(1, ge=1, le=12)
    offset: Signed = Field(0.0, description="its center line, to the left of the line through the piers' centers")
    overhang: tuple[Signed, Signed] | Signed = Field(0.0, description="past the centers of the first and last pier")
    above: NonNegative = Field(0.0, description="top of concrete to its underside")
    hole: Positive | None = Field(None, description="diameter of its holes; at the rods unless holes_at says otherwise")
    holes_at: list[tuple[Signed, Signed]] | None = Field(
        None, description="along from the first pier's center, and to the left of the beam's center line"
    )
    named_end: str = ""
    splices: list[Signed] = Field(default_factory=list, description="along from the first pier's center")


class Placing(Spec):
    """How things are placed, for the tolerances."""

    rods_set_by: Literal["hand", "template"] = "template"


class Answered(Spec):
    """The engineer's answer to a question about a finding."""

    finding: str = Field(description="the finding's id")
    by: str
    date: str
    reference: str
    measured: str | float | None = Field(None, description="the measurement that was answered")


class SiteSpec(Spec):
    """A site file, read, merged and in mm."""

    site: SiteInfo
    concrete: ConcreteSpec = ConcreteSpec()
    required: Required = Required()
    placing: Placing = Placing()
    kinds: dict[str, KindSpec] = Field(min_length=1)
    grade_beams: list[GradeBeamSpec] = Field(default_factory=list)
    beams: list[BeamSpec] = Field(default_factory=list)
    piers: list[PierSpec] = Field(min_length=1)
    answered: list[Answered] = Field(default_factory=list)
