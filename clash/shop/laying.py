"""Laying a drawn plate on the wanted one: every way that its outline allows, and the best of them."""

from __future__ import annotations

from math import atan2, degrees, radians, tau

import numpy as np
from msgspec import Struct

from clash.shop.reading import ShopPlate
from clash.shop.wanted import Wanted
from models.motion import Array, turned_points
from models.outline import Loop
from models.shapes.rings import ring_distances

FARTHEST = 25.4
"""mm: holes farther apart than this are not the same hole, put in a wrong place."""
OUTLINE = 1.6
"""mm (1/16 in): how far an outline may lie off."""


class Laid(Struct, frozen=True, eq=False):
    """One way to lay the drawing on the plate.

    turn: degrees that it is turned; mirrored: whether it is seen from below; edge: mm, how far outlines lie
    apart, None where the drawing has none; pairs: (wanted hole, drawn hole, mm apart); centers: (m, 2) mm,
    the drawn holes in the pier's frame; shift: (2,) mm, after the turn.
    """

    turn: float
    mirrored: bool
    edge: float | None
    pairs: tuple[tuple[int, int, float], ...]
    centers: Array
    shift: Array

    def placed(self, points: Array) -> Array:
        """Points (n, 2) of the drawing, mm, in the pier's frame."""
        flip = np.array([-1.0 if self.mirrored else 1.0, 1.0])
        moved: Array = turned_points(points * flip, radians(self.turn)) + self.shift
        return moved

    def wrong(self, want: Wanted, within: float) -> int:
        """How many holes are missing, extra, or farther off than `within` mm."""
        off = sum(1 for *_, apart in self.pairs if apart > within)
        return len(want.centers) + len(self.centers) - 2 * len(self.pairs) + off

    def score(self, want: Wanted, within: float) -> tuple[int, float]:
        """Less is better: wrong holes, then the sum of the squares of what they are off."""
        return self.wrong(want, within), sum(apart**2 for *_, apart in self.pairs)


def ways(drawn: ShopPlate, want: Wanted) -> list[Laid]:
    """Every way in which the drawn outline (or else the holes) covers the wanted one, mirrored or not."""
    holes = np.array([(r.x, r.y) for r in drawn.rounds])
    found: list[Laid] = []
    for mirrored in (False, True):
        flip = np.array([-1.0, 1.0]) if mirrored else np.array([1.0, 1.0])
        loop = None if drawn.outline is None else _flipped(drawn.outline, mirrored)
        laid = [
            _lay(angle, shift, mirrored, loop, holes * flip, want)
            for angle, shift in _placings(loop, holes * flip, want)
        ]
        if loop is not None and laid:
            least = min(one.edge or 0.0 for one in laid)
            laid = [one for one in laid if (one.edge or 0.0) <= max(OUTLINE, least + 1.0)]
        found += laid
    return found


def _flipped(loop: Loop, mirrored: bool) -> Loop:
    if not mirrored:
        return loop
    flip = np.array([-1.0, 1.0])
    return Loop(loop.starts * flip, -loop.sweeps, loop.centers * flip).reversed()


def _placings(loop: Loop | None, holes: Array, want: Wanted) -> list[tuple[float, Array]]:
    """Turns (rad) with the shift (2,) after them that may lay the drawing on the plate."""
    if loop is None:
        return _by_holes(holes, want.centers)
    here, there = centroid(loop), centroid(want.outer)
    corners, wanted = _corners(loop), _corners(want.outer)
    if len(corners) < 3 or len(wanted) < 3:  # round: only the holes say how it is turned
        mine, theirs = holes - here, want.centers - there
    else:
        mine, theirs = corners - here, wanted - there
    far = int(np.argmax(np.hypot(*theirs.T)))
    reach = float(np.hypot(*theirs[far]))
    angles = [
        atan2(theirs[far][1], theirs[far][0]) - atan2(p[1], p[0])
        for p in mine
        if abs(float(np.hypot(*p)) - reach) < FARTHEST
    ]
    if len(corners) >= 3:  # a plate of another size still lies square to the wanted one
        side, other = _longest(loop), _longest(want.outer)
        angles += [other - side + k * tau / 4.0 for k in range(4)]
    return [(angle, there - turned_points(here[None], angle)[0]) for angle in _different(angles)]


