"""From a site's spec to its piers, with every part that a builder in `models.parts` makes."""

from __future__ import annotations

import pkgutil
from collections.abc import Callable, Iterator
from functools import cache
from importlib import import_module
from math import radians

from msgspec.structs import replace

import models.parts
from models.cage.layout import Layouts
from models.motion import Motion
from models.outline import Outline
from models.part import Part, Role
from models.pier import Concrete, Pier
from models.problems import BadInput, Place, Problem
from models.setting import Setting
from models.shapes.outline_from import loop_of
from models.site import Site
from models.spec.pier import PierSpec
from models.spec.site import SiteSpec

Builder = Callable[[Setting], Iterator[Part]]


class CannotBuild(BadInput):
    """Piers that cannot exist as the site file describes them.

    marks: the pier of each problem, in the same order, so that a reader who knows the file can place them.
    """

    def __init__(self, faults: list[tuple[str, str]]) -> None:
        self.marks: tuple[str, ...] = tuple(mark for mark, _ in faults)
        super().__init__([Problem(Place(f"pier {mark}"), sentence) for mark, sentence in faults])


@cache
def builders() -> tuple[Builder, ...]:
    """Every part builder: the function `parts` of each module in models.parts, by the modules' names."""
    names = sorted(module.name for module in pkgutil.iter_modules(models.parts.__path__))
    return tuple(import_module(f"models.parts.{name}").parts for name in names)


def build_site(spec: SiteSpec, sha256: str) -> Site:
    """Build every pier of a site. Raises CannotBuild with one sentence for each pier that cannot exist."""
    piers: list[Pier] = []
    faults: list[tuple[str, str]] = []
    layouts = Layouts()
    for pier in spec.piers:
        try:
            piers.append(build_pier(spec, pier, layouts))
        except ValueError as wrong:
            faults.append((pier.mark, str(wrong)))
    if faults:
        raise CannotBuild(faults)
    return Site(spec, tuple(piers), sha256)


def build_pier(site: SiteSpec, spec: PierSpec, layouts: Layouts | None = None) -> Pier:
    """Build one pier with its parts. Raises ValueError with one plain sentence when it cannot exist.

    layouts: the cages of piers built before, where many are built.
    """
    setting = setting_of(site, spec, layouts or Layouts())
    parts = tuple(part for builder in builders() for part in builder(setting))
    parts = with_touches(parts)
    grade_beam = next((part.id for part in parts if part.role is Role.GRADE_BEAM), None)
    return Pier(spec.mark, spec.kind, spec, setting.frame, setting.concrete, parts, grade_beam)


def setting_of(site: SiteSpec, spec: PierSpec, layouts: Layouts) -> Setting:
    """What the part builders see of one pier. Raises ValueError when its concrete or cage cannot exist."""
    frame = Motion.turned(radians(spec.turn), (spec.x, spec.y, spec.top))
    concrete = concrete_of(spec)
    return Setting(site, spec, frame, concrete, layouts.of(site, spec, concrete, frame))


def concrete_of(spec: PierSpec) -> Concrete:
    """The concrete of a pier. Raises ValueError when it has no height or its outline is none."""
    height = spec.top - spec.bottom
    if height <= 0.0:
        raise ValueError("the bottom of the pier must be lower than its top")
    chamfer = spec.concrete.chamfer
    if chamfer.top >= height:
        raise ValueError("the chamfer round the top edge is taller than the pier")
    return Concrete(Outline(loop_of(spec.outline, chamfer.corners)), -height, chamfer.top)


def with_touches(parts: tuple[Part, ...]) -> tuple[Part, ...]:
    """The same parts, each touching whatever touches it; names of parts that are not there fall away.

    Raises AssertionError when two parts share an id: a fault of a builder, not of the input.
    """
    touching: dict[str, set[str]] = {part.id: set() for part in parts}
    assert len(touching) == len(parts), f"two parts share an id among {sorted(part.id for part in parts)}"
    for part in parts:
        for other in part.touches:
            if other in touching:
                touching[part.id].add(other)
                touching[other].add(part.id)
    return tuple(
        part
        if len(touching[part.id]) == len(part.touches)
        else replace(part, touches=frozenset(touching[part.id]))
        for part in parts
    )
