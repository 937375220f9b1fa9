"""Meshes: watertight, turned outward, true to their chord error, their volume that of the closed form."""

from __future__ import annotations

from functools import cache
from math import pi, sin, tau

import manifold3d
import numpy as np
import pytest
import trimesh

from models.motion import Array, Motion
from models.outline import Outline, arc_steps, circle, hexagon, polygon, rectangle
from models.part import Part, Role
from models.pier import Concrete
from models.shapes.chamfer import concrete_volume
from models.shapes.mesh import Mesh, concrete_mesh, mesh_of, stations, volume_tolerance
from models.shapes.spine import swept
from models.solids import Prism, Swept
from tests.support.hardware import everything


@cache
def parts() -> dict[str, Part]:
    return {f"{pier.mark} {part.id}": part for pier in everything().piers for part in pier.parts}


def check_closed(mesh: Mesh) -> float:
    """The volume, agreed on by two libraries that also find the mesh closed and turned outward."""
    shell = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)
    assert shell.is_watertight
    assert shell.is_winding_consistent
    assert len(np.unique(mesh.faces)) == len(mesh.vertices)  # no vertex hangs loose
    body = manifold3d.Manifold(
        manifold3d.Mesh64(vert_properties=mesh.vertices.copy(), tri_verts=mesh.faces.astype(np.uint64))
    )
    assert body.status() == manifold3d.Error.NoError
    assert body.volume() > 0.0
    assert body.volume() == pytest.approx(mesh.volume, rel=1e-9)
    assert shell.volume == pytest.approx(mesh.volume, rel=1e-6)
    return mesh.volume


def test_the_test_site_holds_every_role() -> None:
    assert {part.role for part in parts().values()} == set(Role) - {Role.CONCRETE}


@pytest.mark.parametrize("chord_error", [0.05, 0.5])
def test_every_part_is_watertight_and_has_its_volume(chord_error: float) -> None:
    for name, part in parts().items():
        volume = check_closed(mesh_of(part.solid, chord_error))
        off = abs(volume - part.solid.volume)
        assert off <= volume_tolerance(part.solid, chord_error) + 1e-9 * volume, name


def test_a_straight_sided_prism_is_exact() -> None:
    ell = polygon([[0, 0], [100, 0], [100, 40], [30, 40], [30, 90], [0, 90]])
    prism = Prism(Outline(ell), -3.0, 9.0)
    assert volume_tolerance(prism) == 0.0
    assert check_closed(mesh_of(prism)) == pytest.approx((100 * 40 + 30 * 50) * 12.0, rel=1e-12)


def test_a_nut_is_a_hexagon_less_its_bore() -> None:
    nut = Prism(Outline(hexagon(41.275)).with_holes([circle(25.4)]), 0.0, 25.0)
    exact = (np.sqrt(3.0) / 2.0 * 41.275**2 - pi / 4.0 * 25.4**2) * 25.0
    assert nut.volume == pytest.approx(exact, rel=1e-12)
    assert check_closed(mesh_of(nut, 1e-4)) == pytest.approx(exact, rel=1e-5)


def hooked() -> Swept:
    """A bar with two bends in planes square to each other, and one that leans."""
    points = [[0, 0, 0], [0, 0, 300], [200, 0, 300], [200, 250, 300], [260, 300, 400]]
    return swept(np.array(points, dtype=float), [40.0, 60.0, 50.0], 12.7)


@pytest.mark.parametrize("chord_error", [0.02, 0.05, 0.3])
def test_a_swept_mesh_has_exactly_the_volume_of_its_polygon(chord_error: float) -> None:
    """Area of the n-gon x (straight lengths + R k sin(angle / k) for a bend of k steps): wedges, summed."""
    bar = hooked()
    sides = max(arc_steps(12.7, tau, chord_error / 2.0), 8)
    area = sides / 2.0 * sin(tau / sides) * 12.7**2
    length = 0.0
    for angle, piece, radius in zip(bar.angles, bar.lengths, (0, 40, 0, 60, 0, 50, 0), strict=True):
        if angle == 0.0:
            length += piece
        else:
            steps = arc_steps(radius + 12.7, angle, chord_error / 2.0)
            length += radius * steps * sin(angle / steps)
    assert check_closed(mesh_of(bar, chord_error)) == pytest.approx(area * length, rel=1e-9)


def test_no_section_is_pinched_between_stations() -> None:
    """Half-way between two rings the section keeps its area, but for the cosine of half a step."""
    for name, part in {"hooked": hooked()}.items() | {
        name: p.solid for name, p in parts().items() if isinstance(p.solid, Swept)
    }.items():
        points, frames = stations(part, 0.025)
        around = tau * np.arange(24) / 24
        ring = np.column_stack([np.cos(around), np.sin(around)])
        rings = points[:, None, :] + part.radius * (ring @ frames)
        middle = (rings[1:] + rings[:-1]) / 2.0
        spokes = middle - middle.mean(axis=1, keepdims=True)
        areas = np.linalg.norm(np.cross(spokes, np.roll(spokes, -1, axis=1)).sum(axis=1), axis=1) / 2.0
        along = np.cross(frames[:, 0], frames[:, 1])
        turn = np.arccos(np.clip(np.einsum("kj,kj->k", along[1:], along[:-1]), -1.0, 1.0))
        full = 12.0 * sin(tau / 24) * part.radius**2
        assert np.all(areas >= full * np.cos(turn / 2.0) * (1.0 - 1e-9)), name
        assert np.all(areas >= 0.98 * full), name


