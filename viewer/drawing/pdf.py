"""Pages as one PDF, true to scale."""

from __future__ import annotations

import io
from collections.abc import Sequence
from math import degrees
from typing import TYPE_CHECKING, Any

from models.shapes.bulges import arc_of
from viewer.drawing.fonts import setting
from viewer.drawing.layers import PENS
from viewer.drawing.marks import Arc, Circle, Fill, Line, Mark, Path, Text, edges
from viewer.drawing.page import Page

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


def _arc(
    path: Any, center: tuple[float, float], radius: float, start: float, sweep: float, *, joined: bool
) -> None:
    x, y = center
    box = (x - radius, y - radius, x + radius, y + radius)
    put = path.arcTo if joined else path.arc
    put(*box, startAng=degrees(start), extent=degrees(sweep))


def _write(canvas: Canvas, text: Text, at: tuple[float, float]) -> None:
    canvas.saveState()
    canvas.setFillGray(0.0)
    canvas.translate(*at)
    if text.turn:
        canvas.rotate(degrees(text.turn))
    way = setting(text.words, text.bold)
    canvas.setFont(way.font, text.height * POINT / way.capitals)
    put = {"left": canvas.drawString, "center": canvas.drawCentredString, "right": canvas.drawRightString}
    put[text.align](0, 0, way.words)
    canvas.restoreState()
