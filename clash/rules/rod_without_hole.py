"""Rods that have no hole in what has to go down over them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.gap_table import Index
from clash.measures.holes import HOLED, Holes, holes
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import ANCHORS, Role


@rule(
    id="rod without a hole",
    title="a hole for each rod in plate, beam and template",
    source="geometry: each rod goes through a hole of its own",
)
def rod_without_hole(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Whether each rod's center line passes through a hole; where beams meet, through one of theirs."""
    if not view.roles(*ANCHORS).any() or not view.roles(*HOLED).any():
        yield DoesNotApply("no rods that go through a plate, a beam or a template")
        return
    groups = holes(view)
    for group in groups:
        has = group.hole >= 0
        if view.parts[group.part].role is Role.BEAM:
            beams = [g for g in groups if view.parts[g.part].role is Role.BEAM]
            has = np.any([g.hole >= 0 for g in beams], axis=0)
            mine = _nearest_of(view, beams) == group.part
        else:
            mine = np.ones(len(has), dtype=bool)
        yield Measured(
            group.rods[mine],
            np.full(int(np.sum(mine)), group.part, dtype=np.intp),
            has[mine].astype(float),
            (Need(1.0, "geometry: each rod goes through a hole of its own"),),
            group.rod_at[mine],
            says="{a} has no hole in {b} ({source}).",
            unit="holes",
        )


def _nearest_of(view: PierView, beams: list[Holes]) -> Index:
    """(rods,) the beam that each rod is nearest to."""
    parts = np.array([g.part for g in beams], dtype=np.intp)
    gaps = np.stack([view.gap(g.rods, np.full(len(g.rods), g.part, dtype=np.intp))[0] for g in beams])
    nearest: Index = parts[np.argmin(np.where(np.isnan(gaps), np.inf, gaps), axis=0)]
    return nearest
