"""Flat ends of bars against prisms: the disk itself, and the circle round it."""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from clash.kernel.bars.vec import dot, norm
from clash.kernel.prism_table import PrismTable
from clash.kernel.prisms.bar_sides import CLOSER, Flags, Pieces, offer_points, walls_near
from clash.kernel.prisms.best import Best
from clash.kernel.prisms.walls import Curves, Walls, even_nodes, search
from clash.kernel.tables import Index
from models.motion import Array


class Disks(Struct, frozen=True, eq=False):
    """Flat ends, one prism each, in that prism's own frame.

    pair, prism: (n,); radius: (n,) mm; center: (3, n); out: (3, n) unit, away from the bar.
    """

    pair: Index
    prism: Index
    radius: Array
    center: Array
    out: Array

    @staticmethod
    def of(pieces: Pieces) -> Disks:
        """The free flat ends of some pieces."""
        a, b = np.flatnonzero(pieces.free_start), np.flatnonzero(pieces.free_end)
        k = np.concatenate([a, b])
        return Disks(
            pair=pieces.pair[k],
            prism=pieces.prism[k],
            radius=pieces.radius[k],
            center=np.concatenate([pieces.start[:, a], pieces.end[:, b]], axis=1),
            out=np.concatenate([-pieces.at_start[:, a], pieces.at_end[:, b]], axis=1),
        )

    def take(self, k: Index) -> Disks:
        """Some of them."""
        columns = (self.center.take(k, axis=1), self.out.take(k, axis=1))
        return Disks(self.pair[k], self.prism[k], self.radius[k], *columns)

    @property
    def rims(self) -> Curves:
        """The circle round each."""
        return rims_of(self.center, self.out, self.radius)


def rims_of(center: Array, out: Array, radius: Array, level: Flags | bool = False) -> Curves:
    """Circles about centers (3, n), square to out (3, n); where `level`, the ellipse that a level cut
    leaves.
    """
    # the coordinate axis that the normal leans on least gives a well-turned first arm
    helper = np.zeros_like(out)
    helper[np.argmin(np.abs(out), axis=0), np.arange(out.shape[1])] = 1.0
    w = np.cross(out, helper, axis=0)
    w = w / norm(w) * radius
    v = np.cross(out, w, axis=0)
    rise = np.where(level, out[2], 1.0)
    w, v = (arm - np.where(level, arm[2] / rise, 0.0) * out for arm in (w, v))
    return Curves.arcs(center, w, v, np.full(out.shape[1], 2 * np.pi))


def offer_ends(best: Best, prisms: PrismTable, disks: Disks) -> None:
    """Everything that the nearest point of a flat end can be; points of the disk are real points, so none is
    wrong.
    """
    if len(disks.pair) == 0:
        return
    _offer_steepest(best, prisms, disks)
    offer_ends_to_walls(best, prisms, disks)


def offer_ends_to_walls(best: Best, prisms: PrismTable, disks: Disks) -> None:
    """What the nearest point of a flat end can be, the faces above and below left out."""
    swell = disks.radius * np.sqrt(np.maximum(1.0 - disks.out**2, 0.0))
    row, walls, _ = walls_near(
        prisms,
        disks.prism,
        disks.center - swell,
        disks.center + swell,
        np.maximum(best.gap[disks.pair], 2 * CLOSER),
    )
    if len(row) == 0:
        return
    near = disks.take(row)
    foot = walls.feet(near.center)
    dist = np.sqrt(np.sum((near.center - foot) ** 2, axis=0))
    best.offer(near.pair, dist, near.center, foot)
    k = np.flatnonzero(dist - near.radius < np.maximum(best.gap[near.pair] - CLOSER, CLOSER))
    if len(k) == 0:
        return
    near, walls = near.take(k), walls.take(k)
    _offer_corners(best, near, walls)
    _offer_pierced(best, near, walls)
    k = np.flatnonzero(dist[k] - near.radius < np.maximum(best.gap[near.pair] - CLOSER, CLOSER))
    near, walls = near.take(k), walls.take(k)
    if len(k) == 0:
        return
    rims = near.rims
    value, t = search(rims, walls, even_nodes(rims.span, 17), best.gap[near.pair] - CLOSER, True)
    point = rims.at(t)[0]
    best.offer(near.pair, value, point, walls.feet(point))


