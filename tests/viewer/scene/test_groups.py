"""Every role belongs to one trade, and the merged surfaces hold each part's triangles."""

from __future__ import annotations

import numpy as np
import pytest

from models.part import Role
from models.pier import Pier
from models.reading.loading import load_site
from models.shapes.mesh import mesh_of
from models.site import Site
from tests.viewer.running import DEMO
from viewer.scene.cameras import FACES, View
from viewer.scene.concrete import skin
from viewer.scene.groups import ROLES, Group, by_group, group_of
from viewer.scene.meshes import CHORD, Surface, surface, upright


@pytest.fixture(scope="module")
def demo() -> Site:
    return load_site(DEMO / "reedbank.yaml")


@pytest.fixture
def pier(demo: Site) -> Pier:
    return next(p for p in demo.piers if p.mark == "P2")


def test_every_role_belongs_to_one_group() -> None:
    listed = [role for roles in ROLES.values() for role in roles]
    assert sorted(listed) == sorted(Role)
    assert set(ROLES) == set(Group)


def volume(made: Surface, part: int) -> float:
    """mm3 within the triangles of one part, by the divergence theorem."""
    own = made.only([part])
    a, b, c = (own.vertices[own.faces[:, k]] - own.vertices[own.faces[0, 0]] for k in range(3))
    return float(np.sum(a * np.cross(b, c))) / 6.0


def surfaces(pier: Pier) -> dict[Group, Surface]:
    return {group: surface(pier.parts, pier, upright(pier), which) for group, which in by_group(pier).items()}


def test_surfaces_hold_every_part_under_its_index(pier: Pier) -> None:
    made = surfaces(pier)
    for i, part in enumerate(pier.parts):
        own = made[group_of(part.role)]
        assert np.count_nonzero(own.part == i) == len(mesh_of(part.solid, CHORD).faces)
        assert volume(own, i) == pytest.approx(mesh_of(part.solid, CHORD).volume)


def test_parts_are_taken_off_by_index(pier: Pier) -> None:
    cage = surfaces(pier)[Group.CAGE]
    first = int(cage.part[0])
    left, gone = cage.without([first]), cage.only([first])
    assert first not in left.part
    assert set(gone.part.tolist()) == {first}
    assert len(left.faces) + len(gone.faces) == len(cage.faces) == len(left.rgb) + len(gone.rgb)


def test_concrete_comes_off_face_by_face(pier: Pier) -> None:
    whole = skin(pier)
    assert set(whole.face.tolist()) == {"top", "bottom", *(face.value for face in FACES)}
    less = skin(pier, off=[View.SOUTH])
    assert set(less.face.tolist()) == set(whole.face.tolist()) - {"south"}
    y = less.surface.vertices[less.surface.faces].mean(axis=1)[:, 1]
    assert np.all(y > -pier.concrete.outline.outer.polyline(1.0)[:, 1].max() + 1.0)


def test_concrete_comes_off_down_to_a_level(pier: Pier) -> None:
    cut = skin(pier, level=-300.0).surface
    assert cut.vertices[:, 2].max() == pytest.approx(-300.0)
    assert cut.vertices[:, 2].min() == pytest.approx(pier.concrete.bottom)


def test_edges_of_a_square_pier_with_chamfers(pier: Pier) -> None:
    """8 corners in plan (4 chamfered): 8 upright edges, 3 rings of 8, 8 up the chamfer."""
    assert len(skin(pier).edges) == 8 + 3 * 8 + 8
