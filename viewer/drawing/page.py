"""A page: marks, the paper under them, and the scale that brings the one onto the other."""

from __future__ import annotations

from math import hypot

from msgspec import Struct

from models.lengths import Units
from viewer.drawing.cells import Cells
from viewer.drawing.layers import PARTS, SOLID, Layer
from viewer.drawing.letters import PITCH, wrapped
from viewer.drawing.marks import Align, Area, Box, Line, Mark, Point, Text, box_of, inside, segments


class Page(Struct, frozen=True):
    """One page.

    width, height: of the paper, mm; per: mm of the thing in a mm of paper (4 at a scale of 1:4); origin: the
    point of the thing under the paper's lower left corner; window: the part of the thing that `marks` show
    (None for all); frame: marks that no window cuts.
    """

    width: float
    height: float
    per: float
    origin: Point
    marks: tuple[Mark, ...]
    frame: tuple[Mark, ...] = ()
    window: Box | None = None

    @property
    def paper(self) -> Box:
        """The paper, in mm of the thing."""
        x, y = self.origin
        return Box(x, y, x + self.width * self.per, y + self.height * self.per)

    def on_paper(self, point: Point) -> Point:
        """Where a point of the thing lies on the paper, mm from its lower left corner."""
        return (point[0] - self.origin[0]) / self.per, (point[1] - self.origin[1]) / self.per


class Draft:
    """A page while it is being drawn: it knows what is on it, and finds room for words."""

    def __init__(self, width: float, height: float, per: float = 1.0, origin: Point = (0.0, 0.0)) -> None:
        self.width, self.height, self.per, self.origin = width, height, per, origin
        self.marks: list[Mark] = []
        self.unplaced: list[str] = []
        """Words for which `beside` found no room, for a list beside the drawing."""
        paper = self.page().paper
        self._boxes: Cells[Box] = Cells(paper)
        self._strokes: Cells[tuple[Layer, Box, tuple[tuple[Point, Point], ...]]] = Cells(paper)
        self._solid: Cells[tuple[Box, Area]] = Cells(paper)

    def at(self, x: float, y: float) -> Point:
        """The point of the thing under a place on the paper, mm from its lower left corner."""
        return self.origin[0] + x * self.per, self.origin[1] + y * self.per

    def add(self, *marks: Mark) -> None:
        """Draw these."""
        for mark in marks:
            self.marks.append(mark)
            if isinstance(mark, Text):
                box = box_of(mark, self.per)
                self._boxes.add(box, box)
            else:
                runs = tuple(segments(mark))
                xs, ys = [p[0] for run in runs for p in run], [p[1] for run in runs for p in run]
                around = Box(min(xs), min(ys), max(xs), max(ys)).grown(1e-9)
                self._strokes.add(around, (mark.layer, around, runs))
                if isinstance(mark, Area) and mark.fill and mark.layer in SOLID:
                    self._solid.add(around, (around, mark))

    def write(
        self,
        x: float,
        y: float,
        words: str,
        height: float = 2.2,
        align: Align = "left",
        bold: bool = False,
        layer: Layer = Layer.TEXT,
    ) -> None:
        """Words at a place on the paper, mm."""
        self.add(Text(layer, self.at(x, y), words, height, align, 0.0, bold))

    def rule(self, x0: float, y0: float, x1: float, y1: float, layer: Layer = Layer.SHEET) -> None:
        """A line between two places on the paper, mm."""
        self.add(Line(layer, self.at(x0, y0), self.at(x1, y1)))

    def frame(self, box: Box, layer: Layer = Layer.SHEET) -> None:
        """The four sides of a box on the paper, mm."""
        self.rule(box.left, box.low, box.right, box.low, layer)
        self.rule(box.right, box.low, box.right, box.high, layer)
        self.rule(box.right, box.high, box.left, box.high, layer)
        self.rule(box.left, box.high, box.left, box.low, layer)

    def paragraph(
        self, x: float, top: float, room: float, words: str, height: float = 2.2, bold: bool = False
    ) -> float:
        """Words wrapped to `room` mm of paper, down from `top`; answers where the next may begin."""
        for line in wrapped(words, height, room, bold):
            top -= height * PITCH
            self.write(x, top + 0.4 * height, line, height, bold=bold)
        return top - 0.4 * height

    def clear(self, box: Box, over: frozenset[Layer] = frozenset()) -> bool:
        """Whether a box (mm of the thing) touches no words, no edge of a part, no stroke on these layers."""
        if any(box.meets(other) for other in self._boxes.near(box)):
            return False
        middle = ((box.left + box.right) / 2.0, (box.low + box.high) / 2.0)
        if any(box.meets(around) and inside(middle, area.rings) for around, area in self._solid.near(box)):
            return False
        barred = PARTS | over
        return not any(
            layer in barred and box.meets(around) and any(box.crossed(*run) for run in runs)
            for layer, around, runs in self._strokes.near(box)
        )

    def crosses_words(self, start: Point, end: Point, near: float = 0.0) -> bool:
        """Whether a straight line runs through words, or comes as near to them as `near` mm of the thing."""
        around = Box(
            min(start[0], end[0]), min(start[1], end[1]), max(start[0], end[0]), max(start[1], end[1])
        ).grown(near)
        return any(box.grown(near).crossed(start, end) for box in self._boxes.near(around))

    def beside(self, near: Point, words: str, reach: float, height: float = 2.2, bold: bool = False) -> bool:
        """Words as near to a point as there is room: beside it, then farther and farther out, with a leader.

        reach: mm of the thing to keep from the point. Rather than far off the words are written smaller, down
        to 1.4 mm; answers False, and writes nothing, where that does not help either.
        """
        sizes = [height, *(h for h in (0.8 * height, 0.65 * height) if h >= 1.4)]
        tries = ((h, rings) for rings in (range(4), range(4, 14)) for h in sizes)
        text = next(filter(None, (self._room(near, words, reach, h, bold, r) for h, r in tries)), None)
        if text is None:
            self.unplaced.append(words)
            return False
        leader = self._leader(near, box_of(text, self.per), reach, height)
        self.add(text)
        if leader is not None:
            self.add(leader)
        return True

    def _leader(self, near: Point, box: Box, reach: float, height: float) -> Line | None:
        """The line from a point to words in a box that do not stand right beside it."""
        touch = (min(max(near[0], box.left), box.right), min(max(near[1], box.low), box.high))
        gap = hypot(touch[0] - near[0], touch[1] - near[1])
        if gap <= reach + 2.5 * height * self.per:
            return None
        start = (near[0] + (touch[0] - near[0]) * reach / gap, near[1] + (touch[1] - near[1]) * reach / gap)
        return Line(Layer.DIMENSIONS, start, touch)

    def _room(
        self, near: Point, words: str, reach: float, height: float, bold: bool, rings: range
    ) -> Text | None:
        tall = height * self.per
        ways: tuple[tuple[float, float, Align], ...] = (
            (0.75, 0.75, "left"),
            (-0.75, 0.75, "right"),
            (0.75, -0.75, "left"),
            (-0.75, -0.75, "right"),
            (1.0, 0.0, "left"),
            (-1.0, 0.0, "right"),
            (0.0, 1.0, "center"),
            (0.0, -1.0, "center"),
        )
        # First clear of every line, then clear of parts and words alone.
        paper = self.page().paper
        for over in (_LINES, frozenset[Layer]()):
            for ring in rings:
                out = reach + (0.6 + 0.5 * ring) * tall
                for dx, dy, align in ways:
                    drop = tall * (0.0 if dy > 0 else 1.0 if dy < 0 else 0.5)
                    at = (near[0] + dx * out, near[1] + dy * out - drop)
                    text = Text(Layer.TEXT, at, words, height, align, 0.0, bold)
                    box = box_of(text, self.per)
                    around = box.grown(0.3 * tall)
                    if not around.within(paper) or not self.clear(around, over):
                        continue
                    leader = self._leader(near, box, reach, height)
                    if leader is None or not self.crosses_words(leader.start, leader.end):
                        return text
        return None

    def page(self) -> Page:
        """What has been drawn so far."""
        return Page(self.width, self.height, self.per, self.origin, tuple(self.marks))


