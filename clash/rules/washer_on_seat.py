"""Washers that lie wholly on their plate or beam."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.holes import for_rods
from clash.measures.on_rods import bearings, levels, prism, worst
from clash.measures.plan_fit import all_inside_by, clear_of, in_pier, nearest_to
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import Role

_WHOLLY = Need(0.0, "geometry: a washer bears with all of its face")


@rule(
    id="washer on seat",
    title="washers that do not hang off their plate or beam",
    source="geometry: a washer, or a nut without one, bears with all of its face",
)
def washer_on_seat(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """How far each washer keeps inside the edge of the plate or beam that it bears on, and off its openings.

    Washers on one plate or beam are one measurement, the one that is nearest to the edge.
    """
    found = [b for b in bearings(view) if view.parts[b.part].role is not Role.LEVELING_NUT]
    if not found:
        yield DoesNotApply("no washers on a plate or a beam")
        return
    a, b, inside, at = [], [], [], []
    for on in dict.fromkeys(bearing.on.part for bearing in found):
        seat = prism(view.parts[on])
        edge = in_pier(seat, seat.outline.outer)
        parts = [bearing.part for bearing in found if bearing.on.part == on]
        rings = [in_pier(prism(view.parts[part]), prism(view.parts[part]).outline.outer) for part in parts]
        openings = [
            in_pier(seat, hole) for hole in seat.outline.holes if not for_rods(view, view.parts[on], hole)
        ]
        fits = all_inside_by(rings, edge)
        for hole in openings:
            fits = np.minimum(fits, [clear_of(ring, hole) for ring in rings])
        least = worst(fits)
        a.append(parts[least])
        b.append(on)
        inside.append(float(fits[least]))
        at.append([*nearest_to(rings[least], edge, fits[least]), levels(view)[parts[least], 0]])
    yield Measured(
        np.array(a, dtype=np.intp),
        np.array(b, dtype=np.intp),
        np.array(inside),
        (_WHOLLY,),
        np.array(at, dtype=float),
        says="{a}: {measured} inside the edge of {b} {plan}, {required} needed ({source}).",
        says_below_zero="{a} hangs {past} off {b} {plan} ({source}).",
    )
