"""The least distance along an arc against plain dense sampling, where minima hide."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from clash.kernel.bars.feet import Arcs, Disks, Segments, Sets
from clash.kernel.bars.search import DIP, minima_along
from clash.kernel.bars.vec import dot, minus
from models.motion import Array
from tests.support.bars import turned_anyhow

COUNT = 400
DENSE = 4000


def random_frames(rng: np.random.Generator) -> Array:
    """(COUNT, 3, 3) rotations."""
    return np.stack([turned_anyhow(rng) for _ in range(COUNT)])


def random_arcs(rng: np.random.Generator) -> Arcs:
    frames = random_frames(rng)
    half = rng.choice([pi / 4.0, pi * 0.375, pi / 2.0], COUNT)
    center = rng.normal(size=(3, COUNT)) * 25.0
    return Arcs(center, frames[:, :, 0].T, frames[:, :, 1].T, rng.uniform(10.0, 80.0, COUNT), half)


def random_segments(rng: np.random.Generator) -> Segments:
    direction = random_frames(rng)[:, :, 0].T
    return Segments(rng.normal(size=(3, COUNT)) * 40.0, direction, rng.uniform(1.0, 150.0, COUNT))


def random_disks(rng: np.random.Generator) -> Disks:
    return Disks(
        rng.normal(size=(3, COUNT)) * 40.0, random_frames(rng)[:, :, 2].T, rng.uniform(3.0, 40.0, COUNT)
    )


def least(arcs: Arcs, sets: Sets) -> Array:
    n = len(arcs.half)
    found = minima_along(arcs, sets, np.full(n, np.inf), np.ones(n, dtype=bool))
    out = np.full(n, np.inf)
    apart = minus(found.on_arc, found.on_set)
    np.minimum.at(out, found.problem, np.sqrt(dot(apart, apart)))
    return out


def sampled(arcs: Arcs, sets: Sets) -> tuple[Array, Array]:
    """(n,) the least of many samples, and how much less the truth may be: half a step."""
    turn = np.linspace(-1.0, 1.0, DENSE + 1)[:, None] * arcs.half
    points, _ = arcs.at(turn)
    feet, _ = sets.feet(points)
    apart = minus(points, feet)
    return np.sqrt(dot(apart, apart)).min(axis=0), arcs.radius * arcs.half / DENSE


@pytest.mark.parametrize("draw", [random_arcs, random_segments, random_disks])
def test_no_minimum_is_missed(draw: object) -> None:
    assert callable(draw)
    for seed in range(5):
        rng = np.random.default_rng(seed)
        arcs, sets = random_arcs(rng), draw(rng)
        found, (dense, half_step) = least(arcs, sets), sampled(arcs, sets)
        assert np.all(found <= dense + DIP)
        assert np.all(found >= dense - half_step)


@pytest.mark.parametrize("rise", [0.0, 1.0, 5.0, 12.0])
def test_an_arc_that_lies_level_at_its_own_end(rise: float) -> None:
    """A bar square to the end radius of an arc: the end is level and a maximum, minima lie before it.

    Found once by the long proof: a slope of nothing at the end passed for the turn that was sought.
    """
    arcs = Arcs(np.zeros((3, 1)), np.eye(3)[:, :1], np.eye(3)[:, 1:2], np.array([28.0]), np.array([pi / 4.0]))
    # the end of the arc, and the line through a point further in along that radius, leaning in z
    out = np.array([np.cos(pi / 4.0), np.sin(pi / 4.0), 0.0])
    across = np.array([-out[1], out[0], rise / 28.0])
    across /= np.linalg.norm(across)
    for depth in np.linspace(-30.0, 30.0, 41):
        start = (28.0 + depth) * out - 50.0 * across
        line = Segments(start[:, None], across[:, None], np.array([100.0]))
        found, (dense, half_step) = least(arcs, line), sampled(arcs, line)
        assert found[0] <= dense[0] + DIP
        assert found[0] >= dense[0] - half_step[0]
