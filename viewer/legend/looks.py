"""What each role, each coating and each level looks like: one place for window, pictures and paper.

A color never stands alone. Roles and coatings that share a drawing have patterns as their second sign, levels
a pattern, a shape and a word. Colors are our own, found by search and held apart for normal vision,
protanopia, deuteranopia and tritanopia alike (tests/viewer/legend/test_looks.py).
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from models.colors import color
from models.part import ANCHORS, LATERAL, Role

if TYPE_CHECKING:
    from models.part import Part
    from models.pier import Pier


class Pattern(StrEnum):
    """What fills an area beside its color: the second sign of what it is."""

    PLAIN = "plain"
    HATCH = "hatch"  # lines that rise to the right
    BACK_HATCH = "back hatch"  # lines that fall to the right
    CROSS_HATCH = "cross hatch"
    DOTS = "dots"
    GRAIN = "grain"  # level lines, as in wood
    UPRIGHT = "upright"  # upright lines
    STONES = "stones"  # scattered short strokes, as concrete is drawn
    EMPTY = "empty"  # white


class Shape(StrEnum):
    """The outline of a marker."""

    OCTAGON = "octagon"
    TRIANGLE = "triangle"
    SQUARE = "square"
    CIRCLE = "circle"


class Look(Struct, frozen=True):
    """How a part looks. color, edge: `#rrggbb` of surface and rim; opacity: 0 to 1, on a screen."""

    color: str
    edge: str
    opacity: float = 1.0
    pattern: Pattern = Pattern.PLAIN


class LevelLook(Struct, frozen=True):
    """How a level looks: four signs, each of which tells it alone. ink: of what is written on its color."""

    word: str
    color: str
    ink: str
    shape: Shape
    pattern: Pattern


CLEAR = "clear"
"""The level of a pier at which nothing was found."""
LEVELS: Mapping[str, LevelLook] = {
    "HOLD": LevelLook("HOLD", "#b0011c", "#ffffff", Shape.OCTAGON, Pattern.PLAIN),
    "TIGHT": LevelLook("TIGHT", "#e3a014", "#000000", Shape.TRIANGLE, Pattern.HATCH),
    "NOT CHECKED": LevelLook("NOT CHECKED", "#403b6d", "#ffffff", Shape.SQUARE, Pattern.DOTS),
    CLEAR: LevelLook("clear", "#75b3e8", "#000000", Shape.CIRCLE, Pattern.EMPTY),
}
"""By `clash.report.findings.Level` value, worst first, then `clear`."""

_PATTERNS: Mapping[Role, Pattern] = {
    Role.CONCRETE: Pattern.STONES,
    Role.GRADE_BEAM: Pattern.STONES,
    Role.TEMPLATE: Pattern.GRAIN,
    Role.BEAM: Pattern.GRAIN,
    Role.PLATE: Pattern.HATCH,
    Role.WASHER: Pattern.HATCH,
    Role.NUT: Pattern.HATCH,
    Role.LEVELING_NUT: Pattern.HATCH,
    Role.SHIM: Pattern.BACK_HATCH,
    Role.STANDING: Pattern.BACK_HATCH,
    Role.GROUT: Pattern.DOTS,
    Role.EMBED: Pattern.UPRIGHT,
    Role.DOWEL: Pattern.BACK_HATCH,
    Role.HEAD: Pattern.CROSS_HATCH,
}
_COATED: Mapping[str, tuple[str, Pattern]] = {
    "epoxy": ("#4fc593", Pattern.DOTS),
    "galvanized": ("#a9cad9", Pattern.GRAIN),
}
"""Epoxy is green as on most coated bars (practice); galvanizing a pale blue gray."""


def role_look(role: Role, coating: str = "plain") -> Look:
    """The look of a role; a coated bar has the color of its coating, and its role's color round it."""
    *rgb, opacity = color(role)
    own = "#" + "".join(f"{round(255 * channel):02x}" for channel in rgb)
    look = Look(own, own, opacity, _PATTERNS.get(role, Pattern.PLAIN))
    if coating in _COATED:
        surface, pattern = _COATED[coating]
        return replace(look, color=surface, pattern=pattern)
    return look


def coating_of(part: Part, pier: Pier) -> str:
    """`plain`, `epoxy` or `galvanized`, as the site file says of a bar or rod; `plain` for anything else."""
    cage, rods = pier.spec.cage, pier.spec.seat.rods
    if part.role in ANCHORS:
        return "plain" if rods is None else rods.coating
    if cage is None:
        return "plain"
    if part.role is Role.VERTICAL:
        return cage.verticals.coating
    if part.role is Role.DOWEL:
        return "plain" if cage.dowels is None else cage.dowels.coating
    if part.role in LATERAL:
        return "plain" if cage.ties is None else cage.ties.coating
    return "plain"


def part_look(part: Part, pier: Pier) -> Look:
    """The look of one part of a pier, its coating seen to."""
    return role_look(part.role, coating_of(part, pier))


def worst(levels: list[str]) -> LevelLook:
    """The look of the worst of these levels; of `clear` where there are none."""
    return next((look for level, look in LEVELS.items() if level in levels), LEVELS[CLEAR])
