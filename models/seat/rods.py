"""The rods or bar anchors of one pier, each with its place and its words."""

from __future__ import annotations

from functools import lru_cache

from msgspec import Struct

from models.catalogue import NotInCatalogue, bar, heavy_hex_nut, rod_size
from models.seat.pattern import rod_positions
from models.setting import Setting
from models.spec.seat import Rods


class Rod(Struct, frozen=True):
    """One rod or bar anchor.

    x, y: its center, mm, in the pier's frame; diameter: nominal, mm; overall: over threads or ribs, mm, None
    where no rib height is listed; name: "rod" or "anchor", as in its id; label: "rod 3 (SE)".
    """

    number: int
    x: float
    y: float
    diameter: float
    overall: float | None
    size: str
    name: str
    label: str
    threaded: bool


@lru_cache(maxsize=2)  # the builders of a pier's parts ask one after the other
def rods_of(setting: Setting) -> tuple[Rod, ...]:
    """Every rod or bar anchor of a pier, in the order of its pattern, numbered from 1."""
    spec = setting.spec.seat.rods
    if spec is None:
        return ()
    diameter, overall, size = measures(spec)
    word = "rod" if spec.bar is None else "bar anchor"
    rods: list[Rod] = []
    for k, (x, y) in enumerate(rod_positions(setting.spec).tolist(), start=1):
        label = f"{word} {k} ({setting.wind(x, y)})"
        name = "rod" if spec.bar is None else "anchor"
        rods.append(Rod(k, x, y, diameter, overall, size, name, label, spec.bar is None))
    return tuple(rods)


def measures(spec: Rods) -> tuple[float, float | None, str]:
    """Nominal and overall diameter (mm) and size in words of the rods; ValueError when there is neither."""
    if spec.bar is not None:
        anchor = bar(spec.bar)
        return anchor.diameter, anchor.overall, anchor.size
    if spec.diameter is not None:
        size = rod_size(spec.diameter) or f"{spec.diameter:g} mm"
        return spec.diameter, spec.diameter, size
    raise ValueError("rods need a diameter, or the size of the bar that serves as an anchor")


def nut_size(spec: Rods) -> tuple[float, float]:
    """Width across flats and height, mm, of the nuts on the rods.

    What the site file gives comes first, then the greatest heavy hex nut of ASME B18.2.2. Raises ValueError
    with one sentence when neither is at hand.
    """
    if spec.nut is not None:
        return spec.nut.flats, spec.nut.height
    try:
        nut = heavy_hex_nut(measures(spec)[0])
    except NotInCatalogue as missing:
        raise ValueError(f"{missing}; give the nut under the rods, as its flats and its height") from missing
    return nut.flats, nut.height
