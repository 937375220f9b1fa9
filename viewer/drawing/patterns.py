"""Patterns as strokes, so that every backend draws the same: the second sign of what an area is."""

from __future__ import annotations

from collections.abc import Iterable
from math import cos, radians, sin

import numpy as np

from models.motion import Array
from viewer.drawing.marks import Area, Point, inside
from viewer.legend.looks import Pattern

_ANGLES: dict[Pattern, tuple[float, ...]] = {
    Pattern.HATCH: (45.0,),
    Pattern.BACK_HATCH: (135.0,),
    Pattern.CROSS_HATCH: (45.0, 135.0),
    Pattern.GRAIN: (0.0,),
    Pattern.UPRIGHT: (90.0,),
}
PEN, DOT = 0.1, 0.3
"""mm on paper: of the lines of a pattern, and of its dots."""
DASHES: dict[Pattern, tuple[float, ...]] = {
    Pattern.BACK_HATCH: (1.2, 0.8),
    Pattern.DOTS: (0.01, 0.9),
    Pattern.GRAIN: (),
    Pattern.HATCH: (0.5, 0.5),
    Pattern.CROSS_HATCH: (2.0, 0.5),
}
"""mm on and off: the line along the middle of a bar that stands for a pattern; without an entry, none."""


def hatch(area: Area, per: float) -> list[tuple[Point, Point]]:
    """The strokes of an area's pattern, mm of the thing; a dot is a stroke that hardly goes anywhere."""
    pitch = area.pitch * per
    if area.pattern in (Pattern.DOTS, Pattern.STONES):
        return _scattered(area, pitch, 0.01 * per if area.pattern is Pattern.DOTS else 0.35 * pitch)
    angles = _ANGLES.get(area.pattern, ())
    rings = [np.array(ring) for ring in area.rings]
    return [stroke for angle in angles for stroke in _lines(rings, pitch, radians(angle))]


def _lines(rings: list[Array], pitch: float, angle: float) -> Iterable[tuple[Point, Point]]:
    """Parallel lines within rings, at whole pitches from the origin, so that neighbors run on."""
    c, s = cos(angle), sin(angle)
    turned = [ring @ np.array([[c, -s], [s, c]]) for ring in rings]
    starts = np.concatenate(turned)
    ends = np.concatenate([np.roll(ring, -1, axis=0) for ring in turned])
    low, high = starts[:, 1].min(), starts[:, 1].max()
    for k in range(int(np.ceil(low / pitch)), int(np.floor(high / pitch)) + 1):
        y = k * pitch
        crossed = (starts[:, 1] > y) != (ends[:, 1] > y)
        a, b = starts[crossed], ends[crossed]
        xs = np.sort(a[:, 0] + (y - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0])).tolist()
        for x0, x1 in zip(xs[::2], xs[1::2], strict=False):
            yield (c * x0 - s * y, s * x0 + c * y), (c * x1 - s * y, s * x1 + c * y)


def _scattered(area: Area, pitch: float, length: float) -> list[tuple[Point, Point]]:
    """Short strokes on a grid; stones lie about and turn, always in the same way."""
    points = np.array([point for ring in area.rings for point in ring])
    (left, low), (right, high) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    shaken = area.pattern is Pattern.STONES
    out = []
    for i in range(int(left // pitch), int(right // pitch) + 1):
        for j in range(int(low // pitch), int(high // pitch) + 1):
            seed = (i * 73 + j * 151) % 97 / 97.0
            shift = 0.6 * (seed - 0.5) * pitch if shaken else (j % 2) * 0.5 * pitch
            x, y = (i + 0.5) * pitch + shift, (j + 0.5) * pitch - (shift if shaken else 0.0)
            turn = 6.0 * seed if shaken else 0.0
            end = (x + length * cos(turn), y + length * sin(turn))
            if inside((x, y), area.rings) and inside(end, area.rings):
                out.append(((x, y), end))
    return out


def ink_on(fill: str) -> str:
    """The color of a pattern over a fill: white on dark, a darker shade on light."""
    if not fill:
        return "#000000"
    r, g, b = (int(fill[i : i + 2], 16) for i in (1, 3, 5))
    if 0.299 * r + 0.587 * g + 0.114 * b < 110.0:
        return "#ffffff"
    return darker(fill, 0.5)


def darker(color: str, share: float) -> str:
    """The color with `share` of its light."""
    return "#" + "".join(f"{round(int(color[i : i + 2], 16) * share):02x}" for i in (1, 3, 5))
