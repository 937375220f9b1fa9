"""A pier's concrete as clear gray: its skin face by face, down to a level, and its edges.

Its faces have one color and one opacity, so that they blend alike in whatever order they are drawn.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from models.motion import Array
from models.part import Role
from models.pier import Concrete, Pier
from models.shapes.mesh import Mesh, concrete_mesh, mesh_of
from models.solids import Prism
from viewer.legend.looks import role_look
from viewer.scene.cameras import View, face_of, turn_of
from viewer.scene.meshes import CHORD, Surface, rgb, upright

if TYPE_CHECKING:
    import pyvista as pv

_SHARP = np.cos(np.radians(20.0))
"""Triangles whose normals lie closer than this share no edge that is drawn."""


class Skin(Struct, frozen=True, eq=False):
    """surface: what is left of the skin, `part` all -1; face: (m,) of each triangle; edges: (k, 2, 3) mm."""

    surface: Surface
    face: NDArray[np.str_]
    edges: Array


def skin(pier: Pier, off: Collection[View] = (), level: float | None = None, chord: float = CHORD) -> Skin:
    """The concrete less the faces `off`, cut at `level` (mm from its top, negative); site directions."""
    motion, turn = upright(pier), turn_of(pier.frame)
    mesh = _cut(pier.concrete, level, chord)
    corners = motion.points(mesh.vertices)[mesh.faces]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(normals, axis=1)
    keep = size > 1e-9
    normals = normals[keep] / size[keep, None]
    kinds, which = np.unique(np.round(normals, 6), axis=0, return_inverse=True)
    face = np.array(["bottom" if n[2] < -0.7 else face_of(n, turn).value for n in kinds])[which.ravel()]
    faces = mesh.faces[keep]
    left = ~np.isin(face, [view.value for view in off])
    color = rgb(role_look(Role.CONCRETE).color)
    made = Surface(
        motion.points(mesh.vertices),
        faces[left],
        np.full(int(left.sum()), -1),
        np.tile(np.array(color, dtype=np.uint8), (int(left.sum()), 1)),
    )
    return Skin(made, face[left], _edges(made.vertices, faces, normals))


def edge_lines(edges: Array) -> pv.PolyData:
    """(k, 2, 3) edges as lines for pyvista."""
    import pyvista as pv

    count = len(edges)
    pairs = np.column_stack([np.full(count, 2), np.arange(2 * count).reshape(-1, 2)]).ravel()
    return pv.PolyData(np.asarray(edges.reshape(-1, 3), dtype=np.float32), lines=pairs)


def _cut(concrete: Concrete, level: float | None, chord: float) -> Mesh:
    if level is None or level >= -concrete.top_chamfer:
        return concrete_mesh(concrete, chord)
    return mesh_of(Prism(concrete.outline, concrete.bottom, max(level, concrete.bottom + 1.0)), chord)


def _edges(vertices: Array, faces: NDArray[np.int64], normals: Array) -> Array:
    """(k, 2, 3): edges between triangles that meet at more than 20 degrees."""
    ends = np.sort(faces[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2), axis=1)
    owner = np.repeat(np.arange(len(faces)), 3)
    order = np.lexsort((ends[:, 1], ends[:, 0]))
    ends, owner = ends[order], owner[order]
    same = np.all(ends[1:] == ends[:-1], axis=1)
    first = np.flatnonzero(same)
    bent = np.sum(normals[owner[first]] * normals[owner[first + 1]], axis=1) < _SHARP
    sharp: Array = vertices[ends[first[bent]]]
    return sharp
