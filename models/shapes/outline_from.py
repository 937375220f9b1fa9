"""Plan outlines from what the site file says: square, rectangle, round, or straight and circular edges."""

from __future__ import annotations

from itertools import pairwise
from math import tau

import numpy as np

from models.motion import Array
from models.outline import Loop, arc_center, circle, polygon, rectangle
from models.spec.outline import Edge, OutlineSpec

_CHECK_CHORD = 0.5
"""mm: free outlines are searched for crossings on polygons true to this."""


def loop_of(spec: OutlineSpec, corner_chamfer: float = 0.0) -> Loop:
    """The ring that `spec` describes, counterclockwise, mm.

    corner_chamfer: leg (mm) of the 45 degree chamfer down the vertical corners; it is cut from every convex
    corner between two straight edges, each edge set back by the leg.
    Raises ValueError with one plain sentence when the edges make no outline or the chamfer does not fit.
    """
    if spec.square is not None:
        loop = rectangle(spec.square, spec.square, spec.center)
    elif spec.rectangle is not None:
        loop = rectangle(*spec.rectangle, spec.center)
    elif spec.round is not None:
        return circle(spec.round, spec.center)
    elif spec.edges is not None:
        loop = _free(spec.edges, spec.center)
    else:
        raise ValueError("an outline needs a square, a rectangle, a round or edges")
    return chamfered(loop, corner_chamfer) if corner_chamfer > 0.0 else loop


def _free(edges: list[Edge], origin: tuple[float, float]) -> Loop:
    """A ring through free corners; each corner says how the edge arrives at it."""
    corners = np.array([[e.x, e.y] for e in edges]) + np.asarray(origin)
    n = len(edges)
    sweeps = np.zeros(n)
    centers = np.full((n, 2), np.nan)
    for i in range(n):
        arriving = edges[(i + 1) % n]
        start, end = corners[i], corners[(i + 1) % n]
        if np.array_equal(start, end):
            raise ValueError(f"corner {(i + 1) % n + 1} of the outline lies on the corner before it")
        if arriving.radius is None:
            continue
        try:
            centers[i], sweeps[i] = arc_center(
                start, end, arriving.radius, 1 if arriving.turn == "left" else -1
            )
        except ValueError as wrong:
            raise ValueError(
                f"the arc that arrives at corner {(i + 1) % n + 1} of the outline has a radius too small for "
                "the two corners that it joins"
            ) from wrong
    loop = Loop(corners, sweeps, centers)
    if n == 2 and not sweeps.any():
        raise ValueError("an outline of two corners needs an arc between them")
    if _crosses(loop.polyline(_CHECK_CHORD)):
        raise ValueError("the edges of the outline cross each other")
    if loop.area <= 0.0:
        raise ValueError("the corners of the outline must go round counterclockwise")
    return loop


def _crosses(points: Array) -> bool:
    """Whether two sides of the closed polygon through (n, 2) points meet that do not follow each other."""
    a, b = points, np.roll(points, -1, axis=0)
    n = len(a)

    def side(p: Array, q: Array, r: Array) -> Array:
        """(n, n): which side of line p->q (rows) the points r (columns) lie on."""
        d = q - p
        out: Array = np.sign(
            d[:, None, 0] * (r[None, :, 1] - p[:, None, 1]) - d[:, None, 1] * (r[None, :, 0] - p[:, None, 0])
        )
        return out

    across = side(a, b, a) * side(a, b, b)
    met = (across <= 0.0) & (across.T <= 0.0)
    i, j = np.triu_indices(n, k=2)
    apart = ~((i == 0) & (j == n - 1))
    i, j = i[apart], j[apart]
    hit = met[i, j]
    i, j = i[hit], j[hit]
    # Sides on one line pass the sign test wherever they lie; they meet only when their boxes do.
    low_i, high_i = np.minimum(a[i], b[i]), np.maximum(a[i], b[i])
    low_j, high_j = np.minimum(a[j], b[j]), np.maximum(a[j], b[j])
    return bool(np.any(np.all((low_i <= high_j) & (low_j <= high_i), axis=1)))


def chamfered(loop: Loop, leg: float) -> Loop:
    """The ring with each convex corner between straight edges cut by a chamfer, its edges set back by `leg`
    mm.

    Raises ValueError when an edge is too short for its chamfers.
    """
    n = len(loop.starts)
    straight = loop.sweeps == 0.0
    along = loop.ends - loop.starts
    length = np.linalg.norm(along, axis=1)
    before = np.roll(along, 1, axis=0)
    turn = before[:, 0] * along[:, 1] - before[:, 1] * along[:, 0]
    # sine of the turn: a corner that barely turns is no corner.
    cut = straight & np.roll(straight, 1) & (turn > 1e-9 * length * np.roll(length, 1))
    taken = leg * (cut.astype(float) + np.roll(cut, -1))
    if np.any(straight & (taken >= length)):
        raise ValueError("the chamfer of the vertical corners is longer than the pier's side can give")
    unit = along / np.where(length > 0.0, length, 1.0)[:, None]
    starts: list[Array] = []
    sweeps: list[float] = []
    centers: list[Array] = []
    none = np.full(2, np.nan)
    for i in range(n):
        corner = loop.starts[i]
        if cut[i]:
            starts += [corner - leg * unit[i - 1], corner + leg * unit[i]]
            sweeps += [0.0, float(loop.sweeps[i])]
            centers += [none, loop.centers[i]]
        else:
            starts.append(corner)
            sweeps.append(float(loop.sweeps[i]))
            centers.append(loop.centers[i])
    return Loop(np.array(starts), np.array(sweeps), np.array(centers))


def straight_convex(loop: Loop) -> bool:
    """Whether the ring is straight and turns left at every corner: what a closed tie can follow."""
    if np.any(loop.sweeps != 0.0) or len(loop.starts) < 3:
        return False
    along = loop.ends - loop.starts
    before = np.roll(along, 1, axis=0)
    turn = before[:, 0] * along[:, 1] - before[:, 1] * along[:, 0]
    angle = float(np.sum(np.arctan2(turn, np.sum(before * along, axis=1))))
    return bool(np.all(turn > 0.0)) and abs(angle - tau) < 1e-6


def inset(loop: Loop, by: float) -> Loop:
    """A convex ring of straight edges with every edge moved inward by `by` mm (outward when negative).

    Raises ValueError when nothing is left.
    """
    corners = loop.starts
    along = loop.ends - corners
    unit = along / np.linalg.norm(along, axis=1)[:, None]
    inward = np.column_stack([-unit[:, 1], unit[:, 0]])
    moved = corners + by * inward
    out = np.empty_like(corners)
    for k in range(len(corners)):
        d0, d1 = unit[k - 1], unit[k]
        step = moved[k] - moved[k - 1]
        s = (step[0] * d1[1] - step[1] * d1[0]) / (d0[0] * d1[1] - d0[1] * d1[0])
        out[k] = moved[k - 1] + s * d0
    closed = np.vstack([out, out[:1]])
    for (p, q), d in zip(pairwise(closed), unit, strict=True):
        if float((q - p) @ d) <= 0.0:
            raise ValueError("nothing is left of the outline that far inside it")
    return polygon(out)