_LINES = frozenset(
    {
        Layer.DIMENSIONS,
        Layer.CENTER,
        Layer.DIAGONALS,
        Layer.CONCRETE,
        Layer.NORTH,
        Layer.BARS,
        Layer.HOLD,
        Layer.WELDS,
    }
)

PAPERS: dict[str, tuple[float, float]] = {
    "letter": (215.9, 279.4),
    "tabloid": (279.4, 431.8),
    "arch C": (457.2, 609.6),
    "arch D": (609.6, 914.4),
    "arch E": (914.4, 1219.2),
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "A2": (420.0, 594.0),
    "A1": (594.0, 841.0),
    "A0": (841.0, 1189.0),
}
"""mm, upright: ANSI/ASME Y14.1 (letter, tabloid, arch C to E), ISO 216 (A0 to A4)."""


def usual(units: Units) -> str:
    """The paper of an office printer where these units are used."""
    return "A4" if units is Units.MM else "letter"


_SCALES = {
    Units.FT_IN: (1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 240, 480),
    Units.MM: (1, 2, 2.5, 5, 7.5, 10, 15, 20, 25, 50, 75, 100, 200, 250, 500),
}


def scale_for(width: float, height: float, room: tuple[float, float], units: Units) -> float:
    """The largest of the usual scales at which `width` by `height` mm fit into `room`, mm of thing per mm."""
    least = max(width / room[0], height / room[1])
    return next((float(s) for s in _SCALES[units] if s >= least - 1e-9), least)
