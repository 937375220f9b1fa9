"""What a drawing is made of. Coordinates are mm of the thing drawn; heights of text are mm on paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import cos, hypot, sin, tau
from typing import Literal

from msgspec import Struct

from models.outline import Loop
from models.shapes.bulges import arc_of
from viewer.drawing.layers import Layer
from viewer.drawing.letters import reach, width
from viewer.legend.looks import Pattern

Point = tuple[float, float]
Align = Literal["left", "center", "right"]


class Line(Struct, frozen=True):
    """A straight line."""

    layer: Layer
    start: Point
    end: Point


class Circle(Struct, frozen=True):
    """A full circle."""

    layer: Layer
    center: Point
    radius: float


class Arc(Struct, frozen=True):
    """A circular arc from `start` (rad) counterclockwise by `sweep` (rad, positive)."""

    layer: Layer
    center: Point
    radius: float
    start: float
    sweep: float


class Path(Struct, frozen=True):
    """Edges from point to point; bulges: of each the tangent of a quarter of its sweep, 0 if straight."""

    layer: Layer
    points: tuple[Point, ...]
    bulges: tuple[float, ...] = ()
    closed: bool = False


class Fill(Struct, frozen=True):
    """An area filled in the layer's gray: an arrowhead, a row of a table."""

    layer: Layer
    points: tuple[Point, ...]


class Text(Struct, frozen=True):
    """Words on a line. at: on the baseline; height: of capitals, mm on paper; turn: rad counterclockwise."""

    layer: Layer
    at: Point
    words: str
    height: float = 2.2
    align: Align = "left"
    turn: float = 0.0
    bold: bool = False
    ink: str = "#000000"


class Area(Struct, frozen=True):
    """An area in color.

    rings: its outlines, even and odd (a ring in a ring is a hole); fill, rim: `#rrggbb`, empty for none; pen:
    of the rim, mm on paper, dash: as in `Pen`; pattern: over the fill; pitch: of the pattern, mm on paper.
    """

    layer: Layer
    rings: tuple[tuple[Point, ...], ...]
    fill: str = ""
    rim: str = "#000000"
    pen: float = 0.18
    pattern: Pattern = Pattern.PLAIN
    pitch: float = 1.0
    dash: tuple[float, ...] = ()


class Stroke(Struct, frozen=True):
    """A bent bar at its true thickness along the line of its center, flat at both ends.

    thick: mm of the thing; fill, rim: `#rrggbb`; pen: of the rim, mm on paper; pattern: along its middle.
    """

    layer: Layer
    points: tuple[Point, ...]
    thick: float
    fill: str
    rim: str
    pen: float = 0.1
    pattern: Pattern = Pattern.PLAIN


class Image(Struct, frozen=True, eq=False):
    """A raster picture in a box of the thing. data: a PNG file."""

    layer: Layer
    box: Box
    data: bytes


Mark = Line | Circle | Arc | Path | Fill | Text | Area | Stroke | Image


