"""How many rods hold a column."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import ANCHORS, Role


@rule(
    id="column rods",
    title="rods under a column",
    source="the rule book (OSHA 29 CFR 1926.755), where the site says that a column stands on the seat",
)
def column_rods(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """How many rods or bar anchors the seat of a column has."""
    if not view.pier.spec.seat.column:
        yield DoesNotApply("no column stands on it (seat: column)")
        return
    need = view.book.column_rods()
    if need is None:
        yield DoesNotApply(f"{view.book.title} asks for no number of rods")
        return
    rods = np.flatnonzero(view.roles(*ANCHORS))
    plates = np.flatnonzero(view.roles(Role.PLATE))
    on = (plates if len(plates) else rods)[:1]
    if not len(on):
        yield DoesNotApply("no rods and no plate")
        return
    yield Measured(
        on,
        on,
        np.array([float(len(rods))]),
        (need,),
        np.zeros((1, 3)),
        says="A column stands on {measured}, {required} needed ({source}).",
        unit="rods",
    )
