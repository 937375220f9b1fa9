"""Swept bar against swept bar: exact gaps between round bars with bends and flat ends.

Two bars come nearest either barrel to barrel, where the line between them stands square on both centerlines;
or at a flat end. So centerlines are measured first (segments in closed form, bends by every local minimum).
Where the nearest point of a centerline is a flat end and the line to it is not square there, the distance
less the radii is
only a lower bound: the end's disk is measured against the other's centerline, and against the other's end.

Overlap. The gap is then negative and its size is how much nearer the centerlines (or an end's disk and a
centerline) are than the radii allow, but no more than the two overlap along the axis of an end concerned;
where only two ends cut each other, no more than the rise of the line they share, as a chord of the smaller
end.
"""

from __future__ import annotations

import numpy as np

from clash.gap_table import Index
from clash.kernel.bars.candidates import Best, capped, leaning, offer_barrels
from clash.kernel.bars.ends import cut_depth, disk_to_disk, disk_to_segment
from clash.kernel.bars.feet import Place
from clash.kernel.bars.pairs import Block, PiecePairs, blocks, floor_of_bends
from clash.kernel.bars.pieces import Mask, Pieces
from clash.kernel.bars.search import minima_along
from clash.kernel.bars.segments import nearest_on_segments
from clash.kernel.bars.vec import along, minus, norm
from clash.kernel.nearest import Nearest
from clash.kernel.tables import SweptTable
from models.motion import Array

SLACK = 1e-9
"""mm: how much less than the best a lower bound has to be to be worth measuring."""
TOUCH = 1e-7
"""mm: ends nearer than this share a point."""


def swept_swept(table: SweptTable, i: Index, j: Index, within: float = np.inf) -> Nearest:
    """Gaps between solids i and j (n,) of a table; what is farther apart than `within` mm may be told as inf.

    NaN where a bar cannot be measured (see `Pieces.unsound`).

    Memory: about 100 bytes a pair of pieces; the caller bounds n.
    """
    pieces = Pieces.of(table)
    best = Best.none_yet(len(i), within)
    boxes = list(blocks(pieces, i, j))
    _straights(best, pieces, PiecePairs.join([box.least_straight(pieces) for box in boxes]))
    near = PiecePairs.join([_still_open(best, box) for box in boxes])
    bend = pieces.bent[near.a] | pieces.bent[near.b]
    undecided = _straights(best, pieces, near.take(~bend))
    curved = near.take(bend & (near.floor < best.limit(near.pair) - SLACK))
    floor = floor_of_bends(pieces, curved)
    curved = PiecePairs(curved.pair, curved.a, curved.b, floor)
    likely = np.lexsort((floor, curved.pair))
    first = np.diff(curved.pair[likely], prepend=-1) > 0
    for which in (
        likely[first],
        likely[~first],
    ):  # the likeliest of each pair of bars, then what can still win
        some = curved.take(which)
        some = some.take(some.floor < best.limit(some.pair) - SLACK)
        undecided = PiecePairs.join([undecided, _bends(best, pieces, some)])
    _ends(best, pieces, undecided)
    unsound = pieces.unsound
    best.gap[unsound[i] | unsound[j]] = np.nan
    return best.nearest()


def _still_open(best: Best, box: Block) -> PiecePairs:
    return box.below(best.limit(box.pair) - SLACK)


def _straights(best: Best, pieces: Pieces, near: PiecePairs) -> PiecePairs:
    """Measure straight against straight; what is left for the ends to decide comes back."""
    a, b = pieces.segments(near.a), pieces.segments(near.b)
    s, t = nearest_on_segments(a, b)
    on_a, on_b = along(a.start, s, a.direction), along(b.start, t, b.direction)
    floor, undecided = offer_barrels(
        best, pieces, near.pair, near.a, near.b, on_a, on_b, _place(s, a.length), _place(t, b.length)
    )
    return PiecePairs(near.pair, near.a, near.b, floor).take(undecided)


def _place(at: Array, length: Array) -> Place:
    return (at >= length).astype(np.int8) - (at <= 0.0)


def _bends(best: Best, pieces: Pieces, near: PiecePairs) -> PiecePairs:
    """Measure bends against anything; what is left for the ends to decide comes back."""
    left = []
    loose = pieces.free_start | pieces.free_end
    swap = ~pieces.bent[near.a]
    arc, other = np.where(swap, near.b, near.a), np.where(swap, near.a, near.b)
    for both in (False, True):
        which = np.flatnonzero(pieces.bent[other] == both)
        if not len(which):
            continue
        sets = pieces.arcs(other[which]) if both else pieces.segments(other[which])
        limit = best.limit(near.pair[which]) + pieces.radius[arc[which]] + pieces.radius[other[which]]
        found = minima_along(pieces.arcs(arc[which]), sets, limit, ~(loose[arc[which]] | loose[other[which]]))
        at = which[found.problem]
        turned = swap[at]
        on_a = np.where(turned, found.on_set, found.on_arc)
        on_b = np.where(turned, found.on_arc, found.on_set)
        place_a = np.where(turned, found.set_place, found.arc_place)
        place_b = np.where(turned, found.arc_place, found.set_place)
        pairs = near.take(at)
        floor, undecided = offer_barrels(
            best, pieces, pairs.pair, pairs.a, pairs.b, on_a, on_b, place_a, place_b
        )
        least = np.full(len(which), np.inf)
        np.minimum.at(least, found.problem[undecided], floor[undecided])
        mine = near.take(which)
        left.append(PiecePairs(mine.pair, mine.a, mine.b, least).take(np.isfinite(least)))
    return PiecePairs.join(left)


