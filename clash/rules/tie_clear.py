"""Room for concrete between ties that follow each other."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from clash.measures.levels import levels
from clash.needs.need import site_first
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule


@rule(
    id="tie clear",
    title="clear distance between ties that follow each other",
    source="the site's required: tie clear, else the rule book (ACI 318-19 25.7.2.1; EN 1992-1-1 8.2)",
)
def tie_clear(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """From the underside of a tie to the highest steel that lies on the next one down.

    Crossties and diamonds on top of a tie are one stack with it. The narrowest space of the pier is told.
    """
    stacks = levels(view)
    if len(stacks) < 2:
        yield DoesNotApply("no two levels of ties")
        return
    clear = np.array([upper.under - lower.over for upper, lower in pairwise(stacks)])
    # A thousandth of a millimeter decides nothing: the same two are told however the site is turned.
    k = int(np.argmin(np.round(clear, 3)))
    upper, lower = stacks[k], stacks[k + 1]
    thicker = max(float(view.nominal[i]) for level in stacks for i in level.parts)
    published = view.book.tie_clear(thicker, view.pier.spec.concrete.aggregate)
    need = site_first(view.pier.spec.required.tie_clear, "required: tie clear", published)
    assert need is not None
    yield Measured(
        np.array([upper.tie], dtype=np.intp),
        np.array([lower.tie], dtype=np.intp),
        clear[k : k + 1],
        (need,),
        _between(upper.under, lower.over),
        says="{a} and {b}: {measured} clear, {required} needed ({source}).",
        says_below_zero="{a} runs into what lies on {b} by {past}, {required} needed ({source}).",
    )


def _between(above: float, below: float) -> np.ndarray:
    return np.array([[0.0, 0.0, (above + below) / 2.0]])
