"""Looks: levels, coatings and roles stay apart by color for every eye, and by a second sign without color."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from clash.report.findings import Level
from models.part import Role
from models.reading.loading import load_site
from tests.models.test_colors import VISION, lab
from viewer.legend.looks import CLEAR, LEVELS, coating_of, part_look, role_look, worst

DEMO = Path(__file__).parents[3] / "models" / "examples" / "reedbank" / "reedbank.yaml"


def apart(colors: list[str], vision: str) -> float:
    """Least CIE 1976 distance between two of the colors as seen with this vision."""
    rgb = np.array([[int(c[i : i + 2], 16) / 255.0 for i in (1, 3, 5)] for c in colors])
    seen = lab(rgb, VISION[vision])
    between = np.linalg.norm(seen[:, None] - seen[None], axis=2)
    return float(between[~np.eye(len(colors), dtype=bool)].min())


def test_every_level_has_a_look_and_four_signs_of_its_own() -> None:
    assert list(LEVELS) == [*(level.value for level in Level), CLEAR]
    for sign in ("word", "color", "shape", "pattern"):
        assert len({getattr(look, sign) for look in LEVELS.values()}) == len(LEVELS), sign


@pytest.mark.parametrize("vision", VISION)
def test_levels_stay_apart_from_each_other_and_from_white(vision: str) -> None:
    """Fifteen just noticeable differences (2.3 each)."""
    assert apart([*(look.color for look in LEVELS.values()), "#ffffff"], vision) >= 15 * 2.3


@pytest.mark.parametrize("vision", VISION)
def test_coatings_stay_apart_from_every_role_and_from_white(vision: str) -> None:
    """Five just noticeable differences, as roles of different families keep."""
    coated = [role_look(Role.VERTICAL, coating).color for coating in ("epoxy", "galvanized")]
    assert apart([*coated, "#ffffff"], vision) >= 11.5
    for role in Role:
        assert apart([*coated, role_look(role).color], vision) >= 11.5, role


def test_ink_reads_on_its_level() -> None:
    """WCAG 2.1, 1.4.3: a contrast of at least 4.5 to 1, from relative luminance."""

    def luminance(color: str) -> float:
        linear = [
            c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4
            for c in (int(color[i : i + 2], 16) / 255.0 for i in (1, 3, 5))
        ]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    for look in LEVELS.values():
        low, high = sorted((luminance(look.color), luminance(look.ink)))
        assert (high + 0.05) / (low + 0.05) >= 4.5, look.word


def test_epoxy_bars_look_epoxy_and_keep_the_rim_of_their_role() -> None:
    site = load_site(DEMO)
    pier = next(p for p in site.piers if p.mark == "P13")  # reedbank.yaml: its anchors are `coating: epoxy`
    anchors = [part for part in pier.parts if part.role is Role.BAR_ANCHOR]
    assert len(anchors) == 4
    for part in anchors:
        assert coating_of(part, pier) == "epoxy"
        look, plain = part_look(part, pier), role_look(Role.BAR_ANCHOR)
        assert look.color != plain.color
        assert look.edge == plain.edge
        assert look.pattern is not plain.pattern
    others = {coating_of(part, pier) for part in pier.parts if part.role is not Role.BAR_ANCHOR}
    assert others == {"plain"}


def test_verticals_and_dowels_share_a_family_and_differ_by_pattern() -> None:
    assert role_look(Role.VERTICAL).pattern is not role_look(Role.DOWEL).pattern


def test_the_worst_level_wins() -> None:
    assert worst(["TIGHT", "NOT CHECKED", "HOLD"]).word == "HOLD"
    assert worst(["NOT CHECKED", "TIGHT"]).word == "TIGHT"
    assert worst([]).word == CLEAR
