"""How rings of the plan fit into each other: what lies inside what, and by how much."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, hypot, tau

import numpy as np

from models.motion import Array
from models.outline import Loop
from models.shapes.outline_from import straight_convex
from models.shapes.rings import in_polygon, ring_distances
from models.solids import Prism

_CHORD_ERROR = 1e-3
"""mm: whether a point lies inside a ring of arcs is told on a polygon true to this."""
_DEEP = 50.0
"""mm: nobody asks where a ring comes nearest that keeps inside by more than this."""
_ARC_STEP = tau / 720.0
"""rad: arcs that are no full circle are followed in steps of half a degree; the points lie on the arc."""


def in_pier(solid: Prism, ring: Loop) -> Loop:
    """A ring of a prism's own plan in the pier's plan; a leaning prism's as if it stood upright."""
    motion = solid.motion
    if motion.rotation[0, 0] == 1.0 and not motion.shift[:2].any():
        return ring
    starts, centers = (
        motion.points(np.column_stack([flat, np.zeros(len(flat))]))[:, :2]
        for flat in (ring.starts, ring.centers)
    )
    return Loop(starts, ring.sweeps, centers)


def circle_of(ring: Loop) -> tuple[Array, float] | None:
    """Center (2,) and radius, mm, of a ring that is a full circle; None for every other."""
    if len(ring.sweeps) != 1:
        return None
    return ring.centers[0], hypot(*(ring.starts[0] - ring.centers[0]).tolist())


def depth_in(ring: Loop, points: Array) -> Array:
    """(n,) mm from points (n, 2) to the ring, positive inside it and negative outside."""
    round_ = circle_of(ring)
    if round_ is not None:
        depth: Array = round_[1] - np.linalg.norm(points - round_[0], axis=1)
        return depth
    apart = ring_distances(ring, points)
    polygon = ring.polyline(_CHORD_ERROR) if ring.sweeps.any() else ring.starts
    signed: Array = np.where(in_polygon(points, polygon), apart, -apart)
    return signed


def inside_by(inner: Loop, outer: Loop) -> float:
    """How far a ring keeps inside another, mm; negative where it reaches out.

    Circles, and straight rings in convex ones, exactly; all else by points on edges and arcs.
    """
    round_ = circle_of(inner)
    if round_ is not None:
        return float(depth_in(outer, round_[0][None, :])[0]) - round_[1]
    return float(np.min(_depths(inner, outer)[0]))


def all_inside_by(inner: Sequence[Loop], outer: Loop) -> Array:
    """(n,) as `inside_by` for each of n rings; circles, as most washers are, all at once."""
    round_ = [circle_of(ring) for ring in inner]
    circles = [one for one in round_ if one is not None]
    if len(circles) < len(inner):
        return np.array([inside_by(ring, outer) for ring in inner])
    return depth_in(outer, np.array([center for center, _ in circles])) - [radius for _, radius in circles]


def clear_of(ring: Loop, opening: Loop) -> float:
    """How far a ring keeps off an opening, mm; negative by how far it reaches in over it."""
    round_ = circle_of(ring)
    if round_ is not None:
        return -float(depth_in(opening, round_[0][None, :])[0]) - round_[1]
    mine, theirs = _followed(_along(ring)), _along(opening)
    return -float(max(np.max(depth_in(opening, mine)), np.max(depth_in(ring, theirs))))


def nearest_to(inner: Loop, outer: Loop, inside: float) -> Array:
    """(2,) mm: about where a ring comes nearest to another that it is to keep inside, or reaches out most.

    inside: mm, what `inside_by` answered; the middle of a ring that lies deep inside.
    """
    if inside > _DEEP:
        middle: Array = inner.starts.mean(axis=0)
        return middle
    round_ = circle_of(inner)
    if round_ is None:
        depth, points = _depths(inner, outer)
    else:
        around = np.arange(48) * (tau / 48.0)
        points = round_[0] + round_[1] * np.column_stack([np.cos(around), np.sin(around)])
        depth = depth_in(outer, points)
    nearest: Array = points[int(np.argmin(np.round(depth, 3)))]
    return nearest


