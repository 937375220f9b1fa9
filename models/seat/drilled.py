"""Outlines with holes in them: every hole wholly inside, no two of them meeting."""

from __future__ import annotations

from collections.abc import Sequence
from math import tau

import numpy as np
from numpy.typing import NDArray

from models.motion import Array
from models.outline import Loop, Outline

Flags = NDArray[np.bool_]

_CHORD_ERROR = 0.05
"""mm: outlines are tried for crossings on polygons true to this, or to a millionth of their size."""


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
    rings = [_polygon(opening) for opening in openings]
    edge = _polygon(outer) if rings else outer.starts
    for k, ring in enumerate(rings):
        name = f"opening {k + 1}" if len(rings) > 1 else "the opening"
        if not _inside(ring, edge).all() or _cross(ring, edge):
            raise ValueError(f"{name} runs out of {what}")
        meets = encloses(openings[k], centers) | (ring_distances(openings[k], centers) < radius)
        for i in np.nonzero(meets)[0]:
            raise ValueError(f"{name} runs into hole {i + 1} of {what}")
        for other in rings[:k]:
            if _inside(ring, other).any() or _inside(other, ring).any() or _cross(ring, other):
                raise ValueError(f"two openings of {what} run into each other")
    bores = tuple(bore(diameter, x, y) for x, y in centers.tolist())
    return Outline(outer, bores).with_holes(openings)


def holes_fit(outer: Loop, centers: Array, diameter: float) -> Flags:
    """(n,): whether each round hole lies wholly inside the ring."""
    within = encloses(outer, centers)
    fits: Flags = within & (ring_distances(outer, centers) > diameter / 2.0)
    return fits


def encloses(loop: Loop, points: Array) -> Flags:
    """(n,): whether points (n, 2) lie inside a ring; nearer an arc than 0.05 mm, either answer may come."""
    return _inside(points, _polygon(loop))


def _polygon(loop: Loop) -> Array:
    """(m, 2): a ring as a polygon of a bounded number of corners, however large the ring."""
    if not loop.sweeps.any():
        return loop.starts
    return loop.polyline(max(_CHORD_ERROR, 1e-6 * loop.perimeter))


def _inside(points: Array, ring: Array) -> Flags:
    """(n,): whether points (n, 2) lie inside the closed polygon (m, 2), by the edges to their right."""
    a, b = ring, np.roll(ring, -1, axis=0)
    x, y = points[:, 0, None], points[:, 1, None]
    spans = (a[:, 1] > y) != (b[:, 1] > y)
    rise = np.where(b[:, 1] == a[:, 1], 1.0, b[:, 1] - a[:, 1])
    right = x < a[:, 0] + (y - a[:, 1]) * (b[:, 0] - a[:, 0]) / rise
    odd: Flags = np.sum(spans & right, axis=1) % 2 == 1
    return odd


def ring_distances(loop: Loop, points: Array) -> Array:
    """(n,) mm from points (n, 2) to the nearest point of a ring; arcs by closed form."""
    start, end = loop.starts, loop.ends
    arc = loop.sweeps != 0.0
    from_start = points[:, None, :] - start
    near = np.hypot(from_start[..., 0], from_start[..., 1])
    if not arc.all():
        along = (end - start)[~arc]
        offset = from_start[:, ~arc]
        length2 = np.maximum(np.einsum("ej,ej->e", along, along), 1e-300)
        t = np.einsum("nej,ej->ne", offset, along) / length2
        offset = offset - np.clip(t, 0.0, 1.0)[..., None] * along
        near[:, ~arc] = np.hypot(offset[..., 0], offset[..., 1])
    if arc.any():
        arm, sweep = (start - loop.centers)[arc], loop.sweeps[arc]
        out = points[:, None, :] - loop.centers[arc]
        cross = arm[:, 0] * out[..., 1] - arm[:, 1] * out[..., 0]
        turned = np.arctan2(cross, np.einsum("nej,ej->ne", out, arm)) * np.sign(sweep)
        radial = np.abs(np.hypot(out[..., 0], out[..., 1]) - np.hypot(arm[:, 0], arm[:, 1]))
        # Past its ends an arc is as near as its ends, and each is the start of this edge or of the next.
        near[:, arc] = np.where(np.mod(turned, tau) <= np.abs(sweep), radial, near[:, arc])
    least: Array = near.min(axis=1)
    return least


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
