"""A page as a picture that scales: SVG."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Sequence
from math import cos, degrees, sin
from xml.sax.saxutils import escape

from models.shapes.bulges import arc_of
from viewer.drawing.fonts import CAPITALS
from viewer.drawing.layers import PENS
from viewer.drawing.marks import Arc, Area, Circle, Fill, Image, Line, Mark, Path, Point, Stroke, Text, edges
from viewer.drawing.page import Page
from viewer.drawing.patterns import DASHES, DOT, PEN, hatch, ink_on
from viewer.legend.looks import Pattern

_ANCHORS = {"left": "start", "center": "middle", "right": "end"}


def svg(page: Page) -> str:
    """The page as a picture, in mm of paper, white behind it."""
    size = f'width="{page.width:g}mm" height="{page.height:g}mm" viewBox="0 0 {page.width:g} {page.height:g}"'
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}>',
        '<rect width="100%" height="100%" fill="#fff"/>',
    ]
    if page.window is not None:
        x, y = _on(page, (page.window.left, page.window.high))
        w, h = (page.window.right - page.window.left), (page.window.high - page.window.low)
        cut = f'<rect x="{x:.4f}" y="{y:.4f}" width="{w / page.per:.4f}" height="{h / page.per:.4f}"/>'
        lines.append(f'<clipPath id="window">{cut}</clipPath>')
    lines.append('<g clip-path="url(#window)">' if page.window is not None else "<g>")
    lines += [_drawn(page, mark) for mark in page.marks]
    lines.append("</g>")
    lines += [_drawn(page, mark) for mark in page.frame]
    return "\n".join([*lines, "</svg>", ""])


def _on(page: Page, point: Point) -> Point:
    x, y = page.on_paper(point)
    return x, page.height - y


def _drawn(page: Page, mark: Mark) -> str:
    if isinstance(mark, Text):
        return _written(page, mark)
    if isinstance(mark, Area):
        return _area(page, mark)
    if isinstance(mark, Stroke):
        return _stroke(page, mark)
    if isinstance(mark, Image):
        return _image(page, mark)
    pen = PENS[mark.layer]
    color = "#" + f"{round(255 * pen.gray):02x}" * 3
    dash = f' stroke-dasharray="{" ".join(f"{d:g}" for d in pen.dash)}"' if pen.dash else ""
    style = f'fill="none" stroke="{color}" stroke-width="{pen.width:g}"{dash}'
    if isinstance(mark, Circle):
        x, y = _on(page, mark.center)
        return f'<circle cx="{x:.4f}" cy="{y:.4f}" r="{mark.radius / page.per:.4f}" {style}/>'
    if isinstance(mark, Fill):
        points = " ".join(f"{x:.4f},{y:.4f}" for x, y in (_on(page, p) for p in mark.points))
        return f'<polygon points="{points}" fill="{color}"/>'
    return f'<path d="{" ".join(_steps(page, mark))}" {style}/>'


def _run(page: Page, points: Sequence[Point], *, closed: bool = False) -> str:
    """A path's data through points; hundredths of a mm, for pictures are many."""
    steps = "L".join(f"{x:.2f} {y:.2f}" for x, y in (_on(page, point) for point in points))
    return f"M{steps}{'Z' if closed else ''}"


def _area(page: Page, mark: Area) -> str:
    data = "".join(_run(page, ring, closed=True) for ring in mark.rings)
    rim = f'stroke="{mark.rim}" stroke-width="{mark.pen:g}"' if mark.rim else ""
    dash = f' stroke-dasharray="{" ".join(f"{d:g}" for d in mark.dash)}"' if mark.dash else ""
    fill = mark.fill or "none"
    lines = "".join(_run(page, stroke) for stroke in hatch(mark, page.per))
    if not lines:
        return f'<path d="{data}" fill="{fill}" fill-rule="evenodd" {rim}{dash}/>'
    wide = DOT if mark.pattern is Pattern.DOTS else PEN
    pattern = f'fill="none" stroke="{ink_on(mark.fill)}" stroke-width="{wide:g}" stroke-linecap="round"'
    edge = f'<path d="{data}" fill="none" {rim}{dash}/>' if mark.rim else ""
    return f'<path d="{data}" fill="{fill}" fill-rule="evenodd"/><path d="{lines}" {pattern}/>{edge}'


