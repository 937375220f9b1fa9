"""How deep a bar reaches into a prism that it overlaps."""

from __future__ import annotations

import numpy as np

from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.bar_sides import Pieces
from clash.kernel.prisms.flat_ends import Disks
from clash.kernel.prisms.plan import signed_distance
from clash.kernel.prisms.ragged import Ragged
from clash.kernel.prisms.walls import Curves
from clash.kernel.tables import Index, SweptTable
from models.motion import Array

_STEPS = 17
_GOLDEN = (5.0**0.5 - 1.0) / 2.0


def depths(swept: SweptTable, prisms: PrismTable, i: Index, j: Index) -> tuple[Array, Array]:
    """Depth (n,) of bars i in prisms j, positive where they overlap, and a point (n, 3) there, in the pier's
    frame.

    The depth is the greatest, along the centerline, of the radius (or of the distance to a free flat end,
    where that is less) plus how deep the centerline lies inside the prism; round the rim of a flat end, of
    how deep the rim lies inside. It goes to zero as the two come to touch. Sampled, then refined to 1e-6 mm
    about the best sample.
    """
    spread = Ragged.of(swept.first, i)
    prism = j[spread.row]
    radius = swept.radius[i[spread.row]]
    pieces = Pieces.of(swept, prisms, spread.row, spread.item, prism, radius)
    lengths = pieces.curve.speed * pieces.curve.span
    total = np.cumsum(lengths)
    before = total - lengths - (total - lengths)[spread.offset][spread.row]
    whole = np.add.reduceat(lengths, spread.offset)[spread.row]
    disks = Disks.of(pieces)
    rims = disks.rims

    curves = Curves(
        *(
            np.concatenate([getattr(pieces.curve, name), getattr(rims, name)], axis=-1)
            for name in ("base", "u", "w", "v", "span")
        )
    )
    pair = np.concatenate([pieces.pair, disks.pair])
    prism = np.concatenate([prism, disks.prism])
    count = len(disks.pair)
    radius = np.concatenate([radius, np.zeros(count)])
    start = np.concatenate([before, np.zeros(count)])
    whole = np.concatenate([whole, np.full(count, np.inf)])

    def reach(k: Index, t: Array) -> Array:
        some = curves.take(k)
        along = start[k] + some.speed * t
        ball = np.minimum(radius[k], np.minimum(along, whole[k] - along))
        return np.asarray(np.maximum(ball, 0.0) - signed_distance(prisms, prism[k], some.at(t)[0].T))

    nodes = np.linspace(0.0, 1.0, _STEPS)[:, None] * curves.span
    everything = np.tile(np.arange(len(pair)), _STEPS)
    sampled = reach(everything, nodes.ravel()).reshape(nodes.shape)
    top = np.argmax(sampled, axis=0)
    value = sampled[top, np.arange(len(pair))]
    order = np.argsort(value, kind="stable")
    leader = np.zeros(len(i), dtype=np.intp)
    leader[pair[order]] = order
    step = curves.span[leader] / (_STEPS - 1)
    at = nodes[top[leader], leader]
    closed = np.isinf(whole[leader])
    lo = np.where(closed, at - step, np.maximum(at - step, 0.0))
    hi = np.where(closed, at + step, np.minimum(at + step, curves.span[leader]))
    for _ in range(24):
        a, b = hi - (hi - lo) * _GOLDEN, lo + (hi - lo) * _GOLDEN
        rising = reach(leader, a) < reach(leader, b)
        lo, hi = np.where(rising, a, lo), np.where(rising, hi, b)
    refined = reach(leader, (lo + hi) / 2.0)
    better = refined > value[leader]
    at = np.where(better, (lo + hi) / 2.0, at)
    points = prisms.from_own(prism[leader], curves.take(leader).at(at)[0].T)
    return np.where(better, refined, value[leader]), points
