"""The lap of each dowel with its vertical."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.need import Missing, Need
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, NotChecked, rule
from clash.straight import runs
from models.part import Role


@rule(
    id="dowel lap",
    title="lap of dowels with the verticals",
    source="as specified: the site's cage: dowels: lap",
)
def dowel_lap(view: PierView) -> Iterator[Measured | NotChecked | DoesNotApply]:
    """How far the dowels and their verticals (the touching one, else the nearest) stand beside each other.

    Measured along z between the straight runs: from the higher of the two low ends to the lower of the two
    tops. A pier's dowels are one measurement, the shortest lap among them: they were cast to one height.
    """
    dowels, verticals = (np.flatnonzero(view.roles(role)) for role in (Role.DOWEL, Role.VERTICAL))
    cage = view.pier.spec.cage
    lap = None if cage is None or cage.dowels is None else cage.dowels.lap
    if not len(dowels):
        yield DoesNotApply("no dowels")
        return
    if lap is None:
        yield DoesNotApply("the site file asks for no lap (cage: dowels: lap)")
        return
    if not len(verticals):
        parts = [view.parts[i] for i in dowels]
        missing = Missing("cage.verticals", "there are no verticals for the dowels to lap with")
        yield NotChecked(view.pier.mark, missing, tuple(p.id for p in parts), tuple(p.label for p in parts))
        return
    short, tall = runs([view.parts[i] for i in dowels]), runs([view.parts[i] for i in verticals])
    middle = (short.low[:, 2] + short.high[:, 2]) / 2.0
    foot = np.stack([tall.at(float(z)) for z in short.high[:, 2]])
    apart = np.linalg.norm(foot - short.at(short.high[:, 2])[:, None], axis=2)
    apart = np.where(view.touching[np.ix_(dowels, verticals)], -1.0, apart)
    partner = np.argmin(apart, axis=1)
    low = np.maximum(short.low[:, 2], tall.low[partner, 2])
    high = np.minimum(short.high[:, 2], tall.high[partner, 2])
    laps = np.maximum(high - low, 0.0)
    # A thousandth of a millimeter decides nothing: the same dowel is told however the site is turned.
    least = [int(np.argmin(np.round(laps, 3)))]
    at = np.column_stack([short.at(middle), high])[least]
    yield Measured(
        dowels[least],
        verticals[partner[least]],
        laps[least],
        (Need(lap, "as specified, cage: dowels: lap"),),
        at,
        says="{a} laps {b} by {measured}, its top {where}; {required} needed ({source}).",
    )
