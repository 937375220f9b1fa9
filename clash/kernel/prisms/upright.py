"""Straight pieces that stand square to a prism's plan: a rod in its hole, a vertical below a plate. Closed
form.
"""

from __future__ import annotations

import numpy as np

from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.bar_sides import Flags, Pieces
from clash.kernel.prisms.best import Best
from clash.kernel.prisms.plan import boundary

UPRIGHT = 1e-10
"""Largest lean (mm per mm) of a piece that is taken to stand square to the plan: 1e-7 mm over a meter."""


def upright(pieces: Pieces) -> Flags:
    """(n,) whether a piece is straight and stands square to the plan of its prism."""
    lean = np.hypot(pieces.at_start[0], pieces.at_start[1])
    return np.asarray(~pieces.bent & (lean <= UPRIGHT))


def offer_upright(best: Best, prisms: PrismTable, pieces: Pieces) -> None:
    """A standing piece is a circle in plan times a range of heights: plan distance and vertical distance
    decide.

    Overlap: the depth is the least of how far a free end reaches past the face that it entered by, and of the
    radius plus how deep the centerline lies inside the prism (see `swept_prism`).
    """
    if len(pieces.pair) == 0:
        return
    prism, radius = pieces.prism, pieces.radius
    x, y = (pieces.start[0] + pieces.end[0]) / 2.0, (pieces.start[1] + pieces.end[1]) / 2.0
    low = np.minimum(pieces.start[2], pieces.end[2])
    high = np.maximum(pieces.start[2], pieces.end[2])
    bottom, top = prisms.bottom[prism], prisms.top[prism]
    flat, fx, fy = boundary(prisms, prism, x, y)

    rises = pieces.at_start[2] > 0.0
    free_low = np.where(rises, pieces.free_start, pieces.free_end)
    free_high = np.where(rises, pieces.free_end, pieces.free_start)
    apart = np.maximum(bottom - high, low - top)
    aside = flat - radius
    depth = radius + np.minimum(-flat, (top - bottom) / 2.0)
    depth = np.minimum(depth, np.where(free_low, top - low, np.inf))
    depth = np.minimum(depth, np.where(free_high, high - bottom, np.inf))
    gap = np.where(
        apart > 0.0,
        np.hypot(apart, np.maximum(aside, 0.0)),
        np.where(aside > 0.0, aside, -np.maximum(depth, 0.0)),
    )
    # nearest points: in plan toward the foot, or straight up and down where the bar stands over the region
    shared = (np.maximum(low, bottom) + np.minimum(high, top)) / 2.0
    above = low - top > 0.0
    z_bar = np.where(apart > 0.0, np.where(above, low, high), shared)
    z_prism = np.where(apart > 0.0, np.where(above, top, bottom), shared)
    share = np.where(flat > 0.0, np.minimum(radius, flat) / np.where(flat > 0.0, flat, 1.0), 0.0)
    bar = np.stack([x + (fx - x) * share, y + (fy - y) * share, z_bar])
    other = np.stack([np.where(flat > 0.0, fx, x), np.where(flat > 0.0, fy, y), z_prism])
    best.offer(pieces.pair, gap, bar, other, (pieces.free_start & pieces.free_end) | (gap >= 0.0))
