"""A page as a picture that scales: SVG."""

from __future__ import annotations

from math import cos, degrees, sin
from xml.sax.saxutils import escape

from models.shapes.bulges import arc_of
from viewer.drawing.fonts import CAPITALS
from viewer.drawing.layers import PENS
from viewer.drawing.marks import Arc, Circle, Fill, Line, Mark, Path, Point, Text, edges
from viewer.drawing.page import Page

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
    font = f'font-family="Helvetica, Arial, sans-serif" font-size="{text.height / CAPITALS:.4f}"{bold}'
    return (
        f'<text x="{x:.4f}" y="{y:.4f}" {font} text-anchor="{_ANCHORS[text.align]}"{turn}>'
        f"{escape(text.words)}</text>"
    )
