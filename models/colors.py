"""The color of each role: eight families that stay apart for every common kind of color vision."""

from __future__ import annotations

from models.part import Role

FAMILIES: tuple[tuple[str, tuple[Role, ...]], ...] = (
    ("#1e22bd", (Role.VERTICAL, Role.DOWEL)),
    ("#dc8919", (Role.TIE, Role.CROSSTIE, Role.HOOP)),
    ("#ce305f", (Role.ROD, Role.BAR_ANCHOR, Role.HEAD)),
    ("#364021", (Role.PLATE, Role.WASHER, Role.NUT, Role.LEVELING_NUT, Role.SHIM, Role.STANDING)),
    ("#c9b770", (Role.TEMPLATE, Role.BEAM)),
    ("#d7e8ca", (Role.CONCRETE, Role.GRADE_BEAM)),
    ("#8e9ea4", (Role.GROUT,)),
    ("#08749e", (Role.EMBED,)),
)
"""A base color (sRGB) and the roles that share it, each a little lighter than the one before.

Found by search: the least distance between two base colors, seen normally or with protanopia, deuteranopia or
tritanopia, is as large as it would go (CIE 1976, 25.9).
"""
_LIGHTER = 0.03
_SEEN_THROUGH = {Role.CONCRETE: 0.25, Role.GRADE_BEAM: 0.4, Role.GROUT: 0.5}


def color(role: Role) -> tuple[float, float, float, float]:
    """Red, green, blue and opacity of a role, 0 to 1, as on a screen (sRGB)."""
    for base, roles in FAMILIES:
        if role in roles:
            share = _LIGHTER * roles.index(role)
            red, green, blue = (int(base[i : i + 2], 16) / 255.0 for i in (1, 3, 5))
            rgb = (red + (1.0 - red) * share, green + (1.0 - green) * share, blue + (1.0 - blue) * share)
            return (*rgb, _SEEN_THROUGH.get(role, 1.0))
    raise KeyError(role)
