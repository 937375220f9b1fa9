"""The section of a pier: how wide it is."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from models.outline import Loop
from models.shapes.hull import convex_hull

_CHORD = 0.01
"""mm: outlines with arcs are measured on a polygon inside them, true to this."""


@lru_cache(maxsize=8)
def sides(ring: Loop) -> tuple[float, float]:
    """The least width of a ring between two parallel lines, and its width the other way, mm.

    A polygon is narrowest square to a side of its hull. Chamfers at the corners of a rectangle take nothing
    of its sides; a circle is its diameter wide.
    """
    if len(ring.sweeps) == 1:
        across = 2.0 * float(np.linalg.norm(ring.starts[0] - ring.centers[0]))
        return across, across
    hull = convex_hull(ring.polyline(_CHORD))
    along = np.roll(hull, -1, axis=0) - hull
    along /= np.linalg.norm(along, axis=1)[:, None]
    out = np.column_stack([-along[:, 1], along[:, 0]])
    width = np.ptp(hull @ out.T, axis=0)
    k = int(np.argmin(width))
    return float(width[k]), float(np.ptp(hull @ along[k]))
