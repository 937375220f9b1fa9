"""Colors of roles: every role has one, and families stay apart for every common kind of color vision."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from models.colors import FAMILIES, color
from models.part import Role

Matrix = np.ndarray[Any, Any]
# Machado, Oliveira, Fernandes (2009), severity 1.0, on linear light (from memory).
VISION: dict[str, Matrix] = {
    "normal": np.eye(3),
    "protanopia": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "deuteranopia": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "tritanopia": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}
TO_XYZ = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)  # IEC 61966-2-1


def lab(rgb: Matrix, vision: Matrix) -> Matrix:
    """CIE 1976 L*a*b* of sRGB colors (n, 3) as somebody with this vision sees them."""
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    xyz = np.clip(linear @ vision.T, 0.0, 1.0) @ TO_XYZ.T / TO_XYZ.sum(axis=1)
    f = np.where(xyz > 0.008856, np.cbrt(xyz), 7.787 * xyz + 16.0 / 116.0)
    return np.stack([116 * f[:, 1] - 16, 500 * (f[:, 0] - f[:, 1]), 200 * (f[:, 1] - f[:, 2])], axis=1)


def test_every_role_has_a_color_of_its_own() -> None:
    colors = [color(role) for role in Role]
    assert len(set(colors)) == len(Role)
    assert all(0.0 <= c <= 1.0 for four in colors for c in four)
    assert color(Role.CONCRETE)[3] < 1.0
    assert color(Role.ROD)[3] == 1.0


@pytest.mark.parametrize("vision", VISION)
def test_families_stay_apart(vision: str) -> None:
    """Ten just noticeable differences (2.3 each) between two base colors; half of that between any roles."""
    base = [color(roles[0])[:3] for _, roles in FAMILIES]
    assert nearest(np.array(base), np.arange(len(base)), vision) >= 23.0
    every = [(k, color(role)[:3]) for k, (_, roles) in enumerate(FAMILIES) for role in roles]
    assert nearest(np.array([c for _, c in every]), np.array([k for k, _ in every]), vision) >= 11.5


def nearest(colors: Matrix, family: Matrix, vision: str) -> float:
    """Least distance between two colors of different families."""
    seen = lab(colors, VISION[vision])
    apart = np.linalg.norm(seen[:, None] - seen[None], axis=2)
    return float(apart[family[:, None] != family[None]].min())
