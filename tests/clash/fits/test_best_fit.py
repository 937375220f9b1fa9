"""The best fit, against scipy's rotation alignment, and in closed form."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from clash.fits.best_fit import as_it_stands, best_fit

RNG = np.random.default_rng(11)
GRID = np.array([[x, y] for x in range(6) for y in range(4)], dtype=float) * 3048.0


def placed(points: np.ndarray, turn: float, move: np.ndarray | tuple[float, float]) -> np.ndarray:
    c, s = np.cos(turn), np.sin(turn)
    return points @ np.array([[c, s], [-s, c]]) + move


@pytest.mark.parametrize("turn", [0.0, 0.004, -1.2, 3.0])
@pytest.mark.parametrize("move", [(0.0, 0.0), (4.5e9, -1.2e9)])
def test_it_is_what_rotation_alignment_finds(turn: float, move: tuple[float, float]) -> None:
    """`Rotation.align_vectors` solves the same problem by a singular value decomposition, in space."""
    measured = placed(GRID, turn, move) + RNG.normal(0.0, 2.0, GRID.shape)
    found = best_fit(GRID, measured, usual=50.0)
    flat = np.zeros((len(GRID), 1))
    p = np.hstack([GRID - GRID.mean(axis=0), flat])
    q = np.hstack([measured - measured.mean(axis=0), flat])
    aligned, root_sum = Rotation.align_vectors(q, p)
    away = aligned.as_rotvec()
    assert away[:2] == pytest.approx([0.0, 0.0], abs=1e-9)
    assert np.angle(np.exp(1j * (found.turn - away[2]))) == pytest.approx(0.0, abs=1e-9)
    assert found.rms == pytest.approx(root_sum / np.sqrt(len(GRID)), rel=1e-4)
    assert placed(GRID, found.turn, found.move).mean(axis=0) == pytest.approx(measured.mean(axis=0), abs=1e-4)


def test_measured_points_come_back_to_the_drawing() -> None:
    measured = placed(GRID, 0.7, (1e6, 2e6))
    found = best_fit(GRID, measured, usual=10.0)
    assert found.to_drawing(measured) == pytest.approx(GRID, abs=1e-5)
    assert found.move == pytest.approx([1e6, 2e6], abs=1e-5)
    assert found.residuals == pytest.approx(np.zeros(GRID.shape), abs=1e-6)


@pytest.mark.parametrize("share", [1, 5, 9])
def test_points_that_went_astray_have_no_say_and_are_told(share: int) -> None:
    """Up to 9 of 24 points off by a foot and more, all to one side: the others decide."""
    measured = placed(GRID, 0.01, (500.0, -300.0))
    which = RNG.choice(len(GRID), share, replace=False)
    measured[which] += [400.0, 320.0]
    found = best_fit(GRID, measured, usual=15.0)
    assert set(np.flatnonzero(found.outliers)) == set(which.tolist())
    assert found.turn == pytest.approx(0.01, abs=1e-9)
    assert found.rms == pytest.approx(0.0, abs=1e-6)
    c, s = np.cos(0.01), np.sin(0.01)
    assert found.residuals[which[0]] == pytest.approx(
        [400.0 * c + 320.0 * s, 320.0 * c - 400.0 * s], abs=1e-4
    )


def test_a_scale_is_told_and_never_absorbed() -> None:
    """40 ppm between grid and ground: a point 15,240 mm from the middle stays .6 mm off."""
    measured = placed(GRID * (1.0 + 40e-6), 0.3, (0.0, 0.0))
    found = best_fit(GRID, measured, usual=15.0)
    assert found.ppm == pytest.approx(40.0, rel=1e-6)
    away = GRID - GRID.mean(axis=0)
    assert found.residuals == pytest.approx(40e-6 * away, abs=1e-6)


def test_the_survey_foot_shows_as_two_millionths() -> None:
    """1200/3937 m against .3048 m: 2.000004 ppm."""
    found = best_fit(GRID, GRID * (1200.0 / 3937.0 / 0.3048), usual=15.0)
    assert found.ppm == pytest.approx(2.000004, abs=1e-5)


def test_too_few_points_are_refused() -> None:
    with pytest.raises(ValueError, match="at least two points"):
        best_fit(GRID[:1], GRID[:1], 1.0)
    with pytest.raises(ValueError, match="at least two points"):
        best_fit(np.zeros((3, 2)), np.zeros((3, 2)), 1.0)


def test_as_it_stands_moves_nothing() -> None:
    found = as_it_stands(GRID, GRID + np.array([3.0, 4.0]), usual=15.0)
    assert (found.turn, *found.move) == (0.0, 0.0, 0.0)
    assert found.rms == pytest.approx(5.0)
    assert found.to_drawing(GRID) == pytest.approx(GRID)


def test_as_it_stands_tells_what_lies_far_off() -> None:
    measured = GRID + np.array([0.0, 1.0])
    measured[5] += [60.0, 0.0]
    found = as_it_stands(GRID, measured, usual=15.0)
    assert np.flatnonzero(found.outliers).tolist() == [5]
    assert found.rms == pytest.approx(1.0)
