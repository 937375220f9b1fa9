"""The bars of a cage and how they are bent: from the spec's sizes to diameters, bends and tails in mm."""

from __future__ import annotations

from functools import lru_cache

from msgspec import Struct

from models.catalogue import Bar, bar, bend_diameter, hook_tail
from models.lengths import show_length
from models.spec.cage import Dowels, Ties

_least_bend = lru_cache(maxsize=128)(bend_diameter)
_least_tail = lru_cache(maxsize=128)(hook_tail)


class BentBar(Struct, frozen=True):
    """A bar of the lateral steel. inside: inside bend radius; tails: past 135 and 90 degree bends; mm."""

    bar: Bar
    inside: float
    tails: tuple[float, float]

    @property
    def radius(self) -> float:
        """Radius of the bar, mm."""
        return self.bar.diameter / 2.0

    @property
    def bend(self) -> float:
        """Centerline bend radius, mm."""
        return self.inside + self.radius


def bent(ties: Ties, size: str, held: Bar, units: str) -> BentBar:
    """How a bar of this size is bent around bars like `held`.

    The bend is the drawn one, else the code's least, opened as far as the bar that it holds needs.
    Raises ValueError when the drawn bend is tighter than that bar.
    """
    it = bar(size)
    if ties.bend is None:
        inside = max(_least_bend(it, "tie"), held.diameter) / 2.0
    else:
        inside = ties.bend / 2.0
        if inside < held.diameter / 2.0:
            raise ValueError(
                f"an inside bend of {show_length(ties.bend, units)} is tighter than the {held.size} bars "
                "that the ties hold"
            )
    if ties.tail is not None:
        return BentBar(it, inside, (ties.tail, ties.tail))
    return BentBar(it, inside, (_least_tail(it, "tie", 135), _least_tail(it, "tie", 90)))


def foot(dowels: Dowels) -> tuple[float, float]:
    """The 90 degree hook at the foot of a dowel: its centerline bend radius and its straight tail, mm."""
    it = bar(dowels.size)
    inside = dowels.bend if dowels.bend is not None else _least_bend(it, "main")
    tail = dowels.tail if dowels.tail is not None else _least_tail(it, "main", 90)
    return (inside + it.diameter) / 2.0, tail
