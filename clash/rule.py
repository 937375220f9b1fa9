"""What a rule is: a function that measures one idea at one pier and says what it needs."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Literal, Protocol

import numpy as np

from clash.gap_table import GapTable, Index
from models.motion import Array
from models.part import Part, Role
from models.pier import Pier
from models.spec.site import SiteSpec

Limit = Literal["least", "most"]


@dataclass(frozen=True, slots=True)
class Need:
    """What is needed, and who says so.

    value: mm; None when nobody says (the measurement is then NOT CHECKED).
    source: document, edition and clause, or "as specified", or "practice".
    published: the published figure when the site specified its own; a looser one is told at the top of the report.
    """

    value: float | None
    source: str
    published: float | None = None
    published_source: str = ""


class RuleBook(Protocol):
    """A published document's figures; each is mm unless its name says otherwise."""

    id: str
    title: str

    def bar_clear(self, diameter: float, aggregate: float | None) -> Need:
        """Least clear spacing between longitudinal bars of a pier."""
        ...

    def rod_bar_clear(self, aggregate: float | None) -> Need:
        """Least clear distance between a rod and a bar."""
        ...

    def cover(self, part: Part, exposure: str | None, face: Literal["side", "top", "bottom"]) -> Need:
        """Least cover to a part."""
        ...

    def rod_spacing(self, diameter: float, torqued: bool) -> Need:
        """Least spacing of cast-in rods, center to center."""
        ...

    def rod_edge(self, diameter: float, torqued: bool) -> Need | None:
        """Least distance from a rod's center to the face; None where cover alone decides."""
        ...


@dataclass(frozen=True, slots=True, eq=False)
class PierView:
    """What a rule sees: one pier, its gaps, the site and its rule book."""

    site: SiteSpec
    book: RuleBook
    pier: Pier
    gaps: GapTable
    roles: tuple[Role, ...] = field(default=())

    def indices(self, roles: frozenset[Role]) -> list[int]:
        """Which of the pier's parts have one of these roles."""
        return [i for i, part in enumerate(self.pier.parts) if part.role in roles]


@dataclass(frozen=True, slots=True, eq=False)
class Measured:
    """Measurements of one rule at one pier, in columns; the judge compares, counts and words them.

    a, b: (n,) part indices; b may be a Face, or a where one part is measured alone.
    measured: (n,) mm; need: one Need for all, or (n,) of them; at: (n, 3) mm, pier's frame.
    says: how the measurement is worded, e.g. "{measured} clear between them, {required} needed".
    """

    a: Index
    b: Index
    measured: Array
    need: Need | tuple[Need, ...]
    limit: Limit
    at: Array
    says: str
    tolerance: float | None = None


@dataclass(frozen=True, slots=True)
class NotChecked:
    """Why something could not be measured: never silently clear."""

    parts: tuple[str, ...]
    why: str


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule: its id in plain words, its title, its source, and the function that measures."""

    id: str
    title: str
    source: str
    measure: Callable[[PierView], Iterable[Measured | NotChecked]]


def rule(*, id: str, title: str, source: str) -> Callable[[Callable[[PierView], Iterable[Measured | NotChecked]]], Rule]:
    """Turn a measuring function into a Rule; `clash.rules` modules are searched for these."""

    def make(measure: Callable[[PierView], Iterable[Measured | NotChecked]]) -> Rule:
        return Rule(id, title, source, measure)

    return make


NOTHING: Array = np.zeros((0, 3))
