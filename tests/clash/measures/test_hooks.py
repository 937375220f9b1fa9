"""Which end of a tie a finding is about."""

from __future__ import annotations

from math import cos, pi, sin

import numpy as np
import pytest

from clash.measures.hooks import _to_piece, at_hook
from models.motion import Motion
from models.part import Part, Role
from models.shapes.spine import swept

# An open tie: a tail of 100, three sides of 200 with 90 degree corners, a tail of 100.
POINTS = [[100.0, 0.0, 0.0], [0.0, 0.0, 0.0], [0.0, 200.0, 0.0], [200.0, 200.0, 0.0], [200.0, 100.0, 0.0]]
TIE = swept(POINTS, 20.0, 5.0)


def part(role: Role = Role.TIE, solid: object = TIE) -> Part:
    return Part(id="P1/tie/1", role=role, label="tie 1 from top", solid=solid)


@pytest.mark.parametrize(
    ("at", "hook"),
    [
        ([80.0, 6.0, 0.0], True),
        ([200.0, 110.0, -7.0], True),
        ([0.0, 100.0, 6.0], False),
        ([100.0, 205.0, 0.0], False),
        ([4.0, 4.0, 0.0], False),  # the corner before the tail
        ([float("nan"), 0.0, 0.0], False),
    ],
)
def test_a_point_by_a_tail_is_at_the_hook(at: list[float], hook: bool) -> None:
    assert at_hook(part(), np.array(at)) is hook
    turn = Motion.turned(0.7, (30.0, -20.0, 500.0))
    assert at_hook(part(solid=TIE.moved(turn)), turn.points(np.array([at]))[0]) is hook


def test_only_lateral_steel_with_straight_ends_has_hooks() -> None:
    at = np.array([80.0, 6.0, 0.0])
    assert at_hook(part(Role.CROSSTIE), at)
    assert not at_hook(part(Role.DOWEL), at)
    assert not at_hook(part(solid=swept(POINTS[:2], (), 5.0)), at)


def test_distances_to_pieces_against_dense_sampling() -> None:
    draw = np.random.default_rng(5)
    for i, angle in enumerate(TIE.angles):
        s = np.linspace(0.0, 1.0, 20_001)[:, None]
        line = TIE.knots[i] * (1 - s) + TIE.knots[i + 1] * s
        if angle > 0.0:
            out = TIE.knots[i] - TIE.centers[i]
            beside = np.cross(TIE.axes[i], out)
            line = TIE.centers[i] + np.cos(s * angle) * out + np.sin(s * angle) * beside
        for at in draw.uniform(-60.0, 260.0, (40, 3)):
            least = np.linalg.norm(line - at, axis=1).min()
            assert _to_piece(TIE, i, at) == pytest.approx(least, abs=1e-3)


def test_an_arc_by_closed_form() -> None:
    bend = 1
    center = TIE.centers[bend]
    middle = center + 20.0 * np.array([cos(5 * pi / 4), sin(5 * pi / 4), 0.0])
    assert _to_piece(TIE, bend, center + 1.5 * (middle - center)) == pytest.approx(10.0)
    assert _to_piece(TIE, bend, middle + np.array([0.0, 0.0, 3.0])) == pytest.approx(3.0)
