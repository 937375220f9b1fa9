"""The tolerances of one pier: the site's own first, then those of the editions that it chose."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import hypot

import numpy as np
from msgspec import Struct

from clash.needs.need import RuleBook
from clash.pier_view import PierView
from clash.tolerances.table import TEMPLATE, Row, find
from models.outline import Loop
from models.part import ANCHORS
from models.pier import Pier
from models.spec.placing import Placing, Tolerances


class Figure(Struct, frozen=True):
    """A tolerance, mm to either side, and who says so; share: of the measurement, or of what is required."""

    minus: float
    plus: float
    source: str
    share: float | None = None

    @property
    def most(self) -> float:
        """The larger of the two sides, mm."""
        return max(self.minus, self.plus)


FIELDS = {
    "rod_in_plan": "a rod in plan",
    "rods_in_group": "rods within a group",
    "rod_height": "the top of a rod",
    "cage_in_plan": "the cage in its form",
    "embed_in_plan": "an embed in plan",
    "concrete_height": "the top of concrete",
    "cover": "cover",
    "bar_spacing": "the spacing of bars",
    "bar_end": "the ends of bars",
}
"""The site's own figures (placing: tolerances), in words."""


@dataclass(frozen=True)
class Placed:
    """What placing may do to the things of one pier.

    by_template: whether a template sets its rods; thickest: nominal diameter of its thickest rod, mm; rods:
    how many there are; depth: least side, mm.
    """

    placing: Placing
    rod_editions: tuple[str, ...]
    concrete_editions: tuple[str, ...]
    by_template: bool
    thickest: float
    rods: int
    depth: float

    @property
    def own(self) -> Tolerances:
        """The site's own figures."""
        return self.placing.tolerances

    def given(self, field: str) -> Figure | None:
        """The site's own figure; None where it gives none."""
        value: float | None = getattr(self.own, field)
        if value is None:
            return None
        return Figure(value, value, f"as specified, placing: tolerances: {field.replace('_', ' ')}")

    def published(self, field: str) -> Figure | None:
        """The published figure in place of the site's own; None where the editions have none."""
        ways: dict[str, Callable[[], Figure | None]] = {
            "rod_in_plan": self._rod_in_plan,
            "rods_in_group": self._rods_in_group,
            "rod_height": lambda: _of(find(self.rod_editions, "rod", "", "height")),
            "cage_in_plan": lambda: None,
            "embed_in_plan": lambda: None,
            "concrete_height": lambda: _of(find(self._any, "concrete", "", "height")),
            "cover": lambda: _of(find(self.concrete_editions, "bar", "concrete", "cover", self.depth)),
            "bar_spacing": lambda: _of(find(self.concrete_editions, "bar", "bar", "spacing")),
            "bar_end": lambda: _of(find(self.concrete_editions, "bar", "", "length")),
        }
        return ways[field]()

    def figure(self, field: str) -> Figure | None:
        """The site's own figure, else the published one."""
        return self.given(field) or self.published(field)

    def combined(self, *figures: Figure | None) -> tuple[float, str] | None:
        """What several figures take together, mm, and their sources; None where there is none of them."""
        found = [f for f in figures if f is not None and f.most > 0.0]
        if not found:
            return None
        sizes = [f.most for f in found]
        total = sum(sizes) if self.placing.combine == "worst case" else hypot(*sizes)
        return total, " and ".join(dict.fromkeys(f.source for f in found))

    @cached_property
    def in_hole(self) -> Figure | None:
        """A rod against its hole in a plate that every rod of the group goes through, along one axis.

        What all of the group share, the plate's play takes up: where the figure is one between any two rods,
        the plate stands halfway, and half of it is left at each. A figure for each rod from its own place
        leaves nothing that all must share.
        """
        group = self.figure("rods_in_group")
        alone = self.figure("rod_in_plan")
        if group is None:
            return alone
        half = Figure(group.most / 2.0, group.most / 2.0, f"half of it at each rod: {group.source}")
        if self.rods < 2:
            half = Figure(0.0, 0.0, group.source)
        return half if alone is None or half.most < alone.most else alone

    @property
    def _any(self) -> tuple[str, ...]:
        return (*self.concrete_editions, *self.rod_editions)

    def _rod_in_plan(self) -> Figure | None:
        """A template keeps each rod to its own figure in the form as well, where that is the lesser one."""
        alone, template = self._rod_by_edition(), _of(find((TEMPLATE,), "rod", "rod", "plan"))
        if self.by_template and template is not None and (alone is None or template.most < alone.most):
            return template
        return alone

    def _rod_by_edition(self) -> Figure | None:
        row = find(self.rod_editions, "rod", "", "plan", self.thickest)
        if row is not None:
            return _of(row)
        place = find(self.rod_editions, "rods", "", "plan")
        group = _of(find(self.rod_editions, "rod", "rod", "plan"))
        half = None if group is None else Figure(group.most / 2.0, group.most / 2.0, group.source)
        both = self.combined(_of(place), half)
        return None if both is None else Figure(both[0], both[0], both[1])

    def _rods_in_group(self) -> Figure | None:
        if self.by_template:
            return _of(find((TEMPLATE,), "rod", "rod", "plan"))
        return _of(find(self.rod_editions, "rod", "rod", "plan"))


def editions(placing: Placing, book: RuleBook) -> tuple[str, str]:
    """Whose tolerances apply to rods, and to bars and concrete."""
    own = placing.tolerances
    return own.rods or book.rods_placed_by, own.concrete or book.concrete_placed_by


@lru_cache(maxsize=2)  # the rules of a pier ask one after the other
def placed(view: PierView) -> Placed:
    """The tolerances of the pier that a rule looks at."""
    return of_pier(view.pier, view.site.placing, view.book)


def of_pier(pier: Pier, placing: Placing, book: RuleBook) -> Placed:
    """The tolerances of a pier."""
    rods, concrete = editions(placing, book)
    anchors = [part.nominal or 0.0 for part in pier.parts if part.role in ANCHORS]
    by_template = placing.rods_set_by == "template"
    if placing.rods_set_by is None:
        by_template = pier.spec.seat.template is not None
    depth = _depth(pier.concrete.outline.outer)
    return Placed(placing, (rods,), (concrete,), by_template, max(anchors, default=0.0), len(anchors), depth)


def _depth(ring: Loop) -> float:
    """The lesser extent of an outline's corners in its own axes, mm; the diameter of a circle."""
    if len(ring.sweeps) == 1:
        return 2.0 * float(np.linalg.norm(ring.starts[0] - ring.centers[0]))
    return float(np.min(np.ptp(ring.starts, axis=0)))


def _of(row: Row | None) -> Figure | None:
    if row is None:
        return None
    return Figure(row.minus, row.plus, row.source, row.share)
