"""A part: one physical thing with an id, a role, a label and a solid."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

from models.solids import Solid


class Role(StrEnum):
    """What a part is for."""

    VERTICAL = "vertical"
    DOWEL = "dowel"
    TIE = "tie"
    CROSSTIE = "crosstie"
    HOOP = "hoop"
    ROD = "rod"
    BAR_ANCHOR = "bar anchor"
    HEAD = "head"  # the nut or plate at the foot of a rod, inside the concrete
    PLATE = "plate"
    WASHER = "washer"
    NUT = "nut"
    LEVELING_NUT = "leveling nut"
    SHIM = "shim"
    STANDING = "standing"  # what is welded on top of a plate: the foot of a post, a stiffener
    GROUT = "grout"
    TEMPLATE = "template"
    BEAM = "beam"
    GRADE_BEAM = "grade beam"
    EMBED = "embed"
    CONCRETE = "concrete"


LONGITUDINAL = frozenset({Role.VERTICAL, Role.DOWEL})
LATERAL = frozenset({Role.TIE, Role.CROSSTIE, Role.HOOP})
ANCHORS = frozenset({Role.ROD, Role.BAR_ANCHOR})


class Stage(StrEnum):
    """When a part is there: a template and a plate never meet."""

    POUR = "pour"  # while the concrete is placed, then gone
    ALWAYS = "always"
    SET = "set"  # only after the pour


class Exit(StrEnum):
    """The concrete face that a part goes out through on purpose."""

    TOP = "top"
    BOTTOM = "bottom"


class Part(Struct, frozen=True, eq=False):
    """One physical thing of a pier, in the pier's own frame.

    id: stable, `P7/tie/3`; findings are compared by it.
    label: what a person in boots can find: "tie 2 from top", "rod 3 (SE)".
    size: as the trade writes it: "No. 8", "1 in"; empty where there is none.
    nominal: nominal diameter (mm), what codes measure; overall: over the ribs or threads (mm), what has to
    pass through a hole. The swept radius is nominal / 2. None for prisms.
    inside: True when the concrete must cover it (it is measured to the concrete's faces);
    exits: faces that it leaves the concrete through on purpose and is not measured to.
    fluid: True for what flows round steel (grout): sharing space with it is no fault.
    touches: ids of the parts that it is meant to touch (a tie and its verticals, a nut and its washer).
    """

    id: str
    role: Role
    label: str
    solid: Solid
    size: str = ""
    nominal: float | None = None
    overall: float | None = None
    stage: Stage = Stage.ALWAYS
    inside: bool = False
    exits: frozenset[Exit] = frozenset()
    fluid: bool = False
    touches: frozenset[str] = frozenset()


def coexist(a: Part, b: Part) -> bool:
    """Whether two parts are ever there at the same time."""
    return {a.stage, b.stage} != {Stage.POUR, Stage.SET}
