"""Holes that no rod stands in."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.holes import holes
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule


@rule(
    id="hole without a rod",
    title="a rod for each hole in plate, beam and template",
    source="geometry: each hole for a rod is over one",
)
def hole_without_rod(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Whether a rod's center line passes each hole; a beam's holes belong to the pier they are nearest to."""
    groups = [group for group in holes(view) if len(group.centers)]
    if not groups:
        yield DoesNotApply("no holes for rods")
        return
    for group in groups:
        n = len(group.centers)
        part = np.full(n, group.part, dtype=np.intp)
        yield Measured(
            part,
            part,
            (~group.empty).astype(float),
            (Need(1.0, "geometry: each hole for a rod is over one"),),
            group.centers,
            says="{a} has a hole that no rod stands under, {plan} ({source}).",
            unit="rods",
            tags=tuple(f"hole {k + 1}" for k in range(n)),
        )
