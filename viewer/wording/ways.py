"""How far something is off, in words: by compass directions, and higher or lower."""

from __future__ import annotations

from math import ceil, isfinite

from models.lengths import Units, show_length

_NOTHING = 0.13
"""mm: half of .01 in, the step in which inches are shown; less than that is no direction."""
_FAR = 305.0
"""mm: from a foot on, feet and inches are read more easily than inches."""


def small(mm: float, units: Units) -> str:
    """A short length to the nearest step that a survey tells apart: .01 in or .1 mm."""
    return f"{mm:.1f} mm" if units is Units.MM else f"{mm / 25.4:.2f} in"


def way(x: float, y: float, units: Units) -> str:
    """A move (mm, site axes) in words, by its two directions: `0.53 in W and 0.07 in N`, or `nowhere`."""
    named = ((x, "E", "W"), (y, "N", "S"))
    said = [
        f"{_far(abs(d), units)} {plus if d > 0.0 else minus}"
        for d, plus, minus in named
        if abs(d) >= _NOTHING
    ]
    return " and ".join(said) or "nowhere"


def rise(z: float, units: Units) -> str:
    """A difference of height (mm) in words: `0.75 in high`; empty where it is nothing or not known."""
    if not isfinite(z) or abs(z) < _NOTHING:
        return ""
    return f"{_far(abs(z), units)} {'high' if z > 0.0 else 'low'}"


def level_up(mm: float, units: Units) -> str:
    """An elevation that something must not lie under, up to the next step that is shown: 1/16 in or .1 mm."""
    step = 0.1 if units is Units.MM else 25.4 / 16.0
    return show_length(ceil(mm / step - 1e-6) * step, units)


def _far(mm: float, units: Units) -> str:
    return show_length(mm, units) if mm > _FAR else small(mm, units)
