"""Prisms as columns: the outline edges of many prisms, side by side, ready to be measured from."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from clash.kernel.tables import Index
from models.motion import Array
from models.outline import Outline
from models.solids import Prism


class Edges(Struct, frozen=True, eq=False):
    """Plan edges in columns, straight and circular; the region lies to the left of each.

    sx, sy, ex, ey: (m,) mm, start and end. arc: (m,) bool.
    cx, cy, radius: (m,) mm, of an arc; 0 where straight.
    mx, my: (m,) unit direction from an arc's center to its middle; reach: (m,) cosine of half its angle
    (a direction u lies within the arc when u . m >= reach). ccw: (m,) bool, an arc that runs
    counterclockwise.
    """

    sx: Array
    sy: Array
    ex: Array
    ey: Array
    arc: NDArray[np.bool_]
    cx: Array
    cy: Array
    radius: Array
    mx: Array
    my: Array
    reach: Array
    ccw: NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.sx)

    def take(self, which: Index | NDArray[np.bool_]) -> Edges:
        """Some of the edges."""
        return Edges(
            self.sx[which],
            self.sy[which],
            self.ex[which],
            self.ey[which],
            self.arc[which],
            self.cx[which],
            self.cy[which],
            self.radius[which],
            self.mx[which],
            self.my[which],
            self.reach[which],
            self.ccw[which],
        )

    @staticmethod
    def of(outlines: Sequence[Outline]) -> tuple[Edges, Index]:
        """Every edge of every ring of some outlines, and (n + 1,) where each outline's edges begin."""
        loops = [[o.outer, *o.holes] for o in outlines]
        flat = [loop for rings in loops for loop in rings]
        counts = [sum(len(loop.sweeps) for loop in rings) for rings in loops]
        first = np.concatenate([[0], np.cumsum(counts)]).astype(np.intp)
        if not flat:
            return _no_edges(), first
        start = np.concatenate([loop.starts for loop in flat])
        sizes = np.array([len(loop.sweeps) for loop in flat])
        after = np.arange(1, len(start) + 1)
        last = np.cumsum(sizes) - 1
        after[last] = last - sizes + 1
        end = start[after]
        sweep = np.concatenate([loop.sweeps for loop in flat])
        center = np.concatenate([loop.centers for loop in flat])
        arc = sweep != 0.0
        center = np.where(arc[:, None], center, 0.0)
        arm = np.where(arc[:, None], start - center, 0.0)
        radius = np.hypot(arm[:, 0], arm[:, 1])
        half = sweep / 2.0
        c, s = np.cos(half), np.sin(half)
        unit = np.where(arc, radius, 1.0)
        return Edges(
            sx=start[:, 0].copy(),
            sy=start[:, 1].copy(),
            ex=end[:, 0].copy(),
            ey=end[:, 1].copy(),
            arc=arc,
            cx=center[:, 0].copy(),
            cy=center[:, 1].copy(),
            radius=radius,
            mx=(c * arm[:, 0] - s * arm[:, 1]) / unit,
            my=(s * arm[:, 0] + c * arm[:, 1]) / unit,
            reach=np.where(np.abs(sweep) > 6.2831, -2.0, c),
            ccw=sweep > 0.0,
        ), first

    @property
    def boxes(self) -> tuple[Array, Array]:
        """(m, 2) least and (m, 2) greatest x, y of each edge, exact."""
        lo = np.column_stack([np.minimum(self.sx, self.ex), np.minimum(self.sy, self.ey)])
        hi = np.column_stack([np.maximum(self.sx, self.ex), np.maximum(self.sy, self.ey)])
        for k, (m, c) in enumerate(((self.mx, self.cx), (self.my, self.cy))):
            hi[:, k] = np.where(self.arc & (m >= self.reach), c + self.radius, hi[:, k])
            lo[:, k] = np.where(self.arc & (-m >= self.reach), c - self.radius, lo[:, k])
        return lo, hi


def _no_edges() -> Edges:
    none, no = np.zeros(0), np.zeros(0, dtype=bool)
    return Edges(none, none, none, none, no, none, none, none, none, none, none, no)


class PrismTable(Struct, frozen=True, eq=False):
    """n prisms in columns; edges of prism i are first[i] : first[i + 1], outer ring first.

    bottom, top: (n,) mm in the prism's own frame; rotation (n, 3, 3) and shift (n, 3) carry that frame to
    the pier's. edges: every edge of every ring, in the prism's own frame; lo, hi: (m, 2), their boxes.
    plan_lo, plan_hi: (n, 2), box of the outline in the prism's own frame.
    box_lo, box_hi: (n, 3), box of the prism in the pier's frame.
    plain: True when no prism is turned, so that a shift carries all.
    """

    first: Index
    bottom: Array
    top: Array
    rotation: Array
    shift: Array
    edges: Edges
    lo: Array
    hi: Array
    plan_lo: Array
    plan_hi: Array
    box_lo: Array
    box_hi: Array
    plain: bool

    def __len__(self) -> int:
        return len(self.bottom)

    @staticmethod
    def of(solids: Sequence[Prism]) -> PrismTable:
        """Lay the outline edges (all rings) of many prisms side by side."""
        edges, first = Edges.of([s.outline for s in solids])
        n = len(solids)
        bottom = np.array([s.bottom for s in solids], dtype=float)
        top = np.array([s.top for s in solids], dtype=float)
        rotation = np.array([s.motion.rotation for s in solids]).reshape(n, 3, 3)
        shift = np.array([s.motion.shift for s in solids]).reshape(n, 3)
        lo, hi = edges.boxes
        plan_lo = np.minimum.reduceat(lo, first[:-1]) if n else np.zeros((0, 2))
        plan_hi = np.maximum.reduceat(hi, first[:-1]) if n else np.zeros((0, 2))
        middle = np.column_stack([(plan_lo + plan_hi) / 2.0, (bottom + top) / 2.0])
        half = np.column_stack([(plan_hi - plan_lo) / 2.0, (top - bottom) / 2.0])
        center = np.einsum("nij,nj->ni", rotation, middle) + shift
        reach = np.einsum("nij,nj->ni", np.abs(rotation), half)
        return PrismTable(
            first=first,
            bottom=bottom,
            top=top,
            rotation=rotation,
            shift=shift,
            edges=edges,
            lo=lo,
            hi=hi,
            plan_lo=plan_lo,
            plan_hi=plan_hi,
            box_lo=center - reach,
            box_hi=center + reach,
            plain=bool(np.all(rotation == np.eye(3))),
        )

    def to_own(self, which: Index, points: Array) -> Array:
        """Points of the pier's frame (k, 3) in the frames of prisms `which` (k,)."""
        return self.turn_to_own(which, points - self.shift[which])

    def turn_to_own(self, which: Index, vectors: Array) -> Array:
        """Vectors of the pier's frame (k, 3) in the frames of prisms `which` (k,)."""
        if self.plain:
            return vectors
        return np.asarray(np.einsum("kji,kj->ki", self.rotation[which], vectors))

    def from_own(self, which: Index, points: Array) -> Array:
        """Points of the frames of prisms `which` (k,) in the pier's frame, (k, 3)."""
        if self.plain:
            return points + self.shift[which]
        return np.asarray(np.einsum("kij,kj->ki", self.rotation[which], points)) + self.shift[which]