def to_centerline(bar: Swept, points: Array) -> Array:
    """(n,) from points to the centerline, naively: the least over its pieces, ends included."""
    best = np.full(len(points), np.inf)
    for i, angle in enumerate(bar.angles):
        a, b = bar.knots[i], bar.knots[i + 1]
        near = np.minimum(np.linalg.norm(points - a, axis=1), np.linalg.norm(points - b, axis=1))
        if angle == 0.0:
            t = np.clip((points - a) @ (b - a) / ((b - a) @ (b - a)), 0.0, 1.0)
            near = np.minimum(near, np.linalg.norm(points - a - t[:, None] * (b - a), axis=1))
        else:
            arm, axis = a - bar.centers[i], bar.axes[i]
            out = points - bar.centers[i]
            height = out @ axis
            turn = np.arctan2(out @ np.cross(axis, arm), out @ arm) % tau
            flat = np.linalg.norm(out - height[:, None] * axis, axis=1)
            near = np.where(turn <= angle, np.hypot(flat - np.linalg.norm(arm), height), near)
        best = np.minimum(best, near)
    return best


@pytest.mark.parametrize("chord_error", [0.05, 0.4])
def test_no_facet_of_a_bar_strays_farther_than_the_chord_error(chord_error: float) -> None:
    bar = hooked()
    mesh = mesh_of(bar, chord_error)
    sides = max(arc_steps(12.7, tau, chord_error / 2.0), 8)
    walls = mesh.faces[: -2 * (sides - 2)]
    corners = mesh.vertices[walls]
    inner = corners.mean(axis=1)
    edges = (corners + np.roll(corners, 1, axis=1)).reshape(-1, 3) / 2.0
    assert np.abs(to_centerline(bar, mesh.vertices) - 12.7).max() < 1e-9
    for points in (inner, edges):
        assert np.abs(to_centerline(bar, points) - 12.7).max() <= chord_error


def test_a_mesh_is_the_same_every_time_and_moves_with_its_solid() -> None:
    motion = Motion.turned(0.7, (1000.0, -300.0, 20.0))
    prism = Prism(Outline(rectangle(300, 200)).with_holes([circle(27, (100, 50))]), 0.0, 12.0)
    for solid in (hooked(), prism):
        first, again, moved = mesh_of(solid), mesh_of(solid), mesh_of(solid.moved(motion))
        assert np.array_equal(first.vertices, again.vertices)
        assert np.array_equal(first.faces, again.faces)
        assert moved.volume == pytest.approx(first.volume, rel=1e-9)
        if isinstance(solid, Prism):
            assert np.allclose(motion.points(first.vertices), moved.vertices, atol=1e-9)


def frustum(wide: float, narrow: float, height: float) -> float:
    """Volume between two similar level sections."""
    return height / 3.0 * (wide + narrow + np.sqrt(wide * narrow))


@pytest.mark.parametrize(
    ("outline", "exact", "arcs"),
    [
        (rectangle(600, 600), 600**2 * 1481 + frustum(600**2, 562**2, 19), 0.0),
        # not similar: the prismatoid formula, which is exact here
        (rectangle(600, 400), 240000 * 1481 + 19 / 6 * (240000 + 4 * 581 * 381 + 562 * 362), 0.0),
        (circle(760), pi * 380**2 * 1481 + pi * frustum(380**2, 361**2, 19), pi * 760),
    ],
)
def test_concrete_with_a_chamfer_round_its_top(outline: object, exact: float, arcs: float) -> None:
    concrete = Concrete(Outline(outline), -1500.0, 19.0)
    assert concrete_volume(concrete) == pytest.approx(exact, rel=1e-12)
    mesh = concrete_mesh(concrete)
    assert check_closed(mesh) == pytest.approx(exact, abs=0.05 * arcs * 1500 + 1e-9 * exact)
    top = mesh.vertices[mesh.vertices[:, 2] == 0.0]
    assert top[:, 0].max() == pytest.approx(outline.starts[:, 0].max() - 19.0)


def test_every_concrete_of_the_test_site_is_watertight() -> None:
    for pier in everything().piers:
        arcs = volume_tolerance(pier.concrete.prism)
        exact = concrete_volume(pier.concrete)
        assert check_closed(concrete_mesh(pier.concrete)) == pytest.approx(exact, abs=arcs + 1e-9 * exact)
        assert exact <= pier.concrete.prism.volume
