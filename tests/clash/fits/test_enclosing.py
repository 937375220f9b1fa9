"""The smallest circle round weighted points, against a general optimizer and by symmetry."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize

from clash.fits.enclosing import smallest

RNG = np.random.default_rng(6)


def by_optimizer(points: np.ndarray, weights: np.ndarray) -> float:
    """The least v with |u - s| + w <= v for all, by sequential quadratic programming."""
    reach = lambda s: np.hypot(*(points - s).T) + weights  # noqa: E731
    best = np.inf
    for start in (points.mean(axis=0), points[np.argmax(weights)] + 1e-3):
        found = minimize(
            lambda x: x[2],
            [*start, reach(start).max() + 1.0],
            jac=lambda x: np.array([0.0, 0.0, 1.0]),
            constraints={"type": "ineq", "fun": lambda x: x[2] - reach(x[:2])},
            method="SLSQP",
            options={"ftol": 1e-12, "maxiter": 500},
        )
        best = min(best, reach(found.x[:2]).max())
    return best


@pytest.mark.parametrize("count", [1, 2, 3, 4, 7, 30])
def test_it_is_what_an_optimizer_finds(count: int) -> None:
    points = RNG.normal(0.0, 10.0, (8, count, 2))
    weights = RNG.uniform(-8.0, 8.0, (8, count))
    found = smallest(points, weights)
    for k in range(8):
        reach = np.hypot(*(points[k] - found.center[k]).T) + weights[k]
        assert found.value[k] == pytest.approx(reach.max(), abs=1e-9)
        assert found.value[k] == pytest.approx(by_optimizer(points[k], weights[k]), abs=1e-5)


def test_the_shares_prove_that_nothing_less_will_do() -> None:
    """sum l = 1, sum l g = 0, and each point of a positive share lies on the circle: then v is the least."""
    points = RNG.normal(0.0, 10.0, (200, 9, 2))
    weights = RNG.uniform(-3.0, 3.0, (200, 9))
    found = smallest(points, weights)
    assert found.share.sum(axis=1) == pytest.approx(np.ones(200))
    assert np.all(found.share >= 0.0)
    drift = np.sum(found.share[..., None] * found.toward, axis=1)
    assert np.abs(drift).max() < 1e-9
    for k in range(200):
        for point, share in zip(found.basis[k], found.share[k], strict=True):
            if point >= 0 and share > 0.0:
                reach = np.hypot(*(points[k, point] - found.center[k])) + weights[k, point]
                assert reach == pytest.approx(found.value[k], abs=1e-9)


def test_points_in_line_coinciding_and_swallowed() -> None:
    """In line: half the span. Coinciding: nothing. A small circle inside a large one has no say."""
    line = np.array([[[0.0, 0.0], [4.0, 0.0], [10.0, 0.0], [10.0, 0.0]]])
    assert smallest(line, np.zeros((1, 4))).value[0] == pytest.approx(5.0)
    same = np.full((1, 5, 2), 3.0)
    assert smallest(same, np.zeros((1, 5))).value[0] == pytest.approx(0.0)
    found = smallest(line[:, :2], np.array([[9.0, 1.0]]))
    assert found.value[0] == pytest.approx(9.0)
    assert found.center[0] == pytest.approx([0.0, 0.0])


def test_points_that_are_none_have_no_say() -> None:
    points = RNG.normal(0.0, 10.0, (20, 5, 2))
    weights = RNG.uniform(-3.0, 3.0, (20, 5))
    more = np.concatenate([points, np.full((20, 2, 2), 1e6)], axis=1)
    none = np.concatenate([weights, np.full((20, 2), -np.inf)], axis=1)
    assert smallest(more, none).value == pytest.approx(smallest(points, weights).value)
