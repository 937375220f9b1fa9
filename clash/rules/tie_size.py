"""Whether ties are thick enough for the bars that they hold."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.levels import distinct, levels
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import LATERAL, LONGITUDINAL


@rule(
    id="tie size",
    title="size of ties for the bars that they hold",
    source="the rule book (ACI 318-19 25.7.2.2; EN 1992-1-1 9.5.3)",
)
def tie_size(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Nominal diameter of ties, hoops and crossties; of each kind and size, the highest is told."""
    bars = view.roles(*LONGITUDINAL)
    if not levels(view) or not bars.any():
        yield DoesNotApply("no ties around bars")
        return
    first = {
        (view.parts[i].role, view.parts[i].nominal): i
        for i in reversed(distinct(view, np.flatnonzero(view.roles(*LATERAL))))
    }
    rows = np.array(sorted(first.values()), dtype=np.intp)
    yield Measured(
        rows,
        rows,
        view.nominal[rows],
        (view.book.tie_size(float(np.max(view.nominal[bars]))),),
        np.full((len(rows), 3), np.nan),
        says="{a} is {measured} thick, and the bars it holds need {required} ({source}).",
    )
