"""Play of each rod in its hole of a plate, a beam or a template."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.holes import HOLED, holes, undrilled
from clash.needs.need import Missing, Need, site_first
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, NotChecked, rule
from models.part import ANCHORS, Role

_PASSES = Need(0.0, "geometry: the rod has to pass through, over its ribs")
_NO_RIBS = Missing(
    "required.hole_play",
    "no table at hand gives this bar's diameter over its ribs; measure it, and give the clear that the bar "
    "at its nominal diameter needs all round (required: hole play)",
)


@rule(
    id="rod in hole",
    title="play of rods in their holes, all round",
    source="the site's required: hole play, else geometry: the rod has to pass through, over its ribs",
)
def rod_in_hole(view: PierView) -> Iterator[Measured | NotChecked | DoesNotApply]:
    """Distance of each rod, over its ribs, to the rim of the hole that its center line passes through."""
    if not view.roles(*ANCHORS).any() or not view.roles(*HOLED).any():
        yield DoesNotApply("no rods that go through a plate, a beam or a template")
        return
    play = view.pier.spec.required.hole_play
    passes = site_first(play, "required: hole play", _PASSES)
    unknown = site_first(play, "required: hole play", Need(0.0, _PASSES.source, _NO_RIBS))
    assert passes is not None
    assert unknown is not None
    for group in holes(view):
        within = group.hole >= 0
        rods = group.rods[within]
        if undrilled(view, group.part):
            part = view.parts[group.part]
            yield NotChecked(part.id, _no_hole(part.id.rpartition("/")[0]), (part.id,), (part.label,))
            continue
        b = np.full(len(rods), group.part, dtype=np.intp)
        gap, at = view.gap(rods, b)
        # The gap is measured at the nominal radius; ribs stand out from it.
        ribs = np.array([_ribs(view, int(i)) for i in rods], dtype=float)
        yield Measured(
            rods,
            b,
            gap - np.nan_to_num(ribs),
            (passes, unknown),
            np.where(np.isnan(at), group.rod_at[within], at),
            says="{a}: {measured} of play to the rim of its hole in {b}, {required} needed ({source}).",
            says_below_zero="{a} fouls its hole in {b} by {past}, {required} of play needed ({source}).",
            which=np.isnan(ribs).astype(np.intp),
        )


def _no_hole(name: str) -> Missing:
    ask = f"the site file does not say how large the holes of beam {name} are; add it (beams: {name}: hole)"
    return Missing("beams.hole", ask)


def _ribs(view: PierView, index: int) -> float:
    """How far the ribs stand out from the nominal radius, mm; NaN for a bar whose ribs no table gives."""
    part = view.parts[index]
    if part.overall is None or part.nominal is None:
        return np.nan if part.role is Role.BAR_ANCHOR else 0.0
    return (part.overall - part.nominal) / 2.0
