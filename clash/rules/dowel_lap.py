"""The lap of each dowel with its vertical."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.splices import laps, splice
from clash.needs.need import Missing, Need, site_first
from clash.pier_view import PierView
from clash.rule import EPSILON, DoesNotApply, Measured, NotChecked, rule
from models.lengths import Units, show_gap
from models.part import Role


@rule(
    id="dowel lap",
    title="lap of dowels with the verticals",
    source="the site's cage: dowels: lap, else the rule book (ACI 318-19 25.5.2 and 25.4.2; 25.5.5)",
)
def dowel_lap(view: PierView) -> Iterator[Measured | NotChecked | DoesNotApply]:
    """How far the dowels and their verticals (the touching one, else the nearest) stand beside each other.

    Measured along z between the straight runs: from the higher of the two low ends to the lower of the two
    tops. A pier's dowels are one measurement, the shortest lap among them: they were cast to one height.
    Where the pier leaves no room for the lap, between its bottom and the verticals' tops, that is told.
    """
    dowels = np.flatnonzero(view.roles(Role.DOWEL))
    cage = view.pier.spec.cage
    if not len(dowels):
        yield DoesNotApply("no dowels")
        return
    if cage is None or cage.dowels is None:
        yield DoesNotApply("the site file asks for no lap, nor for dowels (cage: dowels)")
        return
    found = laps(view)
    if found is None:
        parts = [view.parts[i] for i in dowels]
        missing = Missing("cage.verticals", "there are no verticals for the dowels to lap with")
        yield NotChecked(view.pier.mark, missing, tuple(p.id for p in parts), tuple(p.label for p in parts))
        return
    need = site_first(cage.dowels.lap, "cage: dowels: lap", view.book.lap(splice(view, found)))
    if need is None:
        yield DoesNotApply("the site file asks for no lap (cage: dowels: lap)")
        return
    # A thousandth of a millimeter decides nothing: the same dowel is told however the site is turned.
    least = [int(np.argmin(np.round(found.laps, 3)))]
    yield Measured(
        found.dowels[least],
        found.partners[least],
        found.laps[least],
        (need,),
        found.at[least],
        says="{a} laps {b} by {measured}, its top {where}; {required} needed ({source})."
        + _room(view, need, float(found.room[least[0]])),
    )


def _room(view: PierView, need: Need, room: float) -> str:
    """What to add where the pier is too short for the lap."""
    if need.value is None or room >= need.value - EPSILON:
        return ""
    shown = show_gap(room, Units(view.site.site.units), "measured least")
    return f" The pier leaves room for a lap of {shown} at most: no longer dowels would do."
