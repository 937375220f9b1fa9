"""Dimension chains: figure after figure along an edge, each between two ticks."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import pi

from viewer.drawing.layers import Layer
from viewer.drawing.letters import width
from viewer.drawing.marks import Line, Point, Text, box_of
from viewer.drawing.page import Draft

HEIGHT = 1.9
"""mm: of the figures."""
_SMALL = 1.6
"""mm: of the figures that stand across a short run."""
ACROSS = 8.2
"""mm of paper that they may take up outside of the chain."""
_TICK = 0.8
_ROOM = 0.9
"""mm of paper: half of a tick, and what a figure keeps from its neighbors."""
STEP = 4.4
"""mm of paper from one chain to the next: a line with its figures."""


def chain(
    draft: Draft,
    places: Sequence[float],
    words: Sequence[str],
    edge: float,
    line: float,
    *,
    upright: bool = False,
) -> float:
    """Figures `words` between neighboring `places` (mm on paper), on a line at `line`, drawn out from `edge`.

    Level chains lie along x, upright ones along y and read from the right. A figure too long for its room
    stands farther out, with a leader. Answers how far out the chain reaches, mm on paper.
    """
    out = -1.0 if line < edge else 1.0

    def at(along: float, off: float) -> Point:
        return (off, along) if upright else (along, off)

    for place in places:
        draft.add(Line(Layer.DIMENSIONS, at(place, edge + out), at(place, line + out * _TICK)))
        slash = (at(place - _TICK, line - _TICK), at(place + _TICK, line + _TICK))
        draft.add(Line(Layer.DIMENSIONS, *slash))
    draft.add(Line(Layer.DIMENSIONS, at(places[0], line), at(places[-1], line)))
    turn = pi / 2.0 if upright else 0.0
    # Words stand above their line; what reads from the right stands to the left of it.
    lift = -0.7 if upright else 0.7
    tight: list[tuple[float, str]] = []
    for (a, b), said in zip(pairwise(places), words, strict=True):
        wide = width(said, HEIGHT)
        if wide + 2.0 * _ROOM <= b - a:
            _put(draft, Text(Layer.DIMENSIONS, at((a + b) / 2.0, line + lift), said, HEIGHT, "center", turn))
        elif b - a >= 1.5 * _SMALL and width(said, _SMALL) <= ACROSS:
            # Across the chain, outside of it, between its ticks.
            if upright:
                text = Text(Layer.DIMENSIONS, at((a + b - _SMALL) / 2.0, line - 0.5), said, _SMALL, "right")
            else:
                corner = at((a + b + _SMALL) / 2.0, line - 0.5)
                text = Text(Layer.DIMENSIONS, corner, said, _SMALL, "right", pi / 2.0)
            _put(draft, text)
        else:
            tight.append(((a + b) / 2.0, said))
    if not tight:
        return line
    row = line + out * STEP
    base = row + (HEIGHT / 2.0 if upright else -HEIGHT / 2.0)
    for (place, said), aside in zip(tight, spread(tight), strict=True):
        foot = row - out * (HEIGHT / 2.0 + 0.4)
        draft.add(Line(Layer.DIMENSIONS, at(place, line), at(aside, foot)))
        _put(draft, Text(Layer.DIMENSIONS, at(aside, base), said, HEIGHT, "center", turn))
    return row


def _put(draft: Draft, text: Text) -> None:
    """A figure where it belongs, or as near to it as words and parts leave room."""
    if draft.clear(box_of(text, draft.per)):
        draft.add(text)
    else:
        draft.beside(text.at, text.words, 0.5, text.height)


def spread(items: Sequence[tuple[float, str]], height: float = HEIGHT) -> list[float]:
    """Where the middle of each figure comes to stand so that none touches the next; ascending."""
    wide = [width(said, height) + 2.0 * _ROOM for _, said in items]
    return pooled([place for place, _ in items], wide)


def pooled(places: Sequence[float], wide: Sequence[float]) -> list[float]:
    """Middles of boxes as near to their places, ascending, as they go without one lying on another."""
    pools: list[list[int]] = []

    def low(pool: list[int]) -> float:
        """Where a pool begins when it stands about the mean of its places."""
        offset = 0.0
        total = 0.0
        for i in pool:
            total += places[i] - (offset + wide[i] / 2.0)
            offset += wide[i]
        return total / len(pool)

    def high(pool: list[int]) -> float:
        return low(pool) + sum(wide[i] for i in pool)

    for i in range(len(places)):
        pools.append([i])
        while len(pools) > 1 and low(pools[-1]) < high(pools[-2]):
            last = pools.pop()
            pools[-1] += last
    out = [0.0] * len(places)
    for pool in pools:
        at = low(pool)
        for i in pool:
            out[i] = at + wide[i] / 2.0
            at += wide[i]
    return out
