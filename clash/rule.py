"""What a rule is: a function that measures one idea at one pier and says what it needs."""

from __future__ import annotations

import pkgutil
from collections.abc import Callable, Iterable
from functools import cache
from importlib import import_module
from typing import Literal

import numpy as np
from msgspec import Struct, field

from clash.gap_table import Index
from clash.needs.need import Missing, Need
from clash.pier_view import PierView
from models.motion import Array

Limit = Literal["least", "most"]

EPSILON = 1e-6
"""mm: a requirement is met up to here, so that float noise never flips a cage drawn exactly at its limit."""
NO_ROWS: Index = np.zeros(0, dtype=np.intp)


class Measured(Struct, frozen=True, eq=False):
    """Measurements of one rule at one pier, in columns; the judge compares, counts and words them.

    a, b: (n,) part indices; b may be a Face, or a again where one part is measured alone.
    measured: (n,) mm, or `unit`; NaN where it could not be measured, infinite where it is farther than was
    looked.
    needs: the requirements, in use or not (so that one that no pair came near still counts as looked at);
    which: (n,) the need of each row, the first where left out.
    at: (n, 3) mm, in the pier's frame; NaN where nowhere.
    says: the sentence, a template of `clash.report.wording.sentence`; says_below_zero: where the measurement
    is negative.
    unit: what is counted, where the measurement is no length.
    tags: (n,) what tells rows of one part apart in their ids, where it is measured more than once.
    reach: mm; pairs farther apart than this have no row, and are clear unless more than that is needed;
    far: how many those are.
    """

    a: Index
    b: Index
    measured: Array
    needs: tuple[Need, ...]
    at: Array
    says: str
    says_below_zero: str = ""
    which: Index = field(default_factory=lambda: NO_ROWS)
    limit: Limit = "least"
    unit: str | None = None
    tags: tuple[str, ...] = ()
    reach: float | None = None
    far: int = 0


class NotChecked(Struct, frozen=True):
    """Something that could not be measured for want of something: never silently clear.

    about: id of the pier or the thing that it is missing for, the same for all piers where one line is
    enough.
    parts: ids and labels of what was to be measured.
    """

    about: str
    missing: Missing
    parts: tuple[str, ...] = ()
    labels: tuple[str, ...] = ()


class DoesNotApply(Struct, frozen=True):
    """Why a rule has nothing to say of a pier; nothing is counted as checked."""

    why: str


Outcome = Measured | NotChecked | DoesNotApply
Measure = Callable[[PierView], Iterable[Outcome]]


class Rule(Struct, frozen=True):
    """One rule: its id in plain words, its title, where its requirement comes from, and how it measures."""

    id: str
    title: str
    source: str
    measure: Measure


def rule(*, id: str, title: str, source: str) -> Callable[[Measure], Rule]:
    """Turn a measuring function into a Rule; the modules of `clash.rules` are searched for these."""

    def make(measure: Measure) -> Rule:
        return Rule(id, title, source, measure)

    return make


@cache
def rules() -> tuple[Rule, ...]:
    """Every rule of every module in `clash.rules`, by id. Raises AssertionError when two share an id."""
    import clash.rules

    found: dict[str, Rule] = {}
    for module in pkgutil.iter_modules(clash.rules.__path__):
        for thing in vars(import_module(f"clash.rules.{module.name}")).values():
            if isinstance(thing, Rule):
                assert found.get(thing.id, thing) is thing, f"two rules are called {thing.id}"
                found[thing.id] = thing
    return tuple(found[key] for key in sorted(found))
