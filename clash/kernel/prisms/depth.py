"""How deep a bar reaches into a prism that it overlaps."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.bar_sides import Pieces
from clash.kernel.prisms.flat_ends import Disks
from clash.kernel.prisms.plan import signed_distance
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.prisms.walls import Curves
from clash.kernel.tables import Index, SweptTable
from models.motion import Array

_STEPS = 17
_ROUNDS = 4
_FINER = np.linspace(-1.0, 1.0, 17)[:, None]


def depths(swept: SweptTable, prisms: PrismTable, i: Index, j: Index) -> tuple[Array, Array]:
    """Depth (n,) of bars i in prisms j, positive where they overlap, and a point (n, 3) there.

    The point is in the prism's own frame. The depth is the greatest, along the centerline, of the radius (or
    of the distance to a free flat end, where that is less) plus how deep the centerline lies inside the
    prism. Where that is less than the radius, the rims of flat ends count as well: how deep they lie inside.
    It goes to zero as the two come to touch. Sampled (17 points a piece) and, up to twice the radius,
    refined about the best sample.
    """
    spread = Ragged.of(swept.first, i)
    prism = j[spread.row]
    pieces = Pieces.of(swept, prisms, spread.row, spread.item, prism, swept.radius[i[spread.row]])
    lengths = pieces.curve.speed * pieces.curve.span
    before = np.cumsum(lengths) - lengths
    before -= before[spread.offset][spread.row]
    whole = np.add.reduceat(lengths, spread.offset)[spread.row]
    apart = np.maximum(prisms.bottom[prism] - pieces.hi[2], pieces.lo[2] - prisms.top[prism])
    for axis in (0, 1):
        low, high = prisms.plan_lo[prism, axis], prisms.plan_hi[prism, axis]
        apart = np.maximum(apart, np.maximum(low - pieces.hi[axis], pieces.lo[axis] - high))
    k = np.flatnonzero(apart <= 1e-6)
    depth, at = np.full(len(i), -np.inf), np.zeros((3, len(i)))
    deepest(depth, at, prisms, Reach(pieces.take(k), pieces.curve.take(k), before[k], whole[k]))

    shallow = np.flatnonzero((depth < pieces.radius[spread.offset])[pieces.pair[k]])
    disks = Disks.of(pieces.take(k[shallow]))
    if len(disks.pair):
        count = len(disks.pair)
        deepest(depth, at, prisms, Reach(disks, disks.rims, np.zeros(count), np.full(count, -np.inf)))
    return depth, np.ascontiguousarray(at.T)


class Reach(Struct, frozen=True, eq=False):
    """Curves to be looked along: centerlines, or rims (whose `whole` is minus infinity: no radius reaches
    past).
    """

    of: Pieces | Disks
    curves: Curves
    before: Array
    whole: Array

    def at(self, prisms: PrismTable, k: Index, t: Array) -> tuple[Array, Array]:
        """Depth (n,) of curves k at t, and the points (3, n)."""
        some = self.curves.take(k)
        along = self.before[k] + some.speed * t
        ball = np.minimum(self.of.radius[k], np.minimum(along, self.whole[k] - along))
        point = some.at(t)[0]
        return np.maximum(ball, 0.0) - signed_distance(prisms, self.of.prism[k], point.T), point


def deepest(depth: Array, at: Array, prisms: PrismTable, reach: Reach) -> None:
    """Raise depth (n,) and at (3, n) of the pairs that these curves belong to."""
    pair, span = reach.of.pair, reach.curves.span
    m = len(pair)
    if m == 0:
        return
    nodes = np.linspace(0.0, 1.0, _STEPS)[:, None] * span
    value = reach.at(prisms, np.tile(np.arange(m), _STEPS), nodes.ravel())[0].reshape(nodes.shape)
    top = np.argmax(value, axis=0)
    order = np.argsort(value[top, np.arange(m)], kind="stable")
    leader = np.full(len(depth), -1, dtype=np.intp)
    leader[pair[order]] = order
    rows = np.flatnonzero(leader >= 0)
    leader = leader[rows]
    t, step = nodes[top[leader], leader], span[leader] / (_STEPS - 1)
    closed = np.isneginf(reach.whole[leader])
    # a deep overlap is told well enough by its best sample
    k = np.flatnonzero(closed | (value[top[leader], leader] < 2.0 * reach.of.radius[leader]))
    which, at_k, step, closed = leader[k], t[k], step[k], closed[k]
    for _ in range(_ROUNDS if len(k) else 0):
        finer = at_k + step * _FINER
        finer = np.where(closed, finer, np.clip(finer, 0.0, span[which]))
        value = reach.at(prisms, np.tile(which, len(_FINER)), finer.ravel())[0].reshape(finer.shape)
        at_k = finer[np.argmax(value, axis=0), np.arange(len(which))]
        step = step / 8.0
    t[k] = at_k
    found, point = reach.at(prisms, leader, t)
    better = np.flatnonzero(found > depth[rows])
    depth[rows[better]], at[:, rows[better]] = found[better], point[:, better]
