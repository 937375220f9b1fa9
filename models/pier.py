"""A pier: its place on the site, its concrete, its parts, and what the site file said of it."""

from __future__ import annotations

from msgspec import Struct

from models.motion import Motion
from models.outline import Outline
from models.part import Part
from models.solids import Prism
from models.spec.pier import PierSpec


class Concrete(Struct, frozen=True, eq=False):
    """The pier's concrete: a container that parts stay inside of by their cover.

    outline: in plan, vertical corner chamfers already cut; it is the formed side.
    bottom: elevation of the bottom, mm, negative: the frame's origin is at the center of the top of concrete.
    top_chamfer: leg of the 45 degree chamfer round the top edge, mm; 0 where there is none.
    """

    outline: Outline
    bottom: float
    top_chamfer: float = 0.0

    @property
    def height(self) -> float:
        """Bottom to top, mm."""
        return -self.bottom

    @property
    def prism(self) -> Prism:
        """The concrete as a prism, its top chamfer not cut."""
        return Prism(self.outline, self.bottom, 0.0)


class Pier(Struct, frozen=True, eq=False):
    """One pier of the site, in its own frame.

    frame carries pier coordinates to site coordinates (mm): origin at the center of the top of concrete as
    designed, turned by `spec.turn`.
    parts: everything in and on the pier, ids unique on the site. A beam or grade beam that several piers
    share appears in each of them, under one id, moved into that pier's frame.
    grade_beam: id of the grade beam that the pier stands on, or None.
    """

    mark: str
    kind: str
    spec: PierSpec
    frame: Motion
    concrete: Concrete
    parts: tuple[Part, ...]
    grade_beam: str | None = None

    def part(self, part_id: str) -> Part:
        """The part with this id; KeyError when there is none."""
        for part in self.parts:
            if part.id == part_id:
                return part
        raise KeyError(part_id)
