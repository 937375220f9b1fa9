"""Scales as drawings name them."""

from __future__ import annotations

from fractions import Fraction

from models.lengths import Units


def words_of_scale(per: float, units: Units) -> str:
    """`1:8 (1 1/2" = 1'-0")`, or `1:10` under mm."""
    ratio = f"1:{per:g}" if per == round(per, 1) else f"1:{per:.1f}"
    inches = Fraction(12, 1) / Fraction(per).limit_denominator(100)
    if units is Units.MM or inches.denominator > 32:
        return ratio
    whole, rest = divmod(inches, 1)
    words = " ".join(str(part) for part in (whole, rest) if part)
    return f'{ratio} ({words}" = 1\'-0")'
