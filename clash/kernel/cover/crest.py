"""Parts against the crest of a top chamfer: the edge where its slope ends and the top of concrete begins.

A part's nearest point on a slope's plane may lie above the top, where there is no concrete: what leaves
through the top beside the chamfer is nearest to the crest itself.
"""

from __future__ import annotations

from math import atan2, ceil, hypot, pi

import numpy as np

from clash.kernel.bars.swept import swept_swept
from clash.kernel.bars.vec import norm
from clash.kernel.cover.clip import Flags
from clash.kernel.cover.containers import Containers
from clash.kernel.cover.planes import Reach
from clash.kernel.nearest import Nearest
from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.prisms.upright import UPRIGHT
from clash.kernel.swept_prism import swept_prism
from clash.kernel.tables import Index, SweptTable
from models.motion import Array
from models.outline import Loop
from models.shapes.chamfer import set_back
from models.solids import Swept

_WIRE = 1e-6
"""mm: radius of the wire that stands for a crest, as a bar of no thickness has no ends to measure to."""


def bars_to_crests(swept: SweptTable, solid: Index, containers: Containers, container: Index) -> Reach:
    """Gaps from bars `solid` (n,) to the crests of containers (n,)."""
    edges, spread = _edges(containers, container)
    used, which = np.unique(solid, return_inverse=True)
    both = swept.take(used).beside(SweptTable.of(edges))
    return _least(spread, swept_swept(both, which[spread.row], len(used) + spread.item))


def through(swept: SweptTable, solid: Index) -> Flags:
    """(n,) whether bars are one upright straight piece that comes up from below the top, out through it."""
    first = swept.first[solid]
    start, end = swept.start[first], swept.end[first]
    lean = np.hypot(end[:, 0] - start[:, 0], end[:, 1] - start[:, 1])
    low, high = np.minimum(start[:, 2], end[:, 2]), np.maximum(start[:, 2], end[:, 2])
    straight = (swept.first[solid + 1] == first + 1) & (swept.angle[first] == 0.0)
    return np.asarray(straight & (lean <= UPRIGHT * (high - low)) & (low < 0.0) & (high > 0.0))


def crest_from_side(side: Reach, leg: Array) -> Reach:
    """Gaps (n,) to a crest of what stands upright through the top, from its gaps to the side, more than leg.

    For convex and round outlines, whose set-back ring is as much nearer as it is set back.
    """
    at, way = side.at.copy(), side.foot - side.at
    at[2], way[2] = 0.0, 0.0
    way /= norm(way)
    return Reach(side.gap - leg, at, at + way * (side.gap - leg))


def prisms_to_crests(prisms: PrismTable, solid: Index, containers: Containers, container: Index) -> Reach:
    """Gaps from prisms `solid` (n,) to the crests of containers (n,)."""
    edges, spread = _edges(containers, container)
    found = swept_prism(SweptTable.of(edges), prisms, spread.item, solid[spread.row])
    return _least(spread, found.swapped())


def _least(spread: Ragged, found: Nearest) -> Reach:
    gap, hit = spread.least(np.where(np.isnan(found.gap), -np.inf, found.gap))
    return Reach(np.where(np.isneginf(gap), np.nan, gap + _WIRE), found.at_a[hit].T, found.at_b[hit].T)


def _edges(containers: Containers, container: Index) -> tuple[list[Swept], Ragged]:
    """The edges of every container's crest as lines of no thickness, and which belong to each row."""
    form = np.array(containers.form, dtype=np.intp)[container]
    used, which = np.unique(form, return_inverse=True)
    edges: list[Swept] = []
    counts = []
    for c in used.tolist():
        crest = _lines(set_back(containers.outline[c].outer, containers.leg[c]))
        edges += [line.moved(containers.motion[c]) for line in crest]
        counts.append(len(crest))
    first = np.concatenate([[0], np.cumsum(counts)]).astype(np.intp)
    return edges, Ragged.of(first, which.astype(np.intp))


def _lines(ring: Loop) -> list[Swept]:
    """Each edge of a ring as a line at height 0; an arc in pieces of half a circle at most."""
    lines = []
    for start, end, sweep, center in zip(ring.starts, ring.ends, ring.sweeps, ring.centers, strict=True):
        steps = max(1, ceil(abs(float(sweep)) / pi - 1e-9))
        plan = np.array([start, end])
        if sweep != 0.0:
            arm = start - center
            turn = atan2(arm[1], arm[0]) + np.linspace(0.0, float(sweep), steps + 1)
            plan = center + hypot(*arm) * np.column_stack([np.cos(turn), np.sin(turn)])
        middle, up = np.append(center, 0.0), np.array([0.0, 0.0, np.sign(sweep)])
        lines.append(
            Swept(
                np.column_stack([plan, np.zeros(steps + 1)]),
                np.full(steps, abs(float(sweep)) / steps),
                np.tile(middle if sweep != 0.0 else np.nan * up, (steps, 1)),
                np.tile(up if sweep != 0.0 else np.nan * up, (steps, 1)),
                _WIRE,
            )
        )
    return lines
