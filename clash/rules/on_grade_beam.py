"""A pier stands on its grade beam: neither above it nor down in it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.gap_table import Face
from clash.measures.on_rods import levels
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import Role
from models.shapes.fitting import FITTING

_ON_IT = Need(FITTING, "geometry: a pier is cast on the top of its grade beam, to within 0.5 mm of drawing")


@rule(
    id="on grade beam",
    title="bottom of the pier at the top of its grade beam",
    source="geometry: a pier is cast on the top of its grade beam",
)
def on_grade_beam(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """How far the bottom of the pier lies above or below the top of the nearest grade beam under it."""
    beams = np.flatnonzero(view.roles(Role.GRADE_BEAM))
    if not len(beams):
        yield DoesNotApply("no grade beam under it")
        return
    bottom = view.pier.concrete.bottom
    off = bottom - levels(view)[beams, 1]
    least = [int(np.argmin(np.round(np.abs(off), 3)))]
    side = "above" if off[least[0]] > 0.0 else "below"
    yield Measured(
        beams[least],
        np.array([int(Face.BOTTOM)], dtype=np.intp),
        np.abs(off[least]),
        (_ON_IT,),
        np.array([[0.0, 0.0, bottom]]),
        says=f"The bottom of the pier lies {{measured}} {side} the top of {{a}}: it is drawn to stand on it "
        "({source}).",
        limit="most",
    )