def _stroke(page: Page, mark: Stroke) -> str:
    data, thick = _run(page, mark.points), mark.thick / page.per
    out = "".join(
        f'<path d="{data}" fill="none" stroke="{color}" stroke-width="{width:.3f}" stroke-linejoin="round"/>'
        for color, width in ((mark.rim, thick), (mark.fill, max(thick - 2.0 * mark.pen, 0.5 * thick)))
    )
    if mark.pattern in DASHES:
        wide = max(DOT, 0.3 * thick) if mark.pattern is Pattern.DOTS else PEN
        dash = " ".join(f"{d:g}" for d in DASHES[mark.pattern])
        out += (
            f'<path d="{data}" fill="none" stroke="{ink_on(mark.fill)}" stroke-width="{wide:.3f}" '
            f'stroke-linecap="round"{f""" stroke-dasharray="{dash}" """ if dash else ""}/>'
        )
    return out


def _image(page: Page, mark: Image) -> str:
    x, y = _on(page, (mark.box.left, mark.box.high))
    w, h = (mark.box.right - mark.box.left) / page.per, (mark.box.high - mark.box.low) / page.per
    data = b64encode(mark.data).decode()
    at = f'x="{x:.4f}" y="{y:.4f}" width="{w:.4f}" height="{h:.4f}"'
    return f'<image {at} href="data:image/png;base64,{data}"/>'


def _steps(page: Page, mark: Line | Arc | Path) -> list[str]:
    if isinstance(mark, Line):
        return [_move(page, "M", mark.start), _move(page, "L", mark.end)]
    if isinstance(mark, Arc):
        (x, y), r, last = mark.center, mark.radius, mark.start + mark.sweep
        first = (x + r * cos(mark.start), y + r * sin(mark.start))
        to = (x + r * cos(last), y + r * sin(last))
        return [_move(page, "M", first), _turn(page, r, mark.sweep, to)]
    steps = [_move(page, "M", mark.points[0])]
    for start, end, bulge in edges(mark):
        if bulge == 0.0:
            steps.append(_move(page, "L", end))
        else:
            _, radius, _, sweep = arc_of(start, end, bulge)
            steps.append(_turn(page, radius, sweep, end))
    return [*steps, "Z"] if mark.closed else steps


def _move(page: Page, how: str, to: Point) -> str:
    x, y = _on(page, to)
    return f"{how}{x:.4f} {y:.4f}"


def _turn(page: Page, radius: float, sweep: float, to: Point) -> str:
    x, y = _on(page, to)
    r = radius / page.per
    # The picture's y runs down, so counterclockwise is its negative sense.
    return f"A{r:.4f} {r:.4f} 0 {int(abs(sweep) > 3.141592653589793)} {int(sweep < 0.0)} {x:.4f} {y:.4f}"


def _written(page: Page, text: Text) -> str:
    x, y = _on(page, text.at)
    turn = f' transform="rotate({-degrees(text.turn):g} {x:.4f} {y:.4f})"' if text.turn else ""
    bold = ' font-weight="bold"' if text.bold else ""
    color = f' fill="{text.ink}"' if text.ink != "#000000" else ""
    font = f'font-family="Helvetica, Arial, sans-serif" font-size="{text.height / CAPITALS:.4f}"{bold}{color}'
    return (
        f'<text x="{x:.4f}" y="{y:.4f}" {font} text-anchor="{_ANCHORS[text.align]}"{turn}>'
        f"{escape(text.words)}</text>"
    )
