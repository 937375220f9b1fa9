"""How many verticals a cage needs at least."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.levels import levels, swept
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import Role


@rule(
    id="fewest bars",
    title="number of verticals within the ties",
    source="the rule book (ACI 318-19 10.7.3.1; EN 1992-1-1 9.5.2)",
)
def fewest_bars(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """The count of the verticals; a tie has one corner fewer than bends, its two hooks sharing one."""
    verticals, stacks = np.flatnonzero(view.roles(Role.VERTICAL)), levels(view)
    if not stacks or not len(verticals):
        yield DoesNotApply("no verticals within ties")
        return
    tie = view.parts[stacks[0].tie]
    corners = 0 if tie.role is Role.HOOP else int(np.count_nonzero(swept(view, stacks[0].tie).angles)) - 1
    yield Measured(
        verticals[:1],
        verticals[:1],
        np.array([float(len(verticals))]),
        (view.book.fewest_bars(corners),),
        np.full((1, 3), np.nan),
        says="The cage has {measured}, {required} needed ({source}).",
        unit="verticals",
    )
