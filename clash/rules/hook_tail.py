"""Straight tails past the hooks of ties and dowels."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.bends import End, ends
from clash.measures.levels import distinct, swept
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import LATERAL, Role


@rule(
    id="hook tail",
    title="straight tails of hooks",
    source="the rule book (ACI 318-19 25.3.1, 25.3.2; EN 1992-1-1 Figure 8.5)",
)
def hook_tail(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """The straight tails of ties, hoops, crossties and dowels; of each kind, size and hook, the shortest."""
    if view.pier.spec.cage is None:
        yield DoesNotApply("no cage")
        return
    bars = np.flatnonzero(view.roles(Role.DOWEL, *LATERAL))
    worst: dict[tuple[Role, float, int], tuple[int, End]] = {}
    for i in distinct(view, bars):
        part = view.parts[i]
        for end in ends(swept(view, i)):
            key = (part.role, part.nominal or 0.0, end.degrees)
            if key not in worst or round(end.tail, 3) < round(worst[key][1].tail, 3):
                worst[key] = (i, end)
    needs: list[Need] = []
    told: list[tuple[int, End]] = []
    for (role, diameter, hook), found in worst.items():
        need = view.book.least_tail(diameter, "main" if role is Role.DOWEL else "tie", hook)
        if need is not None:
            needs.append(need)
            told.append(found)
    if not told:
        yield DoesNotApply("no hooks whose tails a table lists")
        return
    parts = np.array([i for i, _ in told], dtype=np.intp)
    yield Measured(
        parts,
        parts,
        np.array([end.tail for _, end in told]),
        tuple(needs),
        np.stack([end.at for _, end in told]),
        says="{a} has a hook with a straight tail of {measured} {where}, {required} needed ({source}).",
        which=np.arange(len(told), dtype=np.intp),
        tags=tuple(f"{end.degrees} degrees" for _, end in told),
    )
