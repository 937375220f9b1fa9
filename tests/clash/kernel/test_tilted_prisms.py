"""Prisms tilted against each other: certified by duality, and round ones against bars of the same shape."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest

from clash.kernel.prism_prism import prism_prism
from clash.kernel.prism_table import PrismTable
from clash.kernel.swept_prism import swept_prism
from clash.kernel.tables import SweptTable
from models.motion import Array, Motion
from models.outline import Outline, circle, polygon, rectangle
from models.solids import Prism
from tests.support.bars import straight_bar, turned_anyhow
from tests.support.certified import ConvexPrism, certified_distance

PROVEN = 1e-6


def corners(rng: np.random.Generator) -> Array:
    while True:
        angle = np.sort(rng.uniform(0, 2 * pi, rng.integers(3, 8)))
        if np.max(np.diff(np.append(angle, angle[0] + 2 * pi))) < 3.0:
            return np.column_stack([np.cos(angle) * rng.uniform(5, 80), np.sin(angle) * rng.uniform(5, 80)])


def check(seed: int, count: int) -> None:
    pytest.importorskip("coal")
    rng = np.random.default_rng(seed)
    prisms, bodies = [], []
    for _ in range(2 * count):
        plan, low = corners(rng), rng.uniform(-30, 0)
        high = low + rng.choice([5.0, 20.0, 80.0])
        motion = Motion(turned_anyhow(rng), rng.uniform(-70, 70, 3))
        prisms.append(Prism(Outline(polygon(plan)), low, high, motion))
        bodies.append(ConvexPrism(plan, low, high, motion))
    i = np.arange(0, 2 * count, 2)
    found = prism_prism(PrismTable.of(prisms), i, i + 1)
    assert np.all(np.isfinite(found.gap))
    unproven = 0
    for k in range(count):
        proof = certified_distance(bodies[2 * k], bodies[2 * k + 1], witness=(found.at_a[k], found.at_b[k]))
        if proof is None or (proof.upper < PROVEN and not proof.overlap):
            unproven += 1
            assert found.gap[k] < PROVEN
        elif proof.overlap:
            assert found.gap[k] < 0.0, k
        else:
            assert proof.lower - PROVEN <= found.gap[k] <= proof.upper + PROVEN, k
            assert np.linalg.norm(found.at_a[k] - found.at_b[k]) == pytest.approx(found.gap[k], abs=PROVEN)
    assert unproven < count * 0.05


def test_convex_pairs_are_certified_by_duality() -> None:
    check(1, 500)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(40, 43))
def test_6_000_convex_pairs(seed: int) -> None:
    check(seed, 2000)


def test_a_round_prism_is_a_straight_bar() -> None:
    rng = np.random.default_rng(8)
    n = 300
    plates = [
        Prism(
            Outline(circle(90.0) if k % 2 else rectangle(120.0, 90.0)).with_holes([circle(40.0, (5.0, 3.0))]),
            -6.0,
            6.0,
            Motion(turned_anyhow(rng), rng.uniform(-20, 20, 3)),
        )
        for k in range(n)
    ]
    bars, disks = [], []
    for k in range(n):
        motion = Motion(turned_anyhow(rng), rng.uniform(-90, 90, 3) * (k % 3 > 0))
        length, radius = rng.choice([8.0, 60.0, 200.0]), rng.choice([5.0, 15.0, 40.0])
        disks.append(Prism(Outline(circle(2 * radius)), -length / 2, length / 2, motion))
        ends = motion.points(np.array([[0.0, 0.0, -length / 2], [0.0, 0.0, length / 2]]))
        bars.append(straight_bar(ends[0], ends[1], radius))
    every = np.arange(n)
    as_prisms = prism_prism(PrismTable.of(disks + plates), every, every + n)
    as_bars = swept_prism(SweptTable.of(bars), PrismTable.of(plates), every, every)
    clear = as_bars.gap > 0.0
    assert np.array_equal(clear, as_prisms.gap > 0.0)
    assert as_prisms.gap[clear] == pytest.approx(as_bars.gap[clear], abs=PROVEN)


def test_two_disks_pass_each_other_askew() -> None:
    # axes along z and along x, 100 apart: 100 - 30 - 20 between the barrels
    a = Prism(Outline(circle(60.0)), -80.0, 80.0)
    turn = np.column_stack([[0, 1.0, 0], [0, 0, 1.0], [1.0, 0, 0]])
    b = Prism(Outline(circle(40.0)), -80.0, 80.0, Motion(turn, np.array([0.0, 100.0, 0.0])))
    found = prism_prism(PrismTable.of([a, b]), np.array([0]), np.array([1]))
    assert found.gap[0] == pytest.approx(50.0, abs=1e-9)
    closer = Prism(b.outline, b.bottom, b.top, Motion(turn, np.array([0.0, 49.0, 0.0])))
    assert prism_prism(PrismTable.of([a, closer]), np.array([0]), np.array([1])).gap[0] == pytest.approx(-1.0)


def test_a_cube_on_its_corner() -> None:
    # a cube of 20 standing on its corner: that is 10 sqrt(3) below its middle
    up = np.array([1.0, 1.0, 1.0]) / sqrt(3)
    x = np.array([1.0, -1.0, 0.0]) / sqrt(2)
    turn = np.stack([x, np.cross(up, x), up])  # carries the body diagonal to z
    cube = Prism(Outline(rectangle(20.0, 20.0)), -10.0, 10.0, Motion(turn, np.array([0.0, 0.0, 50.0])))
    floor = Prism(Outline(rectangle(200.0, 200.0)), -5.0, 0.0)
    found = prism_prism(PrismTable.of([cube, floor]), np.array([0]), np.array([1]))
    assert found.gap[0] == pytest.approx(50 - 10 * sqrt(3), abs=1e-9)
