"""How far the two bars of a lap may stand apart."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.splices import laps, splice
from clash.needs.need import site_first
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule


@rule(
    id="lap spread",
    title="distance between the two bars of a lap",
    source="the rule book (ACI 318-19 25.5.1.3)",
)
def lap_spread(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Between the centers of a dowel and its vertical, where they lap without touching."""
    found, cage = laps(view), view.pier.spec.cage
    if found is None or cage is None or cage.dowels is None or found.touching.all():
        yield DoesNotApply("no dowels that lap with verticals without touching them")
        return
    lap = site_first(cage.dowels.lap, "cage: dowels: lap", view.book.lap(splice(view, found)))
    need = None if lap is None or lap.value is None else view.book.lap_spread(lap.value)
    if need is None:
        yield DoesNotApply(f"{view.book.title} has no figure for it in this program")
        return
    loose = np.flatnonzero(np.logical_not(found.touching))
    yield Measured(
        found.dowels[loose],
        found.partners[loose],
        found.apart[loose],
        (need,),
        found.at[loose],
        says="{a} and {b} lap {measured} apart, center to center, at most {required} allowed ({source}).",
        limit="most",
    )