def _offer_steepest(best: Best, prisms: PrismTable, disks: Disks) -> None:
    """The highest and lowest points of the rim against the faces below and above; the disk's center as
    well.
    """
    n = disks.out
    steep = -n * n[2]
    steep[2] += 1.0
    size = norm(steep)
    k = np.flatnonzero(size > 1e-9)
    arm = steep[:, k] / size[k] * disks.radius[k]
    # a rim that reaches through a prism from face to face has a point inside at half its height
    prism = disks.prism[k]
    rise = (prisms.bottom[prism] + prisms.top[prism]) / 2.0 - disks.center[2, k]
    m = np.flatnonzero(np.abs(rise) <= arm[2])
    share = rise[m] / np.where(arm[2, m] > 0.0, arm[2, m], 1.0)
    level = np.cross(n[:, k[m]], arm[:, m], axis=0) * np.sqrt(np.maximum(1.0 - share**2, 0.0))
    half = disks.center[:, k[m]] + arm[:, m] * share + level
    at = np.concatenate([disks.center, disks.center[:, k] + arm, disks.center[:, k] - arm, half], axis=1)
    row = np.concatenate([np.arange(len(disks.pair)), k, k, k[m]])
    offer_points(best, prisms, disks.pair[row], disks.prism[row], at, np.zeros(len(row)))


def _offer_corners(best: Best, disks: Disks, walls: Walls) -> None:
    """Corners of a wall, and the points of a circular edge farthest along the bar, straight before the
    disk.
    """
    e = walls.edges
    flat = np.hypot(disks.out[0], disks.out[1])
    level = np.where(flat > 0.0, flat, 1.0)
    dx, dy = disks.out[0] / level, disks.out[1] / level
    plan = [(np.ones(len(e), dtype=bool), e.sx, e.sy), (np.ones(len(e), dtype=bool), e.ex, e.ey)]
    for sign in (1.0, -1.0):
        on = e.arc & (flat > 0.0) & (sign * (dx * e.mx + dy * e.my) >= e.reach)
        plan.append((on, e.cx + sign * e.radius * dx, e.cy + sign * e.radius * dy))
    for on, x, y in plan:
        k = np.flatnonzero(on)
        for z in (walls.bottom, walls.top):
            point = np.array([x[k], y[k], z[k]])
            rel = point - disks.center[:, k]
            ahead = dot(rel, disks.out[:, k])
            aside = rel - ahead * disks.out[:, k]
            before = np.flatnonzero((ahead >= 0.0) & (dot(aside, aside) <= disks.radius[k] ** 2))
            best.offer(
                disks.pair[k[before]],
                ahead[before],
                disks.center[:, k[before]] + aside[:, before],
                point[:, before],
            )


def _offer_pierced(best: Best, disks: Disks, walls: Walls) -> None:
    """Edges of a prism that run through the disk: an overlap, valued by how far it is from ceasing."""
    e = walls.edges
    for x, y in ((e.sx, e.sy), (e.ex, e.ey)):
        _pierce(best, disks, np.array([x, y, walls.bottom]), np.array([x, y, walls.top]), np.arange(len(e)))
    k = np.flatnonzero(~e.arc)
    for z in (walls.bottom, walls.top):
        _pierce(best, disks, np.array([e.sx, e.sy, z])[:, k], np.array([e.ex, e.ey, z])[:, k], k)
    k = np.flatnonzero(e.arc)
    if len(k) == 0:
        return
    arcs, side = disks.take(k), e.take(k)
    flat = np.hypot(arcs.out[0], arcs.out[1])
    level = np.where(flat > 0.0, flat, 1.0)
    dx, dy = arcs.out[0] / level, arcs.out[1] / level
    for z in (walls.bottom[k], walls.top[k]):
        hub = np.array([side.cx, side.cy, z]) - arcs.center
        # the edge lies in the disk's plane where its radius along the normal makes up for the hub's distance
        along = -dot(hub, arcs.out) / np.where(flat > 0.0, flat, np.nan)
        half = np.sqrt(np.maximum(side.radius**2 - along**2, 0.0))
        for sign in (1.0, -1.0):
            ax, ay = dx * along - sign * dy * half, dy * along + sign * dx * half
            rel = hub + np.array([ax, ay, np.zeros_like(ax)])
            off = norm(rel)
            hit = (
                (half > 0.0) & (off < arcs.radius) & (ax * side.mx + ay * side.my > side.radius * side.reach)
            )
            m = np.flatnonzero(hit)
            depth = np.minimum(arcs.radius - off, (side.radius - np.abs(along)) * flat)[m]
            at = (arcs.center + rel)[:, m]
            best.offer(arcs.pair[m], -depth, at, at)


def _pierce(best: Best, disks: Disks, start: Array, end: Array, row: Index) -> None:
    """Segments (3, k) through disks `row` (k,)."""
    center, out = disks.center[:, row], disks.out[:, row]
    a, b = np.sum((start - center) * out, axis=0), np.sum((end - center) * out, axis=0)
    k = np.flatnonzero(a * b < 0.0)
    if len(k) == 0:
        return
    at = start[:, k] + (end[:, k] - start[:, k]) * (a[k] / (a[k] - b[k]))
    off = np.sqrt(np.sum((at - center[:, k]) ** 2, axis=0))
    depth = np.minimum(np.minimum(np.abs(a[k]), np.abs(b[k])), disks.radius[row[k]] - off)
    hit = np.flatnonzero(depth > 0.0)
    best.offer(disks.pair[row[k[hit]]], -depth[hit], at[:, hit], at[:, hit])
