"""What would make a plate drop on that does not: figures for the engineer to decide by, no instructions."""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from clash.fits.drop_on import Fits, Plates, best_moves, turned
from clash.fits.enclosing import Index

CLOSE = 0.05
"""mm: how closely the least that a single hole lacks is known; it is told from above."""
_HALVINGS = 40


class InTheWay(Struct, frozen=True, eq=False):
    """A rod without which a plate would drop on.

    plate: which of the plates; rod: which of its rods; by: mm, the least that the rod has to go, or its hole
    alone has to grow by in radius, for the plate to drop on; toward: (2,) unit, in the plate's plan axes,
    which way the rod has to go (the hole grows the other way).
    """

    plate: int
    rod: int
    by: float
    toward: tuple[float, float]


def rods_in_the_way(plates: Plates, found: Fits, need: float, rod_of: Index) -> list[InTheWay]:
    """Every rod that alone keeps its plate from dropping on, for each of the n plates that does not.

    found: the best moves of `plates`; need: mm of room that counts as dropping on; rod_of: (k,) the rod that
    each column of `plates` belongs to (a leaning rod has two).
    """
    stuck = np.flatnonzero(found.room < need)
    count = int(rod_of.max()) + 1 if len(rod_of) else 0
    plate, rod = np.repeat(stuck, count), np.tile(np.arange(count, dtype=np.intp), len(stuck))
    its = rod_of[None, :] == rod[:, None]
    real = np.any(its & np.isfinite(plates.slack[plate]), axis=1)
    others = np.any(~its & np.isfinite(plates.slack[plate]), axis=1)
    plate, rod, its = plate[real & others], rod[real & others], its[real & others]
    if not len(plate):
        return []
    alone = plates.only(plate)
    without = best_moves(replace(alone, slack=np.where(its, np.inf, alone.slack)), CLOSE / 5.0)
    frees = without.room >= need
    if not frees.any():
        return []
    plate, rod, its, alone = plate[frees], rod[frees], its[frees], alone.only(np.flatnonzero(frees))
    # The room grows by no more than the hole's radius does, and the move that the others like best will do.
    at_that = np.where(its, alone.rooms(without.turn[frees], without.shift[frees]), np.inf).min(axis=1)
    low, high = need - found.room[plate], np.maximum(need - at_that, need - found.room[plate])
    turn, shift = without.turn[frees].copy(), without.shift[frees].copy()
    for _ in range(_HALVINGS):
        if np.all(high - low <= CLOSE):
            break
        middle = (low + high) / 2.0
        grown = np.where(its, alone.slack + middle[:, None], alone.slack)
        tried = best_moves(replace(alone, slack=grown), CLOSE / 5.0)
        enough = tried.room >= need
        high, low = np.where(enough, middle, high), np.where(enough, low, middle)
        turn, shift = np.where(enough, tried.turn, turn), np.where(enough[:, None], tried.shift, shift)
    off = turned(alone.holes, turn) + shift[:, None, :] - alone.rods
    worst = np.argmin(np.where(its, alone.slack - np.hypot(off[..., 0], off[..., 1]), np.inf), axis=1)
    way = off[np.arange(len(worst)), worst]
    way = way / np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-300)[:, None]
    return [
        InTheWay(int(p), int(r), float(by), (float(x), float(y)))
        for p, r, by, (x, y) in zip(plate, rod, high, way, strict=True)
    ]
