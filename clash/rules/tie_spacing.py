"""How far ties may stand from each other."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from clash.measures.levels import Level, levels
from clash.measures.section import sides
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import Role


@rule(
    id="tie spacing",
    title="spacing of ties, center to center",
    source="the rule book (ACI 318-19 25.7.2.1; EN 1992-1-1 9.5.3)",
)
def tie_spacing(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Between the centers of every two ties that follow each other; of the pier, the widest is told.

    Where the book wants ties closer near ends and laps, those are judged apart from the rest.
    """
    stacks = levels(view)
    verticals = view.roles(Role.VERTICAL)
    if len(stacks) < 2 or not verticals.any():
        yield DoesNotApply("no two levels of ties around verticals")
        return
    bar = float(np.min(view.nominal[verticals]))
    tie = float(np.min(view.nominal[[level.tie for level in stacks]]))
    both = sides(view.pier.concrete.outline.outer)
    near = _near(view, stacks, view.book.close_ties(bar, both))
    spacing = np.array([a.center - b.center for a, b in pairwise(stacks)])
    rows: list[int] = []
    needs: list[Need] = []
    for close in (False, True):
        which = np.flatnonzero(near == close)
        if len(which):
            rows.append(int(which[np.argmax(np.round(spacing[which], 3))]))
            needs.append(view.book.tie_spacing(bar, tie, both, close))
    yield Measured(
        np.array([stacks[k].tie for k in rows], dtype=np.intp),
        np.array([stacks[k + 1].tie for k in rows], dtype=np.intp),
        spacing[rows],
        tuple(needs),
        np.array([[0.0, 0.0, (stacks[k].center + stacks[k + 1].center) / 2.0] for k in rows]),
        says="{a} and {b}: {measured} center to center, at most {required} allowed ({source}).",
        which=np.arange(len(rows), dtype=np.intp),
        limit="most",
    )


def _near(view: PierView, stacks: tuple[Level, ...], close: tuple[float, bool]) -> np.ndarray:
    """(levels - 1,) whether the space below each level comes near an end of the pier, or a lap."""
    within, along_laps = close
    high = np.array([level.center for level in stacks[:-1]])
    low = np.array([level.center for level in stacks[1:]])
    bottom = view.pier.concrete.bottom
    near = (high > -within) | (low < bottom + within) if within > 0.0 else np.zeros(len(high), dtype=bool)
    cage = view.pier.spec.cage
    if along_laps and cage is not None and cage.dowels is not None:
        near |= low < bottom + cage.dowels.height
    return near
