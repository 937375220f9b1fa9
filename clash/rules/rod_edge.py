"""Edge distance of cast-in rods."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.gap_table import Face
from clash.measures.straight import runs
from clash.needs.need import Need, site_first
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.motion import Array
from models.outline import Loop
from models.part import ANCHORS
from models.shapes.rings import encloses, ring_distances


@rule(
    id="rod edge",
    title="distance from the center of a rod to the side of the concrete",
    source="the site's required: rod edge, else the rule book (ACI 318-19 Table 17.9.2(a): torqued rods)",
)
def rod_edge(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Distance in plan from the center line of a rod's shank to the outline, at the top and at the foot.

    The least along the shank is at one of the two where the outline is convex or the rod is plumb.
    """
    rods = np.flatnonzero(view.roles(*ANCHORS))
    if not len(rods):
        yield DoesNotApply("no rods")
        return
    seat = view.pier.spec.seat.rods
    torqued = seat is not None and seat.torqued
    needs: dict[Need, int] = {}
    which = np.zeros(len(rods), dtype=np.intp)
    for row, i in enumerate(rods):
        published = view.book.rod_edge(float(view.nominal[i]), torqued)
        need = site_first(view.pier.spec.required.rod_edge, "required: rod edge", published)
        if need is None:
            yield DoesNotApply(f"{view.book.title} asks for no more than the cover of such rods")
            return
        which[row] = needs.setdefault(need, len(needs))
    shanks = runs([view.parts[i] for i in rods])
    ends = np.stack([np.column_stack([shanks.at(0.0), np.zeros(len(rods))]), shanks.low])
    distances = np.stack([_to_side(view.pier.concrete.outline.outer, end[:, :2]) for end in ends])
    nearest = np.argmin(distances, axis=0)
    column = np.arange(len(rods))
    yield Measured(
        rods,
        np.full(len(rods), int(Face.SIDE), dtype=np.intp),
        distances[nearest, column],
        tuple(needs),
        ends[nearest, column],
        says="{a}: {measured} from its center to {b} {where}, {required} needed ({source}).",
        says_below_zero="{a} has its center {past} outside {b} {where}, {required} inside needed ({source}).",
        which=which,
    )


def _to_side(ring: Loop, points: Array) -> Array:
    """(n,) mm from points of the plan to the ring, negative outside of it."""
    apart = ring_distances(ring, points)
    return np.where(encloses(ring, points), apart, -apart)
