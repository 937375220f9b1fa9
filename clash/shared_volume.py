"""How much space two parts share, for pairs that overlap."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from models.mesh import CHORD_ERROR, mesh_of
from models.part import Part
from models.solids import Solid

if TYPE_CHECKING:
    from manifold3d import Manifold


def shared_volume(a: Part, b: Part, chord_error: float = CHORD_ERROR) -> float:
    """The volume that two parts of one pier both fill, mm3; 0 where they are apart.

    Measured on meshes true to `chord_error` mm (see `models.mesh.volume_tolerance` for what that means for a
    volume), in double precision and in the pier's own frame. NaN where one of the meshes encloses no volume
    that can be trusted (a bend tighter than the bar is thick): it could not be measured.
    """
    first, second = _manifold(a.solid, chord_error), _manifold(b.solid, chord_error)
    if first is None or second is None:
        return float("nan")
    return float((first ^ second).volume())


def _manifold(solid: Solid, chord_error: float) -> Manifold | None:
    from manifold3d import Error, Manifold, Mesh64

    mesh = mesh_of(solid, chord_error)
    # copies: manifold3d refuses arrays that cannot be written to
    body = Manifold(Mesh64(np.array(mesh.vertices, dtype=np.float64), np.array(mesh.faces, dtype=np.uint64)))
    # a mesh turned inside out passes as sound, and gives itself away by its volume alone
    return body if body.status() == Error.NoError and body.volume() > 0.0 else None
