"""Bars as the shop that bends them reads them: legs out to out, bends, a sketch."""

from __future__ import annotations

from math import degrees, hypot, pi, tan

import numpy as np
from msgspec import Struct

from models.lengths import Units, show_length
from models.motion import Array
from models.solids import Swept
from viewer.drawing.layers import Layer
from viewer.drawing.marks import Box, Path
from viewer.drawing.page import Draft

_SMALL = 0.01
"""mm: a straight piece shorter than this is none."""


class Leg(Struct, frozen=True):
    """A straight piece, out to out of its bends, mm; at: its middle; then: rad, the bend after it, or 0."""

    length: float
    at: tuple[float, float, float]
    then: float


def legs(bar: Swept) -> list[Leg]:
    """The straight pieces of a bar in order, out to out.

    At a bend of up to 90 degrees a leg ends where the outsides of the two legs would meet, at a sharper one
    at the outermost point of the bend: (inside radius + diameter) * tan(half of the bend, at most 45 degrees)
    beyond the straight piece. Closed form.
    """
    out: list[Leg] = []
    n = len(bar.angles)
    radii = np.linalg.norm(bar.knots[:-1] - bar.centers, axis=1) + bar.radius
    for i in np.flatnonzero(bar.angles == 0.0):
        start, end = bar.knots[i], bar.knots[i + 1]
        length = float(np.linalg.norm(end - start))
        if length < _SMALL:
            continue
        for k in (i - 1, i + 1):
            if 0 <= k < n and bar.angles[k] > 0.0:
                length += float(radii[k]) * tan(min(float(bar.angles[k]), pi / 2.0) / 2.0)
        then = _turn_after(bar, radii, int(i))
        x, y, z = ((start + end) / 2.0).tolist()
        out.append(Leg(length, (x, y, z), then))
    return out


def _turn_after(bar: Swept, radii: Array, piece: int) -> float:
    """rad: the bend after a piece; bends of one radius that follow each other are one (a half-turn hook)."""
    turn = 0.0
    for k in range(piece + 1, len(bar.angles)):
        if bar.angles[k] == 0.0 or abs(radii[k] - radii[piece + 1]) > _SMALL:
            break
        turn += float(bar.angles[k])
    return turn


def inside_bend(bar: Swept) -> float | None:
    """The least inside diameter of the bends, mm; None for a straight bar."""
    bent = bar.angles > 0.0
    if not bent.any():
        return None
    radii = np.linalg.norm(bar.knots[:-1] - bar.centers, axis=1)[bent]
    return 2.0 * (float(radii.min()) - bar.radius)


def shape_words(bar: Swept, units: Units) -> str:
    """`straight`; or legs out to out with the bends between; or `ring` with its outside diameter."""
    bend = inside_bend(bar)
    if bend is None:
        return "straight"
    around = ring(bar)
    parts = legs(bar)
    words = [] if around is None else [f"ring {show_length(around, units)} outside,"]
    if not parts:
        words.append("ends lapped")
    for leg in parts:
        words.append(show_length(leg.length, units))
        if leg.then:
            words.append(f"({degrees(leg.then):.0f}\u00b0)")
    return " ".join(words)


def ring(bar: Swept) -> float | None:
    """The outside diameter of a bar bent round a circle, mm: more of it runs on one circle than all else."""
    bent = bar.angles > 0.0
    radii = np.linalg.norm(bar.knots[:-1] - bar.centers, axis=1)
    if not bent.any():
        return None
    widest = float(np.nanmax(radii))
    on = bent & (np.abs(radii - widest) < _SMALL)
    if float(bar.lengths[on].sum()) < bar.length / 2.0:
        return None
    return 2.0 * (widest + bar.radius)


def sketch(draft: Draft, bar: Swept, room: Box, units: Units) -> None:
    """The bar flat in its own plane, as large as the room (mm of paper) lets it be, not to scale.

    Its legs carry their lengths.
    """
    line = _centerline(bar)
    center = line.mean(axis=0)
    _, _, axes = np.linalg.svd(line - center, full_matrices=False)
    plane = _along(bar, axes[:2])
    flat = (line - center) @ plane.T
    low, high = flat.min(axis=0), flat.max(axis=0)
    wide, tall = room.right - room.left, room.high - room.low
    size = np.maximum(high - low, 1e-6)
    per = float(max(size[0] / wide, size[1] / tall))
    middle = np.array([(room.left + room.right) / 2.0, (room.low + room.high) / 2.0])

    def on(points: Array) -> Array:
        placed: Array = (points - (low + high) / 2.0) / per + middle
        return placed

    draft.add(Path(Layer.OUTLINE, tuple(draft.at(x, y) for x, y in on(flat).tolist())))
    parts = legs(bar)
    if len(parts) == 1 and inside_bend(bar) is None:
        return
    for leg in parts:
        x, y = on(((np.array(leg.at) - center) @ plane.T)[None, :])[0].tolist()
        draft.beside(draft.at(x, y), show_length(leg.length, units), 0.4, 1.8)


def _along(bar: Swept, plane: Array) -> Array:
    """(2, 3) the axes of a plane, turned so that the longest leg of a bent bar lies level."""
    straight = np.flatnonzero(bar.angles == 0.0)
    if len(straight) == 0:
        return plane
    longest = straight[np.argmax(bar.lengths[straight])]
    x, y = (plane @ (bar.knots[longest + 1] - bar.knots[longest])).tolist()
    reach = hypot(x, y)
    if reach < _SMALL:
        return plane
    c, s = x / reach, y / reach
    turned: Array = np.array([[c, s], [-s, c]]) @ plane
    return turned


def _centerline(bar: Swept) -> Array:
    """(m, 3) points along the centerline, bends in chords true to 2 % of their radius."""
    from models.shapes.mesh import stations

    bent = bar.angles > 0.0
    radii = np.linalg.norm(bar.knots[:-1] - bar.centers, axis=1)[bent]
    least = float(radii.min()) if len(radii) else 1.0
    points, _ = stations(bar, 0.02 * least)
    return points
