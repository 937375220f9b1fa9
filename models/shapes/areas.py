"""Areas as people write them, read here and nowhere else."""

from __future__ import annotations

import re

from models.lengths import FOOT, INCH

_UNITS = {
    "sq ft": FOOT**2, "ft2": FOOT**2, "sf": FOOT**2, "square feet": FOOT**2,
    "sq in": INCH**2, "in2": INCH**2, "square inches": INCH**2,
    "sq m": 1e6, "m2": 1e6, "square meters": 1e6, "mm2": 1.0,
}  # fmt: skip
_AREA = re.compile(r"(\d+(?:\.\d*)?|\.\d+)\s*([a-z][a-z ]*2?)", re.ASCII)


def area_from(value: object) -> float:
    """An area in mm2 from a text such as 240 sq ft, 180 sq in or 22 m2. Raises ValueError in one sentence."""
    text = " ".join(str(value).lower().replace("\u00b2", "2").split())
    found = _AREA.fullmatch(re.sub(r"(?<=[a-z])\.", "", text))
    if isinstance(value, bool) or found is None or found[2].strip() not in _UNITS:
        raise ValueError(f"{str(value)[:40]} is not an area; write one like 240 sq ft, 180 sq in or 22 m2")
    return float(found[1]) * _UNITS[found[2].strip()]


def show_area(mm2: float, metric: bool) -> str:
    """An area in words: square feet, or square meters."""
    return f"{mm2 / 1e6:.2f} m2" if metric else f"{mm2 / FOOT**2:.1f} sq ft"
