"""Outlines with holes in them: every hole wholly inside, no two of them meeting."""

from __future__ import annotations

from collections.abc import Sequence
from math import tau

import numpy as np

from models.motion import Array
from models.outline import Loop, Outline
from models.shapes.rings import Flags, bounded_polygon, encloses, in_polygon, ring_distances


def drilled(outer: Loop, centers: Array, diameter: float, openings: Sequence[Loop], what: str) -> Outline:
    """A plan region with round holes and other openings.

    centers: (n, 2) mm; diameter: mm, of every round hole; openings: rings of any outline; what: the thing
    that is drilled, in words ("the plate"). Raises ValueError with one sentence when a hole or an opening
    runs out of the outline or into another one, because such a thing cannot be cut.
    """
    radius = diameter / 2.0
    for k, fits in enumerate(holes_fit(outer, centers, diameter)):
        if not fits:
            raise ValueError(f"hole {k + 1} runs out of {what}")
    apart = centers[:, None, :] - centers[None, :, :]
    for i, j in zip(*np.nonzero(np.hypot(apart[..., 0], apart[..., 1]) < diameter), strict=True):
        if i < j:
            raise ValueError(f"holes {i + 1} and {j + 1} of {what} run into each other")
    rings = [bounded_polygon(opening) for opening in openings]
    edge = bounded_polygon(outer) if rings else outer.starts
    for k, ring in enumerate(rings):
        name = f"opening {k + 1}" if len(rings) > 1 else "the opening"
        if not in_polygon(ring, edge).all() or _cross(ring, edge):
            raise ValueError(f"{name} runs out of {what}")
        meets = encloses(openings[k], centers) | (ring_distances(openings[k], centers) < radius)
        for i in np.nonzero(meets)[0]:
            raise ValueError(f"{name} runs into hole {i + 1} of {what}")
        for other in rings[:k]:
            if in_polygon(ring, other).any() or in_polygon(other, ring).any() or _cross(ring, other):
                raise ValueError(f"two openings of {what} run into each other")
    bores = tuple(bore(diameter, x, y) for x, y in centers.tolist())
    return Outline(outer, bores).with_holes(openings)


def holes_fit(outer: Loop, centers: Array, diameter: float) -> Flags:
    """(n,): whether each round hole lies wholly inside the ring."""
    within = encloses(outer, centers)
    fits: Flags = within & (ring_distances(outer, centers) > diameter / 2.0)
    return fits


def bore(diameter: float, x: float, y: float) -> Loop:
    """A round hole (mm) at (x, y), clockwise as holes run."""
    start = np.array([[x + diameter / 2.0, y]])
    return Loop(start, np.array([-tau]), np.array([[x, y]]))


def _cross(p: Array, q: Array) -> bool:
    """Whether an edge of one closed polygon crosses an edge of the other."""
    a, b = p[:, None, :], np.roll(p, -1, axis=0)[:, None, :]
    c, d = q[None, :, :], np.roll(q, -1, axis=0)[None, :, :]

    def side(u: Array, v: Array, w: Array) -> Array:
        cross: Array = (v[..., 0] - u[..., 0]) * (w[..., 1] - u[..., 1]) - (v[..., 1] - u[..., 1]) * (
            w[..., 0] - u[..., 0]
        )
        signs: Array = np.sign(cross)
        return signs

    return bool(np.any((side(a, b, c) * side(a, b, d) < 0.0) & (side(c, d, a) * side(c, d, b) < 0.0)))
