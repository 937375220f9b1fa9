"""A whole site turned, moved to other coordinates, written in another order or in other units."""

from __future__ import annotations

import random
from collections.abc import Sequence
from math import cos, radians, sin
from typing import Any, TypeVar

from models.spec.site import SiteSpec

T = TypeVar("T")
Place = tuple[float, float]


def moved(site: SiteSpec, turn: float, east: float, north: float) -> SiteSpec:
    """The site turned by `turn` degrees counterclockwise about its origin, then moved (mm).

    For sites whose grade beams are strips; a free outline in site axes is not turned here.
    """
    c, s = cos(radians(turn)), sin(radians(turn))

    def place(x: float, y: float) -> Place:
        return c * x - s * y + east, s * x + c * y + north

    piers = []
    for pier in site.piers:
        x, y = place(pier.x, pier.y)
        piers.append(pier.model_copy(update={"x": x, "y": y, "turn": (pier.turn + turn) % 360.0}))
    strips = []
    for strip in site.grade_beams:
        assert strip.start is not None
        assert strip.end is not None
        strips.append(strip.model_copy(update={"start": place(*strip.start), "end": place(*strip.end)}))
    beams = [
        beam if beam.direction is None else beam.model_copy(update={"direction": beam.direction + turn})
        for beam in site.beams
    ]
    return site.model_copy(update={"piers": piers, "grade_beams": strips, "beams": beams})


def reordered(site: SiteSpec, seed: int) -> SiteSpec:
    """The same site with its kinds, piers, grade beams, beams, embeds and answers in another order."""
    shuffle = random.Random(seed)

    def mixed(items: Sequence[T]) -> list[T]:
        return shuffle.sample(list(items), len(items))

    update: dict[str, Any] = {
        "kinds": dict(mixed(list(site.kinds.items()))),
        "piers": [pier.model_copy(update={"embeds": mixed(pier.embeds)}) for pier in mixed(site.piers)],
    }
    update |= {name: mixed(getattr(site, name)) for name in ("grade_beams", "beams", "answered")}
    return site.model_copy(update=update)


def in_units(site: SiteSpec, units: str) -> SiteSpec:
    """The same site, shown in other units."""
    return site.model_copy(update={"site": site.site.model_copy(update={"units": units})})
