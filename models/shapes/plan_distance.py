"""How far bars keep from points of the plan, seen from above: enough to choose where a bar has room."""

from __future__ import annotations

from collections.abc import Sequence
from math import tau

import numpy as np

from models.motion import Array
from models.shapes.spine import cross
from models.solids import Swept


def plan_clear(points: Array, bars: Sequence[Swept]) -> Array:
    """(m, k) mm: from each of (m, 2) points to the surface of each of k bars, in plan; negative inside.

    Bars lie nearly level, so that each of their pieces is a straight or a circular line in plan (a tie's
    tilt of a few hundredths moves this by less than 0.1 mm). Heights do not count.
    """
    count = [len(bar.angles) for bar in bars]
    start = np.concatenate([bar.knots[:-1, :2] for bar in bars])
    end = np.concatenate([bar.knots[1:, :2] for bar in bars])
    angle = np.concatenate([bar.angles for bar in bars])
    away = np.empty((len(points), len(angle)))
    bent = angle > 0.0
    away[:, ~bent] = _from_straight(points, start[~bent], end[~bent])
    if bent.any():
        center = np.concatenate([bar.centers[:, :2] for bar in bars])[bent]
        sense = np.sign(np.concatenate([bar.axes[:, 2] for bar in bars])[bent])
        away[:, bent] = _from_bend(points, start[bent], end[bent], center, angle[bent] * sense)
    first = np.concatenate([[0], np.cumsum(count)[:-1]])
    least: Array = np.minimum.reduceat(away, first, axis=1) - np.array([bar.radius for bar in bars])
    return least


def _from_straight(points: Array, start: Array, end: Array) -> Array:
    """(m, n): from (m, 2) points to n straight pieces."""
    along = end - start
    length2 = np.maximum(np.einsum("ij,ij->i", along, along), 1e-18)
    rel = points[:, None, :] - start
    s = np.clip(np.einsum("mnj,nj->mn", rel, along) / length2, 0.0, 1.0)
    off = rel - s[..., None] * along
    away: Array = np.hypot(off[..., 0], off[..., 1])
    return away


def _from_bend(points: Array, start: Array, end: Array, center: Array, sweep: Array) -> Array:
    """(m, n): from (m, 2) points to n bends of signed sweep (rad, counterclockwise positive)."""
    arm = start - center
    rel = points[:, None, :] - center
    turn = np.arctan2(
        arm[:, 0] * rel[..., 1] - arm[:, 1] * rel[..., 0], arm[:, 0] * rel[..., 0] + arm[:, 1] * rel[..., 1]
    )
    turn = (turn * np.sign(sweep)) % tau
    on = np.abs(np.hypot(rel[..., 0], rel[..., 1]) - np.hypot(arm[:, 0], arm[:, 1]))
    to_start = points[:, None, :] - start
    to_end = points[:, None, :] - end
    ends = np.minimum(np.hypot(to_start[..., 0], to_start[..., 1]), np.hypot(to_end[..., 0], to_end[..., 1]))
    return np.where(turn <= np.abs(sweep), on, ends)


def plan_points(bar: Swept, step: float) -> Array:
    """(m, 2) points along a bar's centerline in plan, at most about `step` mm apart."""
    out: list[Array] = []
    for i, length in enumerate(bar.lengths):
        n = int(length // step) + 2
        s = np.linspace(0.0, 1.0, n)[:, None]
        if bar.angles[i] == 0.0:
            out.append((bar.knots[i] + s * (bar.knots[i + 1] - bar.knots[i]))[:, :2])
            continue
        arm = bar.knots[i] - bar.centers[i]
        a = s * bar.angles[i]
        ahead = cross(bar.axes[i : i + 1], arm[None, :])
        out.append((bar.centers[i] + np.cos(a) * arm + np.sin(a) * ahead)[:, :2])
    return np.concatenate(out)
