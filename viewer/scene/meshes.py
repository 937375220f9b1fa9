"""Parts as triangles: one merged surface for each trade group, so that a pier is ten actors, never hundreds.

Bars are true to `CHORD` mm; nothing is measured from these meshes.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from models.motion import Array, Motion
from models.part import Part
from models.pier import Pier
from models.shapes.mesh import Faces, Mesh, mesh_of
from viewer.legend.looks import part_look

if TYPE_CHECKING:
    import pyvista as pv

CHORD = 0.5
"""mm: how far facets may lie from the true surface."""
FEATURE = 40.0
"""degrees: edges sharper than this stay sharp when a surface is shaded."""

Colors = NDArray[np.uint8]


class Surface(Struct, frozen=True, eq=False):
    """Triangles of several parts laid end to end.

    vertices: (n, 3) mm; faces: (m, 3); part: (m,) index into the parts that it was made of; rgb: (m, 3).
    """

    vertices: Array
    faces: Faces
    part: NDArray[np.int64]
    rgb: Colors

    def without(self, parts: Collection[int]) -> Surface:
        """The same less these parts."""
        keep = ~np.isin(self.part, list(parts))
        return Surface(self.vertices, self.faces[keep], self.part[keep], self.rgb[keep])

    def only(self, parts: Collection[int]) -> Surface:
        """These parts alone."""
        keep = np.isin(self.part, list(parts))
        return Surface(self.vertices, self.faces[keep], self.part[keep], self.rgb[keep])


def upright(pier: Pier) -> Motion:
    """From the pier's frame to site directions, the origin kept at the center of its top of concrete.

    What is drawn lies near the origin, where the single precision of a graphics card loses nothing.
    """
    return Motion(pier.frame.rotation, np.zeros(3))


def rgb(color: str) -> tuple[int, int, int]:
    """`#rrggbb` as three numbers, 0 to 255."""
    return int(color[1:3], 16), int(color[3:5], 16), int(color[5:7], 16)


def shares(color: str) -> tuple[float, float, float]:
    """`#rrggbb` as three numbers, 0 to 1, as VTK wants them."""
    red, green, blue = (channel / 255.0 for channel in rgb(color))
    return red, green, blue


def surface(
    parts: Sequence[Part], pier: Pier, motion: Motion, which: Sequence[int], chord: float = CHORD
) -> Surface:
    """Parts `which` of `parts`, moved, each in the color of its look."""
    meshes = [mesh_of(parts[i].solid, chord) for i in which]
    colors = [rgb(part_look(parts[i], pier).color) for i in which]
    return joined(meshes, which, colors, motion)


def joined(
    meshes: Sequence[Mesh], names: Sequence[int], colors: Sequence[tuple[int, int, int]], motion: Motion
) -> Surface:
    """Meshes laid end to end and moved; names: the part index of each."""
    if not meshes:
        none = np.zeros((0, 3), dtype=np.int64)
        return Surface(np.zeros((0, 3)), none, none[:, 0], none.astype(np.uint8))
    counts = [len(mesh.faces) for mesh in meshes]
    starts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes[:-1])])
    return Surface(
        motion.points(np.concatenate([mesh.vertices for mesh in meshes])),
        np.concatenate([mesh.faces + start for mesh, start in zip(meshes, starts, strict=True)]),
        np.repeat(np.asarray(names, dtype=np.int64), counts),
        np.repeat(np.asarray(colors, dtype=np.uint8), counts, axis=0),
    )


def polydata(made: Surface) -> pv.PolyData:
    """A surface for pyvista, with normals; cell_data holds `part` (index) and `rgb` (uint8)."""
    import pyvista as pv

    corners = np.column_stack([np.full(len(made.faces), 3), made.faces]).ravel()
    data = pv.PolyData(np.asarray(made.vertices, dtype=np.float32), faces=corners)
    data.cell_data["part"] = made.part
    data.cell_data["rgb"] = made.rgb
    if len(made.faces) == 0:
        return data
    with_normals: pv.PolyData = data.compute_normals(
        cell_normals=False,
        point_normals=True,
        split_vertices=True,
        feature_angle=FEATURE,
        consistent_normals=False,
        auto_orient_normals=False,
    )
    return with_normals
