"""Spacing of cast-in rods."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.straight import runs
from clash.needs.need import Need, site_first
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import ANCHORS


@rule(
    id="rod spacing",
    title="spacing of rods, center to center",
    source="the site's required: rod spacing, else the rule book (ACI 318-19 Table 17.9.2(a))",
)
def rod_spacing(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Distance between the center lines of every two rods, at the top of concrete and at the higher foot."""
    rods = np.flatnonzero(view.roles(*ANCHORS))
    if len(rods) < 2:
        yield DoesNotApply("no two rods")
        return
    seat = view.pier.spec.seat.rods
    torqued = seat is not None and seat.torqued
    i, j = np.triu_indices(len(rods), 1)
    shanks = runs([view.parts[r] for r in rods])
    needs: dict[Need, int] = {}
    which = np.zeros(len(i), dtype=np.intp)
    thicker = np.maximum(view.nominal[rods][i], view.nominal[rods][j])
    for diameter in sorted(set(thicker.tolist())):
        published = view.book.rod_spacing(float(diameter), torqued)
        need = site_first(view.pier.spec.required.rod_spacing, "required: rod spacing", published)
        if need is None:
            yield DoesNotApply(f"{view.book.title} has no figure for it, and the site file gives none")
            return
        which[thicker == diameter] = needs.setdefault(need, len(needs))
    foot = np.maximum(shanks.low[i, 2], shanks.low[j, 2])
    apart, at = np.full(len(i), np.inf), np.zeros((len(i), 3))
    for z in (np.zeros(len(i)), foot):
        p, q = shanks.take(i).at(z), shanks.take(j).at(z)
        now = np.linalg.norm(p - q, axis=1)
        nearer = now < apart
        apart[nearer] = now[nearer]
        at[nearer] = np.column_stack([(p + q) / 2.0, z])[nearer]
    yield Measured(
        rods[i],
        rods[j],
        apart,
        tuple(needs),
        at,
        says="{a} and {b}: {measured} center to center {where}, {required} needed ({source}).",
        which=which,
    )
