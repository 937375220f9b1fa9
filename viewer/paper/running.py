"""Running dimensions: every figure from one reference edge, none from another dimension."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import pi

from viewer.drawing.layers import Layer
from viewer.drawing.marks import Line, Point, Text
from viewer.drawing.page import Draft

HEIGHT = 2.0
"""mm: of the figures."""
_GAP, _RUN, _KINK = 1.0, 4.0, 3.0
"""mm of paper: from the edge to the line, its straight run, and where it may step aside."""


def along_bottom(draft: Draft, low: float, places: Sequence[float], words: Callable[[float], str]) -> None:
    """Figures under the edge at y = `low`, one at each x of `places` (mm of the thing)."""
    for x, aside in _spread(places, draft.per):
        _stroke(draft, [(x, low - _GAP), (x, low - _RUN), (aside, low - _KINK - _RUN)], upright=True)
        at = (aside + HEIGHT / 2.0 * draft.per, low - (_KINK + _RUN + 1.0) * draft.per)
        draft.add(Text(Layer.DIMENSIONS, at, words(x), HEIGHT, "right", pi / 2.0))


def along_left(draft: Draft, left: float, places: Sequence[float], words: Callable[[float], str]) -> None:
    """Figures left of the edge at x = `left`, one at each y of `places` (mm of the thing)."""
    for y, aside in _spread(places, draft.per):
        _stroke(draft, [(left - _GAP, y), (left - _RUN, y), (left - _KINK - _RUN, aside)], upright=False)
        at = (left - (_KINK + _RUN + 1.0) * draft.per, aside - HEIGHT / 2.0 * draft.per)
        draft.add(Text(Layer.DIMENSIONS, at, words(y), HEIGHT, "right"))


def _stroke(draft: Draft, points: list[Point], *, upright: bool) -> None:
    """A line through points whose distance from the edge is in mm of paper."""
    i = 1 if upright else 0
    edge = points[0][i] + _GAP
    scaled = []
    for point in points:
        out = edge + (point[i] - edge) * draft.per
        scaled.append((point[0], out) if upright else (out, point[1]))
    draft.add(*(Line(Layer.DIMENSIONS, a, b) for a, b in pairwise(scaled)))


def _spread(places: Sequence[float], per: float) -> list[tuple[float, float]]:
    """Each different place, and where its figure stands so that figures do not touch."""
    kept: list[float] = []
    for place in sorted(places):
        if not kept or place - kept[-1] > 1e-3:
            kept.append(place)
    pitch = 1.55 * HEIGHT * per
    # Pool neighbors that would touch round their common middle, as often as pools touch again.
    pools: list[list[float]] = []
    for place in kept:
        pools.append([place])
        while len(pools) > 1 and _low(pools[-1], pitch) - _high(pools[-2], pitch) < pitch:
            last = pools.pop()
            pools[-1] += last
    out = []
    for pool in pools:
        first = sum(pool) / len(pool) - (len(pool) - 1) / 2.0 * pitch
        out += [(place, first + i * pitch) for i, place in enumerate(pool)]
    return out


def _low(pool: list[float], pitch: float) -> float:
    return sum(pool) / len(pool) - (len(pool) - 1) / 2.0 * pitch


def _high(pool: list[float], pitch: float) -> float:
    return sum(pool) / len(pool) + (len(pool) - 1) / 2.0 * pitch
