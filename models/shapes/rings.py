"""Points and rings of the plan: what lies inside a ring, and how far from it."""

from __future__ import annotations

from math import tau

import numpy as np
from numpy.typing import NDArray

from models.motion import Array
from models.outline import Loop

Flags = NDArray[np.bool_]

_CHORD_ERROR = 0.05
"""mm."""


def encloses(loop: Loop, points: Array) -> Flags:
    """(n,): whether points (n, 2) lie inside a ring; nearer an arc than 0.05 mm, either answer may come."""
    return in_polygon(points, bounded_polygon(loop))


def bounded_polygon(loop: Loop) -> Array:
    """(m, 2): a ring as a polygon of a bounded number of corners, however large the ring.

    It is true to 0.05 mm, or to a millionth of the ring's perimeter where that is more.
    """
    if not loop.sweeps.any():
        return loop.starts
    return loop.polyline(max(_CHORD_ERROR, 1e-6 * loop.perimeter))


def in_polygon(points: Array, corners: Array) -> Flags:
    """(n,): whether points (n, 2) lie in the polygon of corners (m, 2), by the edges to their right."""
    a, b = corners, np.roll(corners, -1, axis=0)
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
