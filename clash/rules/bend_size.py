"""Inside diameters of the bends of ties and dowels."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.bends import tightest
from clash.measures.levels import distinct, swept
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import LATERAL, Role


@rule(
    id="bend size",
    title="inside diameter of bends",
    source="the rule book (ACI 318-19 25.3.1, 25.3.2; EN 1992-1-1 8.3)",
)
def bend_size(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """The tightest bend of ties, hoops, crossties and dowels; of each kind and size, the tightest is told."""
    if view.pier.spec.cage is None:
        yield DoesNotApply("no cage")
        return
    bars = np.flatnonzero(view.roles(Role.DOWEL, *LATERAL))
    worst: dict[tuple[Role, float], tuple[float, int, np.ndarray]] = {}
    for i in distinct(view, bars):
        part, found = view.parts[i], tightest(swept(view, i))
        if found is None or part.nominal is None:
            continue
        key = (part.role, part.nominal)
        if key not in worst or round(found[0], 3) < round(worst[key][0], 3):
            worst[key] = (found[0], i, found[1])
    needs: list[Need] = []
    told: list[tuple[float, int, np.ndarray]] = []
    for (role, diameter), bend in worst.items():
        need = view.book.least_bend(diameter, "main" if role is Role.DOWEL else "tie")
        if need is not None:
            needs.append(need)
            told.append(bend)
    if not told:
        yield DoesNotApply("no bent bars whose bends a table lists")
        return
    parts = np.array([i for _, i, _ in told], dtype=np.intp)
    yield Measured(
        parts,
        parts,
        np.array([inside for inside, _, _ in told]),
        tuple(needs),
        np.stack([at for _, _, at in told]),
        says="{a} is bent to {measured} inside {where}, {required} needed ({source}).",
        which=np.arange(len(told), dtype=np.intp),
    )
