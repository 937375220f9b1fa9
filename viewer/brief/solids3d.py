"""The turning view of the briefing: the viewer that trimesh ships, once, and each pier's solids as a GLB."""

from __future__ import annotations

import base64
import re
from collections.abc import Sequence
from functools import lru_cache
from math import radians, sin
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from models.colors import color
from models.export.files import merged
from models.export.glb import Camera, Piece, glb
from models.part import Role
from models.shapes.mesh import Mesh, concrete_mesh, mesh_of

if TYPE_CHECKING:
    from models.pier import Pier

SOLID = "PIER-GLB-BASE64"
"""Stands in the viewer's page where the GLB of the pier to show goes."""
_CHORD = 1.0
"""mm: how true curves are; a phone shows a pier about a third of its size."""
_LENS = radians(35.0)
_TOWARD = np.array([0.55, -1.0, 0.5])
"""From a pier to where it is first looked at from: from the south and a little east, from above."""
_LEFT_OUT = frozenset({Role.GRADE_BEAM, Role.BEAM, Role.GROUT})
_DATA = re.compile(r'(?<=base64_data=")[A-Za-z0-9+/=]*(?=")')


class Solids(Struct, frozen=True):
    """The piers' GLBs in base64, each shape once. which: by mark, the index of its GLB."""

    which: dict[str, int]
    blobs: tuple[str, ...]


def solids(piers: Sequence[Pier]) -> Solids:
    """The GLB of every pier; piers that look alike share one."""
    which: dict[str, int] = {}
    blobs: dict[bytes, int] = {}
    for pier in piers:
        which[pier.mark] = blobs.setdefault(pier_glb(pier), len(blobs))
    return Solids(which, tuple(base64.b64encode(blob).decode("ascii") for blob in blobs))


def pier_glb(pier: Pier) -> bytes:
    """A pier in site directions with all that is in and on it but beams and grout, and where to look from.

    In it a mesh for each role; its origin is the middle of the whole.
    """
    meshes: dict[Role, list[Mesh]] = {}
    for part in pier.parts:
        if part.role not in _LEFT_OUT:
            meshes.setdefault(part.role, []).append(mesh_of(part.solid, _CHORD))
    meshes[Role.CONCRETE] = [concrete_mesh(pier.concrete, _CHORD)]
    pieces = [
        Piece(role.value, replace(one, vertices=one.vertices @ pier.frame.rotation.T), color(role))
        for role in Role
        if role in meshes
        for one in [merged(meshes[role])]
    ]
    corners = np.concatenate([piece.mesh.vertices for piece in pieces])
    middle = (corners.min(axis=0) + corners.max(axis=0)) / 2.0
    reach = float(np.linalg.norm(corners - middle, axis=1).max())
    away = _TOWARD / np.linalg.norm(_TOWARD) * reach / sin(_LENS / 2.0)
    return glb(pieces, middle, {}, Camera(middle + away, _LENS))


@lru_cache(maxsize=1)
def viewer_page() -> str | None:
    """The page that trimesh ships, with `SOLID` in place of its data; None where this version has another.

    It is self-contained: it loads nothing from anywhere.
    """
    import trimesh
    from trimesh.viewer import scene_to_html

    page, count = _DATA.subn(SOLID, scene_to_html(trimesh.Scene([trimesh.creation.box()])))
    return page if count == 1 else None
