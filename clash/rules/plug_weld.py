"""Plug welds of bar anchors, where the site asks for their limits."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.books.aisc import plug_hole, plug_spacing
from clash.measures.holes import holes
from clash.measures.on_rods import worst
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import Role


@rule(
    id="plug weld",
    title="holes for plug welds",
    source="AISC 360-16 J2.3b, only where the site asks for it (required: plug weld)",
)
def plug_weld(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Hole diameter by the plate's and the weld's thickness, and the spacing of the holes.

    The limits are for lapped plates. A bar that is welded in its hole is no such thing, and a hole that these
    limits allow may be too small for it: so they hold only where the engineer wants them.
    """
    weld, plate = view.pier.spec.required.plug_weld, view.pier.spec.seat.plate
    groups = [g for g in holes(view) if view.parts[g.part].role is Role.PLATE and len(g.centers)]
    if weld is None or plate is None or not groups:
        yield DoesNotApply("the site asks for no limits of plug welds (required: plug weld)")
        return
    least, most = plug_hole(plate.thickness, weld)
    for group in groups:
        part = np.full(1, group.part, dtype=np.intp)
        narrow, wide = [worst(group.radii)], [int(np.argmax(group.radii))]
        yield Measured(
            part, part, 2.0 * group.radii[narrow], (least,), group.centers[narrow],
            says="{a} has holes of {measured} for plug welds, {required} needed ({source}).",
            tags=("least hole",),
        )  # fmt: skip
        yield Measured(
            part, part, 2.0 * group.radii[wide], (most,), group.centers[wide],
            says="{a} has holes of {measured} for plug welds, at most {required} allowed ({source}).",
            limit="most", tags=("largest hole",),
        )  # fmt: skip
        if len(group.centers) > 1:
            i, j = np.triu_indices(len(group.centers), 1)
            apart = np.linalg.norm(group.centers[i] - group.centers[j], axis=1)
            nearest = [worst(apart)]
            yield Measured(
                part, part, apart[nearest], (plug_spacing(2.0 * float(group.radii[wide[0]])),),
                ((group.centers[i] + group.centers[j]) / 2.0)[nearest],
                says="{a}: {measured} between the centers of two plug welds {plan}, {required} needed "
                "({source}).",
                tags=("spacing",),
            )  # fmt: skip
