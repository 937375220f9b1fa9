"""Clear spacing between longitudinal bars."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.gap_table import Index
from clash.measures.straight import runs
from clash.needs.need import Need, site_first
from clash.pier_view import PierView
from clash.rule import EPSILON, DoesNotApply, Measured, rule
from models.motion import Array
from models.part import LONGITUDINAL, Role
from models.shapes.fitting import FITTING


@rule(
    id="bar spacing",
    title="clear spacing between longitudinal bars",
    source="the site's required: bar clear, else the rule book (ACI 318-19 25.2.3; EN 1992-1-1 8.2)",
)
def bar_spacing(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Clear distance of every two longitudinal bars that don't overlap; a dowel against a bar is a lap.

    Feet of dowels inside the grade beam are not bars of the pier: where two come nearest below its bottom,
    what counts is how far apart they stand in it.
    """
    bars = view.roles(*LONGITUDINAL)
    if np.count_nonzero(bars) < 2:
        yield DoesNotApply("no two longitudinal bars")
        return
    rows, a, b = view.pairs(bars, bars)
    n = int(np.count_nonzero(bars))
    gap, at = view.gaps.gap[rows].copy(), view.middles[rows].copy()
    dowel = view.roles(Role.DOWEL)
    below = np.flatnonzero((at[:, 2] < view.pier.concrete.bottom + EPSILON) & (dowel[a] | dowel[b]))
    if len(below):
        gap[below], at[below] = _in_the_pier(view, a[below], b[below])
    lap = (view.touching[a, b] | (dowel[a] != dowel[b])) & (gap <= FITTING)
    keep = ~lap & ~(gap < -EPSILON)
    a, b, gap, at = a[keep], b[keep], gap[keep], at[keep]
    # One need for each diameter, in use or not: a looser figure of the site is told all the same.
    sizes, size = np.unique(view.nominal[bars], return_inverse=True)
    index = np.zeros(len(view.parts), dtype=np.intp)
    index[bars] = size
    yield Measured(
        a,
        b,
        gap,
        tuple(_need(view, float(diameter)) for diameter in sizes),
        at,
        says="{a} and {b}: {measured} clear {where}, {required} needed ({source}).",
        which=np.maximum(index[a], index[b]),
        reach=view.within,
        far=n * (n - 1) // 2 - len(rows),
    )


def _need(view: PierView, diameter: float) -> Need:
    published = view.book.bar_clear(diameter, view.pier.spec.concrete.aggregate)
    need = site_first(view.pier.spec.required.bar_clear, "required: bar clear", published)
    assert need is not None
    return need


def _in_the_pier(view: PierView, a: Index, b: Index) -> tuple[Array, Array]:
    """(n,) clear distance of the straight runs of bars where both stand in the pier, and (n, 3) where.

    Taken at the bottom of the pier, or the higher of their low ends, and at the lower of their tops; infinite
    where one ends below the other begins.
    """
    first, second = (runs([view.parts[i] for i in side]) for side in (a, b))
    low = np.maximum(np.maximum(first.low[:, 2], second.low[:, 2]), view.pier.concrete.bottom)
    high = np.minimum(first.high[:, 2], second.high[:, 2])
    gap, at = np.full(len(a), np.inf), np.full((len(a), 3), np.nan)
    for z in (high, low):
        p, q = first.at(z), second.at(z)
        apart = np.linalg.norm(p - q, axis=1) - first.radius - second.radius
        nearer = (apart < gap) & (low < high)
        gap[nearer] = apart[nearer]
        at[nearer] = np.column_stack([(p + q) / 2.0, z])[nearer]
    return gap, at
