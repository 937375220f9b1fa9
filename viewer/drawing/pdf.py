"""Pages as one PDF, true to scale."""

from __future__ import annotations

import io
from collections.abc import Sequence
from math import degrees
from typing import TYPE_CHECKING, Any

from models.shapes.bulges import arc_of
from viewer.drawing.fonts import setting
from viewer.drawing.layers import PENS
from viewer.drawing.marks import Arc, Area, Circle, Fill, Image, Line, Mark, Path, Stroke, Text, edges
from viewer.drawing.page import Page
from viewer.drawing.patterns import DASHES, DOT, PEN, hatch, ink_on
from viewer.legend.looks import Pattern

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

POINT = 72.0 / 25.4
"""PDF units in a mm: 72 to the inch (ISO 32000-1, 8.3.2.3)."""


def pdf(pages: Sequence[Page], title: str) -> bytes:
    """Every page at its own size; readers are told not to scale it when they print (they may ignore that)."""
    from reportlab.pdfgen.canvas import Canvas

    stream = io.BytesIO()
    canvas = Canvas(stream, pageCompression=1, invariant=1)
    canvas.setTitle(title)
    canvas.setCreator("pierclear")
    canvas.setViewerPreference("PrintScaling", "None")
    for page in pages:
        canvas.setPageSize((page.width * POINT, page.height * POINT))
        canvas.setLineCap(1)
        canvas.setLineJoin(1)
        canvas.saveState()
        if page.window is not None:
            low = page.on_paper((page.window.left, page.window.low))
            high = page.on_paper((page.window.right, page.window.high))
            cut = canvas.beginPath()
            cut.rect(*(POINT * v for v in (*low, high[0] - low[0], high[1] - low[1])))
            canvas.clipPath(cut, stroke=0, fill=0)
        for mark in page.marks:
            _draw(canvas, page, mark)
        canvas.restoreState()
        for mark in page.frame:
            _draw(canvas, page, mark)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _draw(canvas: Canvas, page: Page, mark: Mark) -> None:
    pen = PENS[mark.layer]

    def on(point: tuple[float, float]) -> tuple[float, float]:
        x, y = page.on_paper(point)
        return x * POINT, y * POINT

    if isinstance(mark, Text):
        _write(canvas, mark, on(mark.at))
        return
    if isinstance(mark, Area | Stroke | Image):
        _paint(canvas, page, mark)
        return
    canvas.setLineWidth(pen.width * POINT)
    canvas.setDash([d * POINT for d in pen.dash])
    canvas.setStrokeGray(pen.gray)
    canvas.setFillGray(pen.gray)
    size = POINT / page.per
    if isinstance(mark, Line):
        canvas.line(*on(mark.start), *on(mark.end))
        return
    if isinstance(mark, Circle):
        canvas.circle(*on(mark.center), mark.radius * size, stroke=1, fill=0)
        return
    path = canvas.beginPath()
    if isinstance(mark, Arc):
        _arc(path, on(mark.center), mark.radius * size, mark.start, mark.sweep, joined=False)
    elif isinstance(mark, Path):
        path.moveTo(*on(mark.points[0]))
        for start, end, bulge in edges(mark):
            if bulge == 0.0:
                path.lineTo(*on(end))
            else:
                center, radius, angle, sweep = arc_of(start, end, bulge)
                _arc(path, on(center), radius * size, angle, sweep, joined=True)
        if mark.closed:
            path.close()
    else:
        path.moveTo(*on(mark.points[0]))
        for point in mark.points[1:]:
            path.lineTo(*on(point))
        path.close()
    filled = isinstance(mark, Fill)
    canvas.drawPath(path, stroke=0 if filled else 1, fill=1 if filled else 0)


def _paint(canvas: Canvas, page: Page, mark: Area | Stroke | Image) -> None:
    """What has a color of its own."""

    def on(point: tuple[float, float]) -> tuple[float, float]:
        x, y = page.on_paper(point)
        return x * POINT, y * POINT

    canvas.saveState()
    if isinstance(mark, Image):
        from reportlab.lib.utils import ImageReader

        low, high = on((mark.box.left, mark.box.low)), on((mark.box.right, mark.box.high))
        image = ImageReader(io.BytesIO(mark.data))
        canvas.drawImage(image, *low, width=high[0] - low[0], height=high[1] - low[1])
    elif isinstance(mark, Area):
        path = canvas.beginPath()
        for ring in mark.rings:
            path.moveTo(*on(ring[0]))
            for point in ring[1:]:
                path.lineTo(*on(point))
            path.close()
        if mark.fill:
            canvas.setFillColor(mark.fill)
            canvas.drawPath(path, stroke=0, fill=1, fillMode=0)
        canvas.setStrokeColor(ink_on(mark.fill))
        canvas.setLineWidth((DOT if mark.pattern is Pattern.DOTS else PEN) * POINT)
        strokes = [(*on(start), *on(end)) for start, end in hatch(mark, page.per)]
        if strokes:
            canvas.lines(strokes)
        if mark.rim:
            canvas.setStrokeColor(mark.rim)
            canvas.setLineWidth(mark.pen * POINT)
            canvas.setDash([d * POINT for d in mark.dash])
            canvas.drawPath(path, stroke=1, fill=0)
    else:
        path = canvas.beginPath()
        path.moveTo(*on(mark.points[0]))
        for point in mark.points[1:]:
            path.lineTo(*on(point))
        thick = mark.thick / page.per
        canvas.setLineCap(0)
        for color, width in ((mark.rim, thick), (mark.fill, max(thick - 2.0 * mark.pen, 0.5 * thick))):
            canvas.setStrokeColor(color)
            canvas.setLineWidth(width * POINT)
            canvas.drawPath(path, stroke=1, fill=0)
        if mark.pattern in DASHES:
            canvas.setLineCap(1)
            canvas.setStrokeColor(ink_on(mark.fill))
            canvas.setLineWidth((max(DOT, 0.3 * thick) if mark.pattern is Pattern.DOTS else PEN) * POINT)
            canvas.setDash([d * POINT for d in DASHES[mark.pattern]])
            canvas.drawPath(path, stroke=1, fill=0)
    canvas.restoreState()


def _arc(
    path: Any, center: tuple[float, float], radius: float, start: float, sweep: float, *, joined: bool
) -> None:
    x, y = center
    box = (x - radius, y - radius, x + radius, y + radius)
    put = path.arcTo if joined else path.arc
    put(*box, startAng=degrees(start), extent=degrees(sweep))


def _write(canvas: Canvas, text: Text, at: tuple[float, float]) -> None:
    canvas.saveState()
    canvas.setFillColor(text.ink)
    canvas.translate(*at)
    if text.turn:
        canvas.rotate(degrees(text.turn))
    way = setting(text.words, text.bold)
    canvas.setFont(way.font, text.height * POINT / way.capitals)
    put = {"left": canvas.drawString, "center": canvas.drawCentredString, "right": canvas.drawRightString}
    put[text.align](0, 0, way.words)
    canvas.restoreState()