def _depths(inner: Loop, outer: Loop) -> tuple[Array, Array]:
    """(m,) mm how far points (m, 2) of a ring lie inside another, the least of them among the points.

    Inside a convex ring that is at a corner of the inner one. Into any other a corner or a bay may come from
    outside, anywhere along an edge: then edges are followed as well.
    """
    points = _along(inner)
    depth = depth_in(outer, points)
    if circle_of(outer) is None and not straight_convex(outer):
        edges, theirs = _followed(points), _along(outer)
        points = np.concatenate([points, edges, theirs])
        depth = np.concatenate([depth, depth_in(outer, edges), -depth_in(inner, theirs)])
    return depth, points


def _followed(corners: Array) -> Array:
    """(m, 2) points at most a millimeter apart along a closed polygon (n, 2)."""
    run = np.roll(corners, -1, axis=0) - corners
    steps = [np.linspace(0.0, 1.0, int(hypot(*leg)) + 1, endpoint=False) for leg in run.tolist()]
    return np.concatenate([a + s[:, None] * leg for a, s, leg in zip(corners, steps, run, strict=True)])


def extent(ring: Loop, toward: Array) -> float:
    """mm: how far a ring reaches along the unit vector (2,) `toward`, from the origin."""
    far = float(np.max(ring.starts @ toward))
    for k in np.flatnonzero(ring.sweeps):
        arm = ring.starts[k] - ring.centers[k]
        radius = hypot(*arm.tolist())
        if _on_arc(ring, int(k), ring.centers[k] + radius * toward):
            far = max(far, float(ring.centers[k] @ toward) + radius)
    return far


def chord(ring: Loop, y: float, low: float, high: float) -> float:
    """mm: how much of the line at this y, from x = low to x = high, lies inside the ring."""
    crossings: list[float] = []
    for k, (start, end) in enumerate(zip(ring.starts, ring.ends, strict=True)):
        if ring.sweeps[k] == 0.0:
            if (start[1] > y) != (end[1] > y):
                share = (y - start[1]) / (end[1] - start[1])
                crossings.append(float(start[0] + share * (end[0] - start[0])))
            continue
        center = ring.centers[k]
        radius = hypot(*(start - center).tolist())
        half2 = radius**2 - (y - center[1]) ** 2
        if half2 > 0.0:
            both = (float(center[0] - half2**0.5), float(center[0] + half2**0.5))
            crossings += [x for x in both if _on_arc(ring, k, np.array([x, y]))]
    crossings.sort()
    pairs = zip(crossings[::2], crossings[1::2], strict=False)
    return sum(max(0.0, min(high, b) - max(low, a)) for a, b in pairs)


def _along(ring: Loop) -> Array:
    """(m, 2) corners of a ring, and points on its arcs."""
    found = [ring.starts]
    for k in np.flatnonzero(ring.sweeps):
        arm = ring.starts[k] - ring.centers[k]
        n = int(abs(float(ring.sweeps[k])) // _ARC_STEP) + 2
        angle = atan2(arm[1], arm[0]) + np.linspace(0.0, 1.0, n) * ring.sweeps[k]
        found.append(ring.centers[k] + hypot(*arm.tolist()) * np.column_stack([np.cos(angle), np.sin(angle)]))
    return np.concatenate(found)


def _on_arc(ring: Loop, k: int, point: Array) -> bool:
    """Whether a point of the arc's circle lies on the arc."""
    sweep = float(ring.sweeps[k])
    arm, out = ring.starts[k] - ring.centers[k], point - ring.centers[k]
    turned = (atan2(out[1], out[0]) - atan2(arm[1], arm[0])) * (1.0 if sweep > 0.0 else -1.0)
    return bool(turned % tau <= abs(sweep))
