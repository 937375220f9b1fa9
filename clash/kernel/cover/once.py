"""Parts that repeat against faces: ties up and down a cage, cages in equal forms. Each is measured once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from clash.kernel.cover.containers import Containers
from clash.kernel.cover.planes import Planes, Reach
from clash.kernel.layout import Layout
from clash.kernel.repeats import distinct, whole
from clash.kernel.tables import Index

Sides = Callable[[Index, Index], Reach]
"""Parts (or solids) and containers, (n,) each, to the gaps between them."""
Levels = Callable[[Index, Planes], Reach]
"""Parts (or solids) (n,) to their gaps to one level plane."""
_CLEAR = 1e-6
"""mm by which a part has to be clear of a height range's end for its place in the range not to matter."""


def once_to_sides(measure: Sides, parts: Layout, containers: Containers) -> Sides:
    """The same measurement, for parts of a layout, of which those that repeat are measured only once.

    A part repeats in a form where its shape and its place in plan do, and its height as far as that counts:
    it counts where the part is cut off at the top or bottom, or comes near the slope of a chamfer. The slope
    is at least (gap - leg - crest) / sqrt(2) from a part whose highest point is at `crest`, and no gap is
    more than half the lesser side of the form's box.
    """
    low, high, leg = (np.array(c, dtype=float) for c in (containers.low, containers.high, containers.chamfer))
    form = np.array(containers.form, dtype=np.intp)
    half = np.array(containers.half, dtype=float)

    def once(part: Index, container: Index) -> Reach:
        shift = parts.shift[part]
        z, top, bottom = shift[:, 2], high[container], low[container]
        sloped = leg[container] > 0.0
        deepest = np.sqrt(2.0) - 1.0
        ceiling = np.where(sloped, -leg[container] - deepest * half[form[container]], top) - _CLEAR
        below, above = parts.high[2][part] < ceiling, parts.low[2][part] > bottom + _CLEAR
        heights = np.stack(
            [
                np.where(below, np.nan, z - top),
                np.where(below | ~sloped, np.nan, z),
                np.where(above, np.nan, z - bottom),
            ]
        )
        keys = np.column_stack([form[container], parts.shape[part], whole(shift[:, :2]), whole(heights.T)])
        one, which = distinct(keys)
        found = measure(parts.row[part[one]], container[one])
        return _moved(found, which, (shift - shift[one][which]).T)

    return once


def once_to_levels(measure: Levels, parts: Layout) -> Levels:
    """The same measurement, for parts of a layout; parts of one shape reach as far from where they stand."""

    def once(part: Index, planes: Planes) -> Reach:
        _, one, which = np.unique(parts.shape[part], return_index=True, return_inverse=True)
        shift = parts.shift[part]
        moved = (shift - shift[one][which]).T
        found = _moved(measure(parts.row[part[one]], planes), which, moved)
        rise = planes.normal[:, 0] @ moved
        return Reach(found.gap - rise, found.at, found.foot - planes.normal * rise)

    return once


def _moved(found: Reach, which: Index, by: np.ndarray[tuple[int, int], np.dtype[np.float64]]) -> Reach:
    return Reach(found.gap[which], found.at[:, which] + by, found.foot[:, which] + by)
