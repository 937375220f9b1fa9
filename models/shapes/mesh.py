"""Watertight meshes of solids, true to a stated chord error: for shared volumes, pictures and export.

Gaps are never measured from them: facets inside a circle overstate the room there is.
"""

from __future__ import annotations

from math import tau

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from models.motion import Array
from models.outline import Loop, arc_steps
from models.pier import Concrete
from models.shapes.chamfer import set_back
from models.solids import Prism, Solid, Swept

CHORD_ERROR = 0.05
"""mm: how far facets may lie from the true surface unless asked otherwise."""

Faces = NDArray[np.int64]


class Mesh(Struct, frozen=True, eq=False):
    """A closed surface of triangles: vertices (n, 3) mm; faces (m, 3), counterclockwise seen from outside."""

    vertices: Array
    faces: Faces

    @property
    def volume(self) -> float:
        """mm3, by the divergence theorem; taken about the first vertex so that distance costs no digits."""
        a, b, c = (self.vertices[self.faces[:, k]] - self.vertices[0] for k in range(3))
        return float(np.sum(a * np.cross(b, c))) / 6.0


def mesh_of(solid: Solid, chord_error: float = CHORD_ERROR) -> Mesh:
    """The mesh of a solid, in the frame that the solid is in; the same solid always gives the same mesh."""
    return _swept_mesh(solid, chord_error) if isinstance(solid, Swept) else _prism_mesh(solid, chord_error)


def volume_tolerance(solid: Solid, chord_error: float = CHORD_ERROR) -> float:
    """mm3: how far a mesh's volume may lie from the solid's closed form.

    A facet within `chord_error` of its curved surface encloses at most chord_error x area more or less; flat
    faces are exact. The curved area is 2 pi r x length of a bar, arc length x height of a prism.
    """
    if isinstance(solid, Swept):
        return chord_error * tau * solid.radius * solid.length
    loops = (solid.outline.outer, *solid.outline.holes)
    return chord_error * sum(_arc_length(loop) for loop in loops) * (solid.top - solid.bottom)


def _arc_length(loop: Loop) -> float:
    arc = loop.sweeps != 0.0
    radius = np.linalg.norm(loop.starts[arc] - loop.centers[arc], axis=1)
    return float(np.sum(radius * np.abs(loop.sweeps[arc])))


def _swept_mesh(bar: Swept, chord_error: float) -> Mesh:
    """Rings of one polygon carried along the centerline without twist, exact at every station, capped flat.

    Half the chord error is spent round the section and half along the bends. The polygon turns rigidly with a
    bend, so that every facet is plane.
    """
    sides = max(arc_steps(bar.radius, tau, chord_error / 2.0), 8)
    around = tau * np.arange(sides) / sides
    section = bar.radius * np.column_stack([np.cos(around), np.sin(around)])
    points, frames = stations(bar, chord_error / 2.0)
    rings = points[:, None, :] + section @ frames
    return Mesh(rings.reshape(-1, 3), _tube_faces(len(points), sides))


def stations(bar: Swept, chord_error: float) -> tuple[Array, Array]:
    """Stations along a bar: points (k, 3) on its centerline, frames (k, 2, 3), two unit normals at each.

    A frame is carried along without twist: unchanged by straight pieces, turned by bends about their axis.
    Bends have so many stations that their outer side is true to `chord_error`.
    """
    frame = _first_frame(_tangent(bar, 0))
    points, frames = [bar.knots[:1]], [frame[None]]
    for i, angle in enumerate(bar.angles.tolist()):
        if angle > 0.0:
            arm = bar.knots[i] - bar.centers[i]
            steps = arc_steps(float(np.linalg.norm(arm)) + bar.radius, angle, chord_error)
            turns = _turns_about(bar.axes[i], angle * np.arange(1, steps + 1) / steps)
            points += [bar.centers[i] + turns[:-1] @ arm, bar.knots[i + 1 : i + 2]]
            frames.append(frame @ turns.transpose(0, 2, 1))
            frame = frames[-1][-1]
        else:
            points.append(bar.knots[i + 1 : i + 2])
            frames.append(frame[None])
    return np.concatenate(points), np.concatenate(frames)


def _tangent(bar: Swept, piece: int) -> Array:
    """(3,) unit tangent where a piece starts."""
    if bar.angles[piece] > 0.0:
        along: Array = np.cross(bar.axes[piece], bar.knots[piece] - bar.centers[piece])
    else:
        along = bar.knots[piece + 1] - bar.knots[piece]
    unit: Array = along / np.linalg.norm(along)
    return unit


def _first_frame(tangent: Array) -> Array:
    """(2, 3): two unit normals that make a right-handed frame with the tangent."""
    helper = np.zeros(3)
    helper[int(np.argmin(np.abs(tangent)))] = 1.0
    u = np.cross(tangent, helper)
    u /= np.linalg.norm(u)
    return np.array([u, np.cross(tangent, u)])


