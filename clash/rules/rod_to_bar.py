"""Room for concrete between cast-in rods and longitudinal bars."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.needs.need import Need, site_first
from clash.pier_view import PierView
from clash.rule import EPSILON, DoesNotApply, Measured, rule
from models.part import ANCHORS, LONGITUDINAL, Role

CLEAR = "{a} and {b}: {measured} clear {where}, {required} needed ({source})."


@rule(
    id="rod to bar",
    title="clear distance between rods and longitudinal bars",
    source="the site's required: rod bar clear, else practice: room for the largest aggregate (no clause)",
)
def rod_to_bar(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Clear distance of rods and the heads at their feet to longitudinal bars that they don't overlap."""
    if not view.roles(*ANCHORS).any():
        yield DoesNotApply("no rods")
        return
    yield clear_of_rods(view, LONGITUDINAL, _need(view))


def clear_of_rods(view: PierView, bars: frozenset[Role], need: Need) -> Measured:
    """Gaps of rods and their heads to bars of some roles, less those that touch on purpose or overlap."""
    rods, others = view.roles(*ANCHORS, Role.HEAD), view.roles(*bars)
    rows, a, b = view.pairs(rods, others)
    gap = view.gaps.gap[rows]
    keep = ~view.touching[a, b] & ~(gap < -EPSILON)
    return Measured(
        a[keep],
        b[keep],
        gap[keep],
        (need,),
        view.middles[rows[keep]],
        says=CLEAR,
        reach=view.within,
        far=int(np.count_nonzero(rods) * np.count_nonzero(others)) - len(rows),
    )


def _need(view: PierView) -> Need:
    published = view.book.rod_bar_clear(view.pier.spec.concrete.aggregate)
    need = site_first(view.pier.spec.required.rod_bar_clear, "required: rod bar clear", published)
    assert need is not None
    return need
