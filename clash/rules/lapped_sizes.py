"""Bars too thick to lap."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.splices import laps
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule


@rule(
    id="lapped sizes",
    title="bars that may lap",
    source="the rule book (ACI 318-19 25.5.1.1, 16.3.5.4)",
)
def lapped_sizes(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Nominal diameter of the thicker bar of a lap; where the lap is only compressed, of the thinner one."""
    found, cage = laps(view), view.pier.spec.cage
    if found is None or cage is None or cage.dowels is None:
        yield DoesNotApply("no dowels that lap with verticals")
        return
    compression = cage.dowels.lap_in == "compression"
    need = view.book.largest_lapped(compression)
    if need is None:
        yield DoesNotApply(f"{view.book.title} has no figure for it in this program")
        return
    dowel, vertical = view.nominal[found.dowels], view.nominal[found.partners]
    decides = np.minimum(dowel, vertical) if compression else np.maximum(dowel, vertical)
    k = [int(np.argmax(decides))]
    yield Measured(
        found.dowels[k],
        found.partners[k],
        decides[k],
        (need,),
        found.at[k],
        says="{a} and {b} lap, and bars over {required} may not: this one has {measured} ({source}).",
        limit="most",
    )
