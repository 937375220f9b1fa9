"""Which piers of a site stand so near each other that their concrete could meet."""

from __future__ import annotations

from math import hypot

import numpy as np

from models.spec.outline import OutlineSpec
from models.spec.pier import PierSpec
from models.spec.site import SiteSpec

Neighbors = dict[str, tuple[PierSpec, ...]]


def neighbors_of(site: SiteSpec) -> Neighbors:
    """By mark, the piers listed after it that could reach its concrete; a mark with none is left out."""
    piers = site.piers
    x, y = np.array([p.x for p in piers]), np.array([p.y for p in piers])
    reach = np.array([_reach(p.outline) for p in piers])
    order = np.argsort(x, kind="stable")
    ahead = np.searchsorted(x[order], x[order] + reach[order] + reach.max(), side="right")
    found: dict[int, list[int]] = {}
    for k, i in enumerate(order.tolist()):
        others = order[k + 1 : ahead[k]]
        near = others[np.hypot(x[others] - x[i], y[others] - y[i]) < reach[others] + reach[i]]
        for j in near.tolist():
            found.setdefault(min(i, j), []).append(max(i, j))
    return {piers[i].mark: tuple(piers[j] for j in sorted(after)) for i, after in found.items()}


def _reach(outline: OutlineSpec) -> float:
    """No less than how far an outline reaches from its pier's center, mm: the sum of what it is given by."""
    lengths = [outline.square or 0.0, outline.round or 0.0, *(outline.rectangle or ())]
    for edge in outline.edges or ():
        lengths += [abs(edge.x), abs(edge.y), 2.0 * (edge.radius or 0.0)]
    return float(hypot(*outline.center) + sum(lengths))
