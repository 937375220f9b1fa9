"""How much space two parts share, for pairs that overlap."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from models.motion import Array, Motion
from models.part import Part
from models.shapes.mesh import CHORD_ERROR, Mesh, mesh_of
from models.solids import Solid, Swept

if TYPE_CHECKING:
    from manifold3d import Manifold

Shape = tuple[bytes, ...]
KEPT = 256
"""shapes kept built: those of some piers, about 100 MB."""
DIGITS = 7
"""of a millimeter: shapes and places that agree to so many are the same."""


def shared_volume(a: Part, b: Part, chord_error: float = CHORD_ERROR) -> float:
    """The volume that two parts of one pier both fill, mm3; see `SharedVolumes`."""
    return SharedVolumes(chord_error).of(a, b)


def shared_solid(a: Part, b: Part, chord_error: float = CHORD_ERROR) -> Mesh | None:
    """What two parts of one pier both fill, as a mesh in the pier's frame; None where they are apart.

    None too where one of them encloses no volume that can be trusted.
    """
    middle = _shape(a.solid)[1]
    bodies = [_manifold(part.solid.moved(Motion(np.eye(3), -middle)), chord_error) for part in (a, b)]
    if bodies[0] is None or bodies[1] is None:
        return None
    shared = bodies[0] ^ bodies[1]
    if not shared.volume() > 0.0:
        return None
    mesh = shared.to_mesh64()
    return Mesh(
        np.asarray(mesh.vert_properties, dtype=np.float64)[:, :3] + middle,
        np.asarray(mesh.tri_verts, dtype=np.int64),
    )


class SharedVolumes:
    """The volumes that pairs of parts both fill, each shape built once and each repeated pair measured once.

    Measured on meshes true to `chord_error` mm, in double precision and near the origin, wherever the parts
    stand; `models.shapes.mesh.volume_tolerance` says what the chord error means for a volume.
    """

    def __init__(self, chord_error: float = CHORD_ERROR) -> None:
        """No pair measured yet."""
        self._chord_error = chord_error
        self._bodies: dict[Shape, Manifold | None] = {}
        self._volumes: dict[tuple[Shape, Shape, bytes], float] = {}

    def of(self, a: Part, b: Part) -> float:
        """The volume that two parts of one pier both fill, mm3; 0 where they are apart.

        NaN where one of the meshes encloses no volume that can be trusted (a bend tighter than the bar is
        thick): it could not be measured.
        """
        (shape_a, from_a), (shape_b, from_b) = _shape(a.solid), _shape(b.solid)
        apart = from_b - from_a
        pair = shape_a, shape_b, _digits(apart)
        known = self._volumes.get(pair)
        if known is None:
            first, second = self._body(shape_a, a.solid, from_a), self._body(shape_b, b.solid, from_b)
            if first is None or second is None:
                known = float("nan")
            else:
                known = float((first ^ second.translate(apart.tolist())).volume())
            self._volumes[pair] = known
        return known

    def _body(self, shape: Shape, solid: Solid, origin: Array) -> Manifold | None:
        """A shape as a body, its origin at zero."""
        if shape not in self._bodies:
            while len(self._bodies) >= KEPT:
                del self._bodies[next(iter(self._bodies))]  # the one built first
            self._bodies[shape] = _manifold(solid.moved(Motion(np.eye(3), -origin)), self._chord_error)
        return self._bodies[shape]


def _shape(solid: Solid) -> tuple[Shape, Array]:
    """What is the same for solids that are the same but for a shift, and where this one stands (3,)."""
    if isinstance(solid, Swept):
        at = solid.knots[0]
        columns = (solid.knots - at, solid.centers - at, solid.axes, solid.angles, np.array(solid.radius))
        return (b"bar", *map(_digits, columns)), at
    rings = (solid.outline.outer, *solid.outline.holes)
    heights, turn = np.array([solid.bottom, solid.top]), solid.motion.rotation
    edges = [column for ring in rings for column in (ring.starts, ring.sweeps, ring.centers)]
    return (b"prism", *map(_digits, (heights, turn, *edges))), solid.motion.shift


def _digits(values: Array) -> bytes:
    return bytes((np.round(values, DIGITS) + 0.0).tobytes())  # + 0.0 makes one zero of -0 and 0


def _manifold(solid: Solid, chord_error: float) -> Manifold | None:
    from manifold3d import Error, Manifold, Mesh64

    mesh = mesh_of(solid, chord_error)
    # copies: manifold3d refuses arrays that cannot be written to
    body = Manifold(Mesh64(np.array(mesh.vertices, dtype=np.float64), np.array(mesh.faces, dtype=np.uint64)))
    # a mesh turned inside out passes as sound, and gives itself away by its volume alone
    return body if body.status() == Error.NoError and body.volume() > 0.0 else None
