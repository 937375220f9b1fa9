"""Volumes and weights as people write and read them."""

from __future__ import annotations

import re
from math import isfinite
from typing import Literal

from models.lengths import FOOT, Units

CUBIC_FOOT = FOOT**3
"""mm3, exact."""
LITER = 1e6
"""mm3, exact."""
POUND = 0.45359237
"""kg, exact (international yard and pound agreement, 1959)."""
_VOLUME = re.compile(
    r"(\d+(?:\.\d*)?|\.\d+)\s*"
    r"(?:(?P<foot>cu\.?\s*ft\.?|ft3|ft\u00b3|cubic f(?:ee|oo)t)|(?P<liter>l|liters?)|(?P<meter>m3|m\u00b3))",
    re.ASCII | re.IGNORECASE,
)


def volume_from(value: object) -> float:
    """A volume in mm3 from 0.45 cu ft, 12.7 L or 0.0127 m3; a number that is no text is mm3 already.

    Raises ValueError with one plain sentence.
    """
    wanted = "write 0.45 cu ft, 12.7 L or 0.0127 m3"
    if isinstance(value, int | float) and not isinstance(value, bool):
        if not isfinite(value):
            raise ValueError(f"{value} is not a volume; {wanted}")
        return float(value)
    text = " ".join(value.split()) if isinstance(value, str) else ""
    match = _VOLUME.fullmatch(text)
    if match is None:
        shown = text[:40] or "nothing"
        raise ValueError(f"{shown} is not a volume with its unit; {wanted}")
    unit = CUBIC_FOOT if match["foot"] else LITER if match["liter"] else 1e9
    volume = float(match[1]) * unit
    if not volume < 1e15:
        raise ValueError(f"{text[:40]} is more than any site takes; {wanted}")
    return volume


def show_volume(mm3: float, units: Units | str, of: Literal["grout", "concrete"] = "grout") -> str:
    """A volume: grout in cubic feet or liters to .01 or .1, concrete in cubic yards or meters to .01."""
    if Units(units) is Units.MM:
        return f"{mm3 / LITER:.1f} L" if of == "grout" else f"{mm3 / 1e9:.2f} m3"
    feet = mm3 / CUBIC_FOOT
    return f"{feet:.2f} cu ft" if of == "grout" else f"{feet / 27.0:.2f} cu yd"


def show_weight(kg: float, units: Units | str) -> str:
    """A weight in pounds or kilograms, to the nearest .1."""
    return f"{kg:,.1f} kg" if Units(units) is Units.MM else f"{kg / POUND:,.1f} lb"