def _by_holes(holes: Array, centers: Array) -> list[tuple[float, Array]]:
    """Without an outline: every way to lay two holes on the two wanted ones that are farthest apart."""
    if len(centers) < 2 or len(holes) < 2:
        return [(0.0, centers.mean(axis=0) - holes.mean(axis=0))]
    gaps = np.hypot(*(centers[:, None] - centers[None]).transpose(2, 0, 1))
    i, j = np.unravel_index(int(np.argmax(gaps)), gaps.shape)
    out: list[tuple[float, Array]] = []
    for a in range(len(holes)):
        for b in range(len(holes)):
            step = holes[b] - holes[a]
            if a == b or abs(float(np.hypot(*step)) - gaps[i, j]) > FARTHEST:
                continue
            aim = centers[j] - centers[i]
            angle = atan2(aim[1], aim[0]) - atan2(step[1], step[0])
            middle = (centers[i] + centers[j]) / 2.0
            out.append((angle, middle - turned_points((holes[a] + holes[b])[None] / 2.0, angle)[0]))
    return out or [(0.0, centers.mean(axis=0) - holes.mean(axis=0))]


def _lay(angle: float, shift: Array, mirrored: bool, loop: Loop | None, holes: Array, want: Wanted) -> Laid:
    placed = turned_points(holes, angle) + shift
    edge = None
    if loop is not None:
        moved = Loop(
            turned_points(loop.starts, angle) + shift, loop.sweeps, turned_points(loop.centers, angle) + shift
        )
        edge = max(
            float(ring_distances(want.outer, moved.polyline(0.05)).max()),
            float(ring_distances(moved, want.outer.polyline(0.05)).max()),
        )
    turned = degrees(angle) % 360.0
    return Laid(
        0.0 if turned > 359.995 else turned, mirrored, edge, _pairs(placed, want.centers), placed, shift
    )


def _pairs(placed: Array, centers: Array) -> tuple[tuple[int, int, float], ...]:
    """Wanted and drawn holes together, the nearest first, each once."""
    apart = np.hypot(*(centers[:, None] - placed[None]).transpose(2, 0, 1))
    out: list[tuple[int, int, float]] = []
    order = np.dstack(np.unravel_index(np.argsort(apart, axis=None), apart.shape))[0]
    left, right = set(range(len(centers))), set(range(len(placed)))
    for i, j in order.tolist():
        if apart[i, j] > FARTHEST:
            break
        if i in left and j in right:
            left.remove(i)
            right.remove(j)
            out.append((i, j, float(apart[i, j])))
    return tuple(sorted(out))


def _different(angles: list[float]) -> list[float]:
    kept: list[float] = []
    for angle in angles:
        if not any(abs((angle - k + tau / 2.0) % tau - tau / 2.0) < 1e-6 for k in kept):
            kept.append(angle)
    return kept


def _corners(loop: Loop) -> Array:
    """(k, 2): where the ring turns by more than a degree, or straight edges meet arcs."""
    before, after = _directions(loop)
    turn = np.abs((after - np.roll(before, 1) + tau / 2.0) % tau - tau / 2.0)
    mixed = (loop.sweeps == 0.0) != (np.roll(loop.sweeps, 1) == 0.0)
    corners: Array = loop.starts[(turn > 0.02) | mixed]
    return corners


def _directions(loop: Loop) -> tuple[Array, Array]:
    """(n,) rad: the way in which each edge ends, and in which it starts."""
    along = loop.ends - loop.starts
    chord = np.arctan2(along[:, 1], along[:, 0])
    half = loop.sweeps / 2.0
    return chord + half, chord - half


def _longest(loop: Loop) -> float:
    along = loop.ends - loop.starts
    longest = along[int(np.argmax(np.where(loop.sweeps == 0.0, np.hypot(*along.T), 0.0)))]
    return atan2(longest[1], longest[0])


def centroid(loop: Loop) -> Array:
    """(2,) center of area; arcs in fine chords."""
    p = loop.polyline(max(1e-6 * loop.perimeter, 1e-3))
    q = np.roll(p, -1, axis=0)
    cross = p[:, 0] * q[:, 1] - q[:, 0] * p[:, 1]
    center: Array = ((p + q) * cross[:, None]).sum(axis=0) / (3.0 * cross.sum())
    return center
