"""The recording backend: a page as lists of what is drawn where on the paper, for tests to read."""

from __future__ import annotations

from msgspec import Struct, field

from viewer.drawing.layers import PARTS, SOLID, Layer
from viewer.drawing.marks import Area, Box, Circle, Image, Mark, Point, Text, box_of, inside, segments
from viewer.drawing.page import Page


class Recorded(Struct):
    """What is on a page, mm on the paper from its lower left corner.

    texts: words with the box round them and their layer; strokes: straight lines (curves in chords) by layer;
    circles: center and radius by layer; areas: what has a color of its own, with its rings; images: their
    boxes. Marks outside of the page's window are left out.
    """

    texts: list[tuple[str, Box, Layer]] = field(default_factory=list)
    strokes: list[tuple[Layer, Point, Point]] = field(default_factory=list)
    circles: list[tuple[Layer, Point, float]] = field(default_factory=list)
    areas: list[tuple[Area, tuple[tuple[Point, ...], ...]]] = field(default_factory=list)
    images: list[Box] = field(default_factory=list)

    def overlaps(self) -> list[str]:
        """Every pair of texts that overlap, and every text that lies on the edge of a part or within one."""
        found = []
        edges = [(a, b) for layer, a, b in self.strokes if layer in PARTS]
        solid = [rings for area, rings in self.areas if area.layer in SOLID and area.fill]
        for i, (words, box, _) in enumerate(self.texts):
            found += [f"{words!r} on {other!r}" for other, b, _ in self.texts[:i] if box.meets(b)]
            if any(box.crossed(a, b) for a, b in edges if _near(box, a, b)):
                found.append(f"{words!r} on the edge of a part")
            if any(inside(((box.left + box.right) / 2.0, (box.low + box.high) / 2.0), r) for r in solid):
                found.append(f"{words!r} within a part")
        return found

    def outside(self, width: float, height: float) -> list[str]:
        """Texts that run off the paper."""
        paper = Box(0.0, 0.0, width, height)
        return [words for words, box, _ in self.texts if not box.within(paper)]


def _near(box: Box, a: Point, b: Point) -> bool:
    """Whether the box round a stroke comes to a box: quick, and true wherever the stroke does."""
    left, right = (a[0], b[0]) if a[0] < b[0] else (b[0], a[0])
    low, high = (a[1], b[1]) if a[1] < b[1] else (b[1], a[1])
    return left <= box.right and right >= box.left and low <= box.high and high >= box.low


def record(page: Page) -> Recorded:
    """Everything that shows on a page."""
    out = Recorded()
    for mark in page.marks:
        _put(out, page, mark, page.window)
    for mark in page.frame:
        _put(out, page, mark, None)
    return out


def _put(out: Recorded, page: Page, mark: Mark, window: Box | None) -> None:
    if isinstance(mark, Text):
        box = box_of(mark, page.per)
        if window is not None:
            if not box.meets(window):
                return
            box = box.shared(window)
        low, high = page.on_paper((box.left, box.low)), page.on_paper((box.right, box.high))
        out.texts.append((mark.words, Box(*low, *high), mark.layer))
        return
    if isinstance(mark, Circle):
        out.circles.append((mark.layer, page.on_paper(mark.center), mark.radius / page.per))
    elif isinstance(mark, Area):
        out.areas.append((mark, tuple(tuple(page.on_paper(p) for p in ring) for ring in mark.rings)))
    elif isinstance(mark, Image):
        low, high = (
            page.on_paper((mark.box.left, mark.box.low)),
            page.on_paper((mark.box.right, mark.box.high)),
        )
        out.images.append(Box(*low, *high))
    for start, end in segments(mark):
        seen = (start, end) if window is None else window.cut(start, end)
        if seen is not None:
            out.strokes.append((mark.layer, page.on_paper(seen[0]), page.on_paper(seen[1])))
