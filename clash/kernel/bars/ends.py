"""Flat ends: an end's disk against a straight centerline, and against another end's disk."""

from __future__ import annotations

import numpy as np

from clash.kernel.bars.feet import Disks, Place, Segments
from clash.kernel.bars.search import minima_along
from clash.kernel.bars.vec import along, cross, dot, minus, norm
from models.motion import Array

ROUNDS = 40
ENOUGH = 1e-12
"""mm2: how far half a squared distance may be above its least: 1e-9 mm at a distance of a thousandth."""


def disk_to_segment(disks: Disks, segments: Segments) -> tuple[Array, Array, Place]:
    """Where n disks come nearest to n segments: (3, n) on the disk, (3, n) on the segment, place on the
    segment.

    The distance to a disk is convex along a line, so its slope has one root; it lies within a radius of the
    foot of the disk's center.
    """
    foot = dot(minus(disks.center, segments.start), segments.direction)
    low = np.clip(foot - disks.radius, 0.0, segments.length)
    high = np.clip(foot + disks.radius, 0.0, segments.length)

    def slope(t: Array) -> tuple[Array, Array, Array]:
        point = along(segments.start, t, segments.direction)
        near, _ = disks.feet(point)
        return dot(minus(point, near), segments.direction), point, near

    at_low, at_high = slope(low)[0], slope(high)[0]
    # where the slope has no change of sign the answer is an end of the stretch
    high = np.where(at_low >= 0.0, low, high)
    low = np.where((at_high <= 0.0) & (at_low < 0.0), high, low)
    at_low, at_high = np.minimum(at_low, -1e-300), np.maximum(at_high, 1e-300)
    last = np.zeros(len(low), dtype=np.int8)
    t, done = low.copy(), np.zeros(len(low), dtype=bool)
    for count in range(ROUNDS):
        # every third step halves, so that a slope with a sharp knee cannot stall
        secant = (low * at_high - high * at_low) / (at_high - at_low)
        here = (low + high) / 2.0 if count % 3 == 2 else np.clip(secant, low, high)
        at = slope(here)[0]
        # half the squared distance is convex: it is no more than slope times width above its least
        t = np.where(done, t, here)
        done |= (np.abs(at) * (high - low) < ENOUGH) | (high - low < 1e-10)
        if done.all():
            break
        falling = at < 0.0
        at_high = np.where(falling, np.where(last == -1, at_high / 2.0, at_high), np.maximum(at, 1e-300))
        at_low = np.where(falling, np.minimum(at, -1e-300), np.where(last == 1, at_low / 2.0, at_low))
        low, high = np.where(falling, here, low), np.where(falling, high, here)
        last = np.where(falling, -1, 1).astype(np.int8)
    _, point, near = slope(t)
    place = (t >= segments.length - 1e-9).astype(np.int8) - (t <= 1e-9)
    return near, point, place


def disk_to_disk(a: Disks, b: Disks, limit: Array) -> tuple[Array, Array]:
    """Where n pairs of disks come nearest: (3, n) on a, (3, n) on b; the same point where they meet.

    A nearest pair always has a point on a rim, so both rims are searched.
    limit: (n,) mm; distances that are certainly no less need not be right.
    """
    n = len(a.radius)
    least_only = np.ones(n, dtype=bool)
    forth = minima_along(a.rims(), b, limit, least_only)
    back = minima_along(b.rims(), a, limit, least_only)
    on_a = np.concatenate([forth.on_arc, back.on_set], axis=1)
    on_b = np.concatenate([forth.on_set, back.on_arc], axis=1)
    problem = np.concatenate([forth.problem, back.problem])
    order = np.lexsort((norm(minus(on_a, on_b)), problem))
    first = order[np.searchsorted(problem[order], np.arange(n))]
    return on_a.take(first, axis=1), on_b.take(first, axis=1)


def cut_depth(a: Disks, b: Disks) -> Array:
    """(n,) mm: how deep n pairs of disks cut each other: the rise of the line they share as a chord of the
    smaller.

    Infinite where they lie in parallel planes.
    """
    line = cross(a.normal, b.normal)
    sine = norm(line)
    line = line / np.where(sine > 0.0, sine, 1.0)
    between = minus(b.center, a.center)
    # from a's center to the line, in a's plane, square to it; and likewise for b
    sideways_a, sideways_b = cross(line, a.normal), cross(line, b.normal)

    def to_line(sideways: Array, other_normal: Array, other_offset: Array) -> Array:
        return np.asarray(other_offset / np.where(sine > 0.0, dot(sideways, other_normal), 1.0))

    with np.errstate(divide="ignore", invalid="ignore"):
        off_a = to_line(sideways_a, b.normal, dot(between, b.normal))
        off_b = to_line(sideways_b, a.normal, -dot(between, a.normal))
    half_a = np.sqrt(np.maximum(a.radius**2 - off_a**2, 0.0))
    half_b = np.sqrt(np.maximum(b.radius**2 - off_b**2, 0.0))
    middle = dot(between, line)
    shared = np.minimum(half_a, middle + half_b) - np.maximum(-half_a, middle - half_b)
    shared = np.maximum(shared, 0.0)
    rise = shared**2 / (8.0 * np.minimum(a.radius, b.radius))
    return np.where(sine > 1e-9, rise, np.inf)