def _ends(best: Best, pieces: Pieces, near: PiecePairs) -> None:
    """Measure the flat ends of pieces whose centerlines could not decide."""
    near = near.take(near.floor < best.limit(near.pair) - SLACK)
    k = len(near.pair)
    row, swapped = np.tile(np.arange(k), 4), np.repeat([False, False, True, True], k)
    at_end = np.repeat([False, True, False, True], k)
    one = np.where(swapped, near.b[row], near.a[row])
    free = np.flatnonzero(pieces.is_free(one, at_end))
    _ends_to_barrels(best, pieces, near.take(row[free]), swapped[free], at_end[free])
    near = near.take(near.floor < best.limit(near.pair) - SLACK)
    k = len(near.pair)
    row = np.tile(np.arange(k), 4)
    a_end, b_end = np.repeat([False, False, True, True], k), np.repeat([False, True, False, True], k)
    both = pieces.is_free(near.a[row], a_end) & pieces.is_free(near.b[row], b_end)
    _ends_to_ends(best, pieces, near.take(row[both]), a_end[both], b_end[both])


def _ends_to_barrels(best: Best, pieces: Pieces, near: PiecePairs, swapped: Mask, at_end: Mask) -> None:
    """The ends of a (of b where swapped) against the centerlines of b (of a)."""
    one, other = np.where(swapped, near.b, near.a), np.where(swapped, near.a, near.b)
    for bent in (False, True):
        which = np.flatnonzero(pieces.bent[other] == bent)
        disks = pieces.ends(one[which], at_end[which])
        sets = pieces.arcs(other[which]) if bent else pieces.segments(other[which])
        foot, _ = sets.feet(disks.center)
        limit = best.limit(near.pair[which]) + pieces.radius[other[which]]
        worth = np.flatnonzero(norm(minus(foot, disks.center)) - disks.radius < limit)
        if not len(worth):
            continue
        which, disks = which[worth], disks.take(worth)
        if bent:
            sure = ~(pieces.free_start | pieces.free_end)[other[which]]
            found = minima_along(pieces.arcs(other[which]), disks, limit[worth], sure)
            which, on_disk, on_line, place = which[found.problem], found.on_set, found.on_arc, found.arc_place
        else:
            on_disk, on_line, place = disk_to_segment(disks, pieces.segments(other[which]))
        _offer_ends(best, pieces, near.take(which), swapped[which], on_disk, on_line, place)


def _offer_ends(
    best: Best, pieces: Pieces, near: PiecePairs, swapped: Mask, on_disk: Array, on_line: Array, place: Place
) -> None:
    other = np.where(swapped, near.a, near.b)
    line = minus(on_line, on_disk)
    distance = norm(line)
    gap = distance - pieces.radius[other]
    leans, dropped = leaning(pieces, other, place, line, distance)
    good = np.flatnonzero(~(leans | dropped))
    away = line.take(good, axis=1) / np.where(distance[good] > 0.0, distance[good], 1.0)
    flat = on_disk.take(good, axis=1)
    barrel = np.where(gap[good] < 0.0, flat, on_line.take(good, axis=1) - pieces.radius[other[good]] * away)
    turned = swapped[good]
    best.offer(
        near.pair[good],
        capped(pieces, near.a[good], near.b[good], gap[good]),
        np.where(turned, barrel, flat),
        np.where(turned, flat, barrel),
    )


def _ends_to_ends(best: Best, pieces: Pieces, near: PiecePairs, a_end: Mask, b_end: Mask) -> None:
    disk_a, disk_b = pieces.ends(near.a, a_end), pieces.ends(near.b, b_end)
    limit = best.limit(near.pair)
    apart = norm(minus(disk_a.center, disk_b.center)) - disk_a.radius - disk_b.radius
    which = np.flatnonzero(apart < limit)
    if not len(which):
        return
    near, disk_a, disk_b, limit = near.take(which), disk_a.take(which), disk_b.take(which), limit[which]
    on_a, on_b = disk_to_disk(disk_a, disk_b, np.maximum(limit, TOUCH))
    distance = norm(minus(on_a, on_b))
    rise = cut_depth(disk_a, disk_b)
    cut = (distance <= TOUCH) | (np.isfinite(rise) & (rise > 0.0))
    depth = capped(pieces, near.a, near.b, np.maximum(-rise, near.floor))
    best.offer(near.pair, np.where(cut, depth, distance), on_a, on_b)