class Box(Struct, frozen=True):
    """An upright rectangle, mm."""

    left: float
    low: float
    right: float
    high: float

    def meets(self, other: Box) -> bool:
        """Whether the insides of two boxes share anything."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.low < other.high
            and other.low < self.high
        )

    def within(self, other: Box, slack: float = 1e-6) -> bool:
        """Whether this box lies in the other."""
        return (
            self.left >= other.left - slack
            and self.right <= other.right + slack
            and self.low >= other.low - slack
            and self.high <= other.high + slack
        )

    def grown(self, by: float) -> Box:
        """The box with every side moved out."""
        return Box(self.left - by, self.low - by, self.right + by, self.high + by)

    def shared(self, other: Box) -> Box:
        """What two boxes that meet have in common."""
        return Box(
            max(self.left, other.left),
            max(self.low, other.low),
            min(self.right, other.right),
            min(self.high, other.high),
        )

    def crossed(self, start: Point, end: Point) -> bool:
        """Whether a straight line comes into the box."""
        return self.cut(start, end) is not None

    def cut(self, start: Point, end: Point) -> tuple[Point, Point] | None:
        """The part of a straight line that lies in the box (Liang and Barsky's clipping); None if nothing."""
        (x, y), (dx, dy) = start, (end[0] - start[0], end[1] - start[1])
        enter, leave = 0.0, 1.0
        for step, room in (
            (-dx, x - self.left),
            (dx, self.right - x),
            (-dy, y - self.low),
            (dy, self.high - y),
        ):
            if step == 0.0:
                if room <= 0.0:
                    return None
                continue
            t = room / step
            if step < 0.0:
                enter = max(enter, t)
            else:
                leave = min(leave, t)
        if enter >= leave:
            return None
        return (x + enter * dx, y + enter * dy), (x + leave * dx, y + leave * dy)


def box_of(text: Text, per: float) -> Box:
    """The upright box round a text; per: mm of the thing in a mm of paper."""
    length = width(text.words, text.height, text.bold) * per
    below, above = reach(text.words, text.height, text.bold)
    left = {"left": 0.0, "center": -length / 2.0, "right": -length}[text.align]
    low, high = -below * per, above * per
    c, s = cos(text.turn), sin(text.turn)
    corners = [(left, low), (left + length, low), (left + length, high), (left, high)]
    xs = [text.at[0] + c * x - s * y for x, y in corners]
    ys = [text.at[1] + s * x + c * y for x, y in corners]
    return Box(min(xs), min(ys), max(xs), max(ys))


def inside(point: Point, rings: Sequence[Sequence[Point]]) -> bool:
    """Whether a point lies within rings, even and odd."""
    x, y = point
    within = False
    for ring in rings:
        for (x0, y0), (x1, y1) in zip(ring, (*ring[1:], ring[0]), strict=True):
            if (y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0):
                within = not within
    return within


def path_of(layer: Layer, loop: Loop) -> Circle | Path:
    """A ring as a mark: a full circle as such, anything else as a closed path."""
    points: list[Point] = [(float(x), float(y)) for x, y in loop.starts]
    if len(points) == 1:
        center = (float(loop.centers[0, 0]), float(loop.centers[0, 1]))
        return Circle(layer, center, hypot(points[0][0] - center[0], points[0][1] - center[1]))
    bulges = tuple(sin(a / 4.0) / cos(a / 4.0) for a in loop.sweeps.tolist())
    return Path(layer, tuple(points), bulges, closed=True)


def edges(path: Path) -> Iterator[tuple[Point, Point, float]]:
    """Each edge of a path with its bulge."""
    points = path.points
    last = len(points) if path.closed else len(points) - 1
    bulges = path.bulges or (0.0,) * len(points)
    for i in range(last):
        yield points[i], points[(i + 1) % len(points)], bulges[i]


_STEPS = 48


def segments(mark: Mark) -> Iterator[tuple[Point, Point]]:
    """The strokes of a mark as straight lines, arcs in 48ths of a turn; none for a text.

    A bar gives the line of its center and its two sides.
    """
    if isinstance(mark, Line):
        yield mark.start, mark.end
    elif isinstance(mark, Circle):
        yield from _chords(mark.center, mark.radius, 0.0, tau)
    elif isinstance(mark, Arc):
        yield from _chords(mark.center, mark.radius, mark.start, mark.sweep)
    elif isinstance(mark, Path):
        for start, end, bulge in edges(mark):
            if bulge == 0.0:
                yield start, end
            else:
                yield from _chords(*arc_of(start, end, bulge))
    elif isinstance(mark, Fill):
        yield from zip(mark.points, (*mark.points[1:], mark.points[0]), strict=True)
    elif isinstance(mark, Area):
        for ring in mark.rings:
            yield from zip(ring, (*ring[1:], ring[0]), strict=True)
    elif isinstance(mark, Stroke):
        yield from pairwise(mark.points)
        for start, end in pairwise(mark.points):
            dx, dy = end[0] - start[0], end[1] - start[1]
            out = mark.thick / 2.0 / (hypot(dx, dy) or 1.0)
            for x, y in ((-dy * out, dx * out), (dy * out, -dx * out)):
                yield (start[0] + x, start[1] + y), (end[0] + x, end[1] + y)
    elif isinstance(mark, Image):
        b = mark.box
        corners = ((b.left, b.low), (b.right, b.low), (b.right, b.high), (b.left, b.high))
        yield from zip(corners, (*corners[1:], corners[0]), strict=True)


def _chords(center: Point, radius: float, start: float, sweep: float) -> Iterator[tuple[Point, Point]]:
    n = max(2, round(abs(sweep) / tau * _STEPS))
    points = [
        (center[0] + radius * cos(start + sweep * i / n), center[1] + radius * sin(start + sweep * i / n))
        for i in range(n + 1)
    ]
    yield from pairwise(points)