def _turns_about(axis: Array, angles: Array) -> Array:
    """(n, 3, 3): turns by (n,) rad counterclockwise about a unit axis (Rodrigues)."""
    x, y, z = axis
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    s, c = np.sin(angles)[:, None, None], np.cos(angles)[:, None, None]
    turns: Array = np.eye(3) + s * cross + (1.0 - c) * (cross @ cross)
    return turns


def _tube_faces(rings: int, sides: int) -> Faces:
    """Faces of `rings` rings of `sides` vertices, ring after ring, counterclockwise about the tangent."""
    here = np.arange(sides)
    after = (here + 1) % sides
    base = sides * np.arange(rings - 1)[:, None]
    a, b = base + here, base + after
    walls = np.concatenate(
        [np.stack([a, b, b + sides], axis=-1), np.stack([a, b + sides, a + sides], axis=-1)], axis=1
    )
    fan = np.column_stack([np.zeros(sides - 2, dtype=np.int64), here[1:-1], after[1:-1]])
    return np.concatenate([walls.reshape(-1, 3), fan[:, ::-1], fan + sides * (rings - 1)]).astype(np.int64)


def _prism_mesh(prism: Prism, chord_error: float) -> Mesh:
    rings = [loop.polyline(chord_error) for loop in (prism.outline.outer, *prism.outline.holes)]
    mesh = _stacked(rings, [rings, rings], [prism.bottom, prism.top])
    return Mesh(prism.motion.points(mesh.vertices), mesh.faces)


def _stacked(plan: list[Array], levels: list[list[Array]], heights: list[float]) -> Mesh:
    """Rings at several heights, walls between them, caps at both ends.

    plan: the rings that the caps are triangulated from; each level repeats them, point for point.
    """
    counts = [len(ring) for ring in plan]
    total = sum(counts)
    vertices = np.concatenate(
        [
            np.column_stack([np.concatenate(rings), np.full(total, z)])
            for rings, z in zip(levels, heights, strict=True)
        ]
    )
    here = np.arange(total)
    after = np.concatenate(
        [
            first + (np.arange(count) + 1) % count
            for first, count in zip(np.cumsum([0, *counts[:-1]]), counts, strict=True)
        ]
    )
    base = total * np.arange(len(levels) - 1)[:, None]
    a, b = base + here, base + after
    walls = np.concatenate([np.stack([a, b, b + total], -1), np.stack([a, b + total, a + total], -1)], axis=1)
    bottom = _triangles(levels[0])[:, ::-1]
    top = _triangles(levels[-1]) + total * (len(levels) - 1)
    return Mesh(vertices, np.concatenate([walls.reshape(-1, 3), bottom, top]).astype(np.int64))


def _triangles(rings: list[Array]) -> Faces:
    """Triangles (m, 3) of a plan region, counterclockwise, into the rings' points laid end to end."""
    from manifold3d import triangulate

    return np.asarray(triangulate(rings), dtype=np.int64)


def concrete_mesh(concrete: Concrete, chord_error: float = CHORD_ERROR) -> Mesh:
    """The mesh of a pier's concrete, its top chamfer cut."""
    if concrete.top_chamfer == 0.0:
        return _prism_mesh(concrete.prism, chord_error)
    outer = concrete.outline.outer
    wide, narrow = _matched(outer, set_back(outer, concrete.top_chamfer), chord_error)
    holes = [hole.polyline(chord_error) for hole in concrete.outline.holes]
    below, above = [wide, *holes], [narrow, *holes]
    return _stacked(below, [below, below, above], [concrete.bottom, -concrete.top_chamfer, 0.0])


def _matched(wide: Loop, narrow: Loop, chord_error: float) -> tuple[Array, Array]:
    """Two rings as polylines with the same number of points on each pair of edges."""
    out: tuple[list[Array], list[Array]] = ([], [])
    for i in range(len(wide.starts)):
        steps = 1
        if wide.sweeps[i] != 0.0:
            sizes = [float(np.linalg.norm(loop.starts[i] - loop.centers[i])) for loop in (wide, narrow)]
            sweep = max(abs(float(wide.sweeps[i])), abs(float(narrow.sweeps[i])))
            steps = arc_steps(max(sizes), sweep, chord_error)
        for loop, points in zip((wide, narrow), out, strict=True):
            points.append(_edge_points(loop, i, steps))
    return np.concatenate(out[0]), np.concatenate(out[1])


def _edge_points(loop: Loop, edge: int, steps: int) -> Array:
    """(steps, 2) points along one edge, its end left out."""
    start, sweep, center = loop.starts[edge], loop.sweeps[edge], loop.centers[edge]
    if sweep == 0.0:
        return loop.starts[edge : edge + 1]
    angle = sweep * np.arange(steps) / steps
    arm = start - center
    c, s = np.cos(angle), np.sin(angle)
    points: Array = center + np.column_stack([c * arm[0] - s * arm[1], s * arm[0] + c * arm[1]])
    return points
