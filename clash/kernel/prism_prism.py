"""Gaps between prisms: plates, nuts, washers, templates, beams."""

from __future__ import annotations

import numpy as np

from clash.kernel.nearest import Nearest
from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.plan import Flags, boundary, inside
from clash.kernel.prisms.plan_depth import plan_depth
from clash.kernel.prisms.plans import Plans, lower_over_edges
from clash.kernel.prisms.tilted import tilted
from clash.kernel.tables import Index
from models.motion import Array

PARALLEL = 1e-10
"""Largest sine between two axes that are taken to be parallel: 1e-7 mm over a meter."""
TOUCH = 1e-9
"""mm: an overlap in height of less than this is contact."""
_CHUNK = 2048


def prism_prism(prisms: PrismTable, i: Index, j: Index) -> Nearest:
    """Gaps between prisms i and j (n,) of one table, in the frame that all are given in.

    at_a lies on prism i, at_b on prism j. Negative exactly where they share space; the depth of prisms whose
    axes are parallel is the lesser of their overlap in height, and of how deep the deepest point of either
    outline lies inside the other outline. Prisms tilted against each other: see `tilted`.
    """
    i, j = np.asarray(i, dtype=np.intp), np.asarray(j, dtype=np.intp)
    out = Nearest.unmeasured(len(i))
    axis_i, axis_j = prisms.rotation[i, :, 2], prisms.rotation[j, :, 2]
    lean = np.sum(np.cross(axis_i, axis_j) ** 2, axis=1)
    level = np.flatnonzero(lean <= PARALLEL**2)
    for k in range(0, len(level), _CHUNK):
        _write(
            out, level[k : k + _CHUNK], _parallel(prisms, i[level[k : k + _CHUNK]], j[level[k : k + _CHUNK]])
        )
    leaning = np.flatnonzero(lean > PARALLEL**2)
    if len(leaning):
        _write(out, leaning, tilted(prisms, i[leaning], j[leaning]))
    return out


def _write(out: Nearest, rows: Index, found: Nearest) -> None:
    out.gap[rows], out.at_a[rows], out.at_b[rows] = found.gap, found.at_a, found.at_b


def _parallel(prisms: PrismTable, i: Index, j: Index) -> Nearest:
    """Prisms with parallel axes: plan distance and vertical distance decide, each exact."""
    plans = Plans.of(prisms, i, prisms, j)
    apart = np.maximum(plans.bottom - prisms.top[i], prisms.bottom[i] - plans.top)
    flat, a, b, shared = _plan_distance(prisms, plans)
    gap = np.hypot(flat, np.maximum(apart, 0.0))
    k = np.flatnonzero(apart <= 0.0)
    gap[k] = np.where(shared[k] | (flat[k] == 0.0), apart[k], flat[k])
    deep = k[(apart[k] < -TOUCH) & (shared[k] | (flat[k] <= TOUCH))]
    if len(deep):
        depth, x, y = plan_depth(prisms, plans.take(deep), shared[deep])
        over = np.flatnonzero(depth > TOUCH)
        gap[deep] = np.where(depth > TOUCH, -np.minimum(depth, -apart[deep]), flat[deep])
        a[:, deep[over]] = b[:, deep[over]] = np.stack([x, y])[:, over]
    above = plans.bottom > prisms.top[i]
    middle = (np.maximum(prisms.bottom[i], plans.bottom) + np.minimum(prisms.top[i], plans.top)) / 2.0
    z_a = np.where(apart > 0.0, np.where(above, prisms.top[i], prisms.bottom[i]), middle)
    z_b = np.where(apart > 0.0, np.where(above, plans.bottom, plans.top), middle)
    return Nearest(gap, prisms.from_own(i, np.stack([*a, z_a]).T), prisms.from_own(i, np.stack([*b, z_b]).T))


def _plan_distance(prisms: PrismTable, plans: Plans) -> tuple[Array, Array, Array, Flags]:
    """Plan distance (n,) of the outlines, its points (2, n) in i's frame, and where one surely lies on the
    other.
    """
    n = len(plans.i)
    everything = np.arange(n)
    first_i, first_j = prisms.first[plans.i], prisms.first[plans.j]
    e = prisms.edges
    xi, yi = e.sx[first_i], e.sy[first_i]
    xj, yj = plans.to_i(everything, e.sx[first_j], e.sy[first_j])
    seen_x, seen_y = plans.to_j(everything, xi, yi)
    mine = inside(prisms, plans.j, seen_x, seen_y)
    theirs = inside(prisms, plans.i, xj, yj)
    shared = mine | theirs
    flat = np.zeros(n)
    a = np.where(mine, np.stack([xi, yi]), np.stack([xj, yj]))
    b = a.copy()
    k = np.flatnonzero(~shared)
    if len(k) == 0:
        return flat, a, b, shared
    some = plans.take(k)
    away, fx, fy = boundary(prisms, some.j, seen_x[k], seen_y[k])
    flat[k] = np.abs(away)
    a[:, k] = np.stack([xi, yi])[:, k]
    b[:, k] = np.stack(some.to_i(np.arange(len(k)), fx, fy))
    lower_over_edges(prisms, some, prisms, k, flat, a, b)
    return flat, a, b, shared
