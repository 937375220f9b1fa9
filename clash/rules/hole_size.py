"""The largest holes that a plate may have for its rods."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.holes import holes
from clash.needs.need import site_first
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import Role


@rule(
    id="hole size",
    title="holes of a plate no larger than published for its rods",
    source="the site's required: largest hole, else the table that it names (required: hole table), else the "
    "rule book (AISC Design Guide 1, 2nd ed., Table 2.3)",
)
def hole_size(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Diameter of the widest hole for a rod in a plate; one measurement, as its holes are drilled alike.

    For threaded rods: the hole of a bar that is welded in is as the engineer draws it.
    """
    rods = view.roles(Role.ROD)
    groups = [g for g in holes(view) if view.parts[g.part].role is Role.PLATE and len(g.centers)]
    if not rods.any() or not groups:
        yield DoesNotApply("no plate on threaded rods")
        return
    required = view.pier.spec.required
    diameter = float(np.min(view.nominal[rods]))
    published = view.book.largest_hole(diameter, required.hole_table)
    need = site_first(required.largest_hole, "required: largest hole", published)
    if need is None:
        yield DoesNotApply(
            f"{view.book.title} has no largest hole for rods, and the site file names no table of them "
            "(required: hole table)"
        )
        return
    for group in groups:
        widest = [int(np.argmax(group.radii))]
        part = np.full(1, group.part, dtype=np.intp)
        yield Measured(
            part,
            part,
            2.0 * group.radii[widest],
            (need,),
            group.centers[widest],
            says="{a} has holes of {measured} for its rods, at most {required} allowed ({source}).",
            limit="most",
        )
