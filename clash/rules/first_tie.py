"""How far the lowest tie lies above the footing."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.gap_table import Face
from clash.measures.levels import levels
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import Role


@rule(
    id="first tie",
    title="the lowest tie above the footing",
    source="the rule book (ACI 318-19 10.7.6.2.1)",
)
def first_tie(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """From the bottom of the pier to the center of its lowest tie, where a grade beam or dowels bear it."""
    stacks, cage = levels(view), view.pier.spec.cage
    if not stacks or cage is None or cage.ties is None:
        yield DoesNotApply("no ties")
        return
    if view.pier.grade_beam is None and not view.roles(Role.DOWEL).any():
        yield DoesNotApply("the pier stands on no grade beam or footing that the site file knows of")
        return
    need = view.book.first_tie(cage.ties.spacing)
    if need is None:
        yield DoesNotApply(f"{view.book.title} has no figure for it")
        return
    lowest = stacks[-1]
    yield Measured(
        np.array([lowest.tie], dtype=np.intp),
        np.array([int(Face.BOTTOM)], dtype=np.intp),
        np.array([lowest.center - view.pier.concrete.bottom]),
        (need,),
        np.array([[0.0, 0.0, lowest.center]]),
        says="{a} lies {measured} above {b}, at most {required} allowed ({source}).",
        limit="most",
    )
