"""Flagged spots: a ring where it is, and beside it a marker with its number, in the shape of its level."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, hypot, pi, sin, tau

from viewer.drawing.layers import Layer
from viewer.drawing.marks import Area, Box, Point, Stroke, Text
from viewer.drawing.page import Draft
from viewer.drawing.patterns import darker
from viewer.legend.looks import LEVELS, LevelLook, Pattern, Shape

RADIUS = 2.6
"""mm on paper: of a marker."""
_RING = 1.6
_LIGHT = {Pattern.EMPTY: "#ffffff"}


_SHAPES = {
    Shape.OCTAGON: (8, pi / 8.0, 1.0),
    Shape.TRIANGLE: (3, pi / 2.0, 1.6),
    Shape.SQUARE: (4, pi / 4.0, 1.2),
    Shape.CIRCLE: (36, 0.0, 1.0),
}
"""Corners, where the first lies (rad), and the distance of the corners from the middle, in radii."""


def shape(look: LevelLook, at: Point, radius: float) -> tuple[Point, ...]:
    """The corners of a level's marker round a point, counterclockwise."""
    corners, start, size = _SHAPES[look.shape]
    turns = [start + tau * k / corners for k in range(corners)]
    return tuple((at[0] + size * radius * cos(t), at[1] + size * radius * sin(t)) for t in turns)


def marker(level: str, at: Point, radius: float = RADIUS) -> Area:
    """The marker of a level: its shape, color and pattern."""
    look = LEVELS[level]
    fill = _LIGHT.get(look.pattern, look.color)
    edge = look.color if look.pattern is Pattern.EMPTY else darker(look.color, 0.6)
    pen = 0.6 if look.pattern is Pattern.EMPTY else 0.25
    return Area(Layer.FINDINGS, (shape(look, at, radius),), fill, edge, pen, look.pattern, 0.7 * radius / 2.6)


def numbered(draft: Draft, level: str, number: int, at: Point, radius: float = RADIUS) -> None:
    """A marker with a number in it; where the pattern would make it hard to read, on a plain ground."""
    look = LEVELS[level]
    draft.add(marker(level, at, radius))
    plain = look.pattern in (Pattern.PLAIN, Pattern.EMPTY)
    if not plain:
        ground = shape(LEVELS["clear"], at, 0.62 * radius)
        draft.add(Area(Layer.FINDINGS, (ground,), look.color, "", 0.0))
    height = (0.9 if plain else 0.66) * (1.0 if number < 10 else 0.78) * radius
    foot = (at[0], at[1] - height / 2.0)
    draft.add(Text(Layer.FINDINGS, foot, str(number), height, "center", 0.0, True, look.ink))


def ring(draft: Draft, level: str, at: Point) -> None:
    """A ring round a spot."""
    look = LEVELS[level]
    circle = tuple((at[0] + _RING * cos(tau * k / 24), at[1] + _RING * sin(tau * k / 24)) for k in range(24))
    draft.add(
        Area(Layer.FINDINGS, (circle,), "", "#ffffff", 0.65),
        Area(Layer.FINDINGS, (circle,), "", look.color, 0.35),
    )


def flag(
    draft: Draft,
    level: str,
    number: int,
    spot: Point,
    within: Box,
    free: Callable[[Box], bool] = lambda box: True,
) -> bool:
    """The marker of a spot, with a leader to it, where there is room near it; False where there is none.

    free: whether a box is free of what the drawing does not know of: the content of an image.
    """
    size = RADIUS * max(1.0, _SHAPES[LEVELS[level].shape][2])
    for step in range(2, 48):
        out = _RING + size + 0.8 * step
        for k in range(24):
            turn = tau * (k + 0.5 * (step % 2)) / 24 + pi / 4.0
            at = (spot[0] + out * cos(turn), spot[1] + out * sin(turn))
            box = Box(at[0] - size, at[1] - size, at[0] + size, at[1] + size)
            if not box.within(within) or not draft.clear(box.grown(0.4), LEADERS) or not free(box):
                continue
            reach = hypot(at[0] - spot[0], at[1] - spot[1])
            start = _along(spot, at, _RING / reach)
            end = _along(spot, at, 1.0 - RADIUS / reach)
            if draft.crosses_words(start, end, 0.5):
                continue
            color = LEVELS[level].color
            draft.add(Stroke(Layer.FINDINGS, (start, end), 0.4, color, color))
            numbered(draft, level, number, at)
            return True
    return False


LEADERS = frozenset({Layer.DIMENSIONS, Layer.CENTER, Layer.HOLD, Layer.NORTH, Layer.CONCRETE})
"""Lines that a marker keeps off."""


def _along(a: Point, b: Point, share: float) -> Point:
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share
