"""What a key plan is drawn on: the outlines of piers, beams and grade beams as they lie, north up."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from models.motion import Array
from models.part import Role
from models.solids import Prism

if TYPE_CHECKING:
    from models.pier import Pier
    from models.site import Site

_CHORD = 5.0
"""mm."""


class KeyBeam(Struct, frozen=True, eq=False):
    """A beam over the piers, or one in the ground: its name and its outline (n, 2), mm, site axes from the
    origin of the plan."""

    name: str
    outline: Array


def origin_of(site: Site) -> Array:
    """(2,) mm, site axes: the middle of the piers, from which a key plan counts."""
    places = np.array([[pier.spec.x, pier.spec.y] for pier in site.piers])
    middle: Array = (places.min(axis=0) + places.max(axis=0)) / 2.0
    return middle


def pier_outline(pier: Pier, origin: Array) -> Array:
    """(n, 2) mm, site axes from `origin`: the outline of a pier's concrete."""
    ring = pier.concrete.outline.outer.polyline(_CHORD)
    placed: Array = pier.frame.points(np.column_stack([ring, np.zeros(len(ring))]))[:, :2] - origin
    return placed


def beams_of(site: Site, role: Role, origin: Array) -> tuple[KeyBeam, ...]:
    """The beams of a site (`Role.BEAM` or `Role.GRADE_BEAM`), each once, though every pier at it has it."""
    seen: dict[str, KeyBeam] = {}
    for pier in site.piers:
        for part in pier.parts:
            if part.role is role and part.id not in seen and isinstance(part.solid, Prism):
                ring = part.solid.outline.outer.polyline(_CHORD)
                local = part.solid.motion.points(np.column_stack([ring, np.zeros(len(ring))]))
                seen[part.id] = KeyBeam(part.label, pier.frame.points(local)[:, :2] - origin)
    return tuple(seen.values())
