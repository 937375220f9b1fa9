"""The whole site in true elevation: concrete, grade beams, beams and plates, and the highest seat."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from models.motion import Array, Motion
from models.part import Role
from models.pier import Pier
from models.shapes.mesh import Mesh, concrete_mesh, mesh_of
from models.site import Site
from viewer.legend.looks import part_look, role_look
from viewer.scene.groups import Group, group_of
from viewer.scene.meshes import Surface, joined, rgb

CHORD = 4.0
"""mm: a site is seen from far away."""
_SHOWN = frozenset({Role.GRADE_BEAM, Role.BEAM, Role.PLATE})
_SAME = 0.5
"""mm: seats nearer in height than this are at one level."""


class HighestSeat(Struct, frozen=True):
    """The level of the highest seat. elevation: mm, site; marks: of the piers at it; placed: as measured."""

    elevation: float
    marks: tuple[str, ...]
    placed: bool = False


def middle(site: Site) -> Array:
    """(3,) mm: the origin of the site's surfaces, so that single precision loses nothing."""
    ends = np.array([[p.spec.x, p.spec.y, z] for p in site.piers for z in (p.spec.bottom, p.spec.top)])
    found: Array = (ends.min(axis=0) + ends.max(axis=0)) / 2.0
    return found


def site_surfaces(site: Site, chord: float = CHORD) -> dict[Group, Surface]:
    """Every pier by trade group, site axes about `middle`; `part` is the index of the pier.

    A beam or grade beam that several piers share is there once.
    """
    origin = middle(site)
    meshes: dict[Group, list[Mesh]] = {}
    names: dict[Group, list[int]] = {}
    colors: dict[Group, list[tuple[int, int, int]]] = {}
    seen: set[str] = set()
    cast: dict[bytes, Mesh] = {}

    def put(group: Group, mesh: Mesh, pier: int, color: str, frame: Motion) -> None:
        moved = Mesh(frame.points(mesh.vertices) - origin, mesh.faces)
        meshes.setdefault(group, []).append(moved)
        names.setdefault(group, []).append(pier)
        colors.setdefault(group, []).append(rgb(color))

    for k, pier in enumerate(site.piers):
        shape = _shape(pier)
        if shape not in cast:
            cast[shape] = concrete_mesh(pier.concrete, chord)
        put(Group.CONCRETE, cast[shape], k, role_look(Role.CONCRETE).color, pier.frame)
        for part in pier.parts:
            if part.role in _SHOWN and part.id not in seen:
                seen.add(part.id)
                color = part_look(part, pier).color
                put(group_of(part.role), mesh_of(part.solid, chord), k, color, pier.frame)
    still = Motion.identity()
    return {group: joined(meshes[group], names[group], colors[group], still) for group in meshes}


def highest_seat(site: Site) -> HighestSeat:
    """As drawn: the highest underside of a plate, or top of concrete where there is no plate."""
    return _highest([(_seat(pier), pier.mark) for pier in site.piers], placed=False)


def highest_placed(levels: Sequence[tuple[float, str]]) -> HighestSeat | None:
    """As placed, of levels (mm, and the mark that governs); None where there are none."""
    return _highest(list(levels), placed=True) if levels else None


def _highest(seats: list[tuple[float, str]], placed: bool) -> HighestSeat:
    top = max(level for level, _ in seats)
    return HighestSeat(top, tuple(mark for level, mark in seats if top - level <= _SAME), placed)


def _seat(pier: Pier) -> float:
    plate = pier.spec.seat.plate
    return pier.spec.top + (plate.above if plate is not None else 0.0)


def _shape(pier: Pier) -> bytes:
    """What is the same for concrete of one shape."""
    outer = pier.concrete.outline.outer
    sizes = np.array([pier.concrete.bottom, pier.concrete.top_chamfer])
    columns = (sizes, outer.starts, outer.sweeps, outer.centers)
    return b"".join(bytes(np.round(column, 6).tobytes()) for column in columns)
