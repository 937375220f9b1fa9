"""Fixed views: which way they look, what they are called, and that they show all they should."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest

from viewer.scene.cameras import FACES, FIXED, View, face_of, fitted, toward, up, view_words


def test_faces_of_a_pier_that_is_not_turned() -> None:
    assert np.allclose([toward(face) for face in FACES], [[0, 1, 0], [1, 0, 0], [0, -1, 0], [-1, 0, 0]])
    assert [view_words(face) for face in FACES] == ["the N face", "the E face", "the S face", "the W face"]
    assert view_words(View.TOP) == "the top"


@pytest.mark.parametrize(
    ("turn", "north"),
    [(0, "N"), (20, "N"), (30, "NW"), (45, "NE"), (60, "NE"), (-30, "NE"), (90, "N"), (200, "N")],
)
def test_a_turned_pier_is_looked_at_square_to_its_faces(turn: float, north: str) -> None:
    normals = [(cos(radians(turn + 90 * k)), sin(radians(turn + 90 * k)), 0.0) for k in range(4)]
    for face in FACES:
        assert min(np.linalg.norm(toward(face, turn) - np.array(n)) for n in normals) < 1e-9
    assert len({view_words(face, turn) for face in FACES}) == 4
    assert view_words(View.NORTH, turn) == f"the {north} face"


def test_the_four_faces_are_named_once_at_every_turn() -> None:
    for turn in np.arange(-360.0, 361.0, 2.5).tolist():
        assert len({view_words(face, turn) for face in FACES}) == 4, turn


def test_a_normal_belongs_to_the_face_that_it_looks_out_of() -> None:
    assert face_of(np.array([0.0, -1.0, 0.0])) is View.SOUTH
    assert face_of(np.array([0.1, 0.0, 0.99])) is View.TOP
    assert face_of(np.array([cos(radians(45)), sin(radians(45)), 0.0]), 45.0) is View.NORTH


@pytest.mark.parametrize("view", [*FIXED, View.FREE])
@pytest.mark.parametrize("aspect", [0.4, 1.0, 2.5])
def test_a_fitted_camera_shows_every_point(view: View, aspect: float) -> None:
    points = np.random.default_rng(4).normal(size=(200, 3)) * [300.0, 500.0, 900.0] + [50.0, -70.0, -600.0]
    camera = fitted(view, 17.0, points, aspect)
    out, high = toward(view, 17.0), up(view)
    right = np.cross(high, out) / np.linalg.norm(np.cross(high, out))
    off = points - np.array(camera.focal)
    assert np.max(np.abs(off @ np.cross(out, right))) <= camera.half
    assert np.max(np.abs(off @ right)) <= camera.half * aspect
    assert np.all((np.array(camera.position) - points) @ out > 0.0)
