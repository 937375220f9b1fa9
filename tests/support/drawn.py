"""Reading written drawings back by other hands: a PDF's strokes by its content, in mm on the paper."""

from __future__ import annotations

import io
from dataclasses import dataclass, field

import numpy as np
from pypdf import PdfReader
from pypdf.generic import ContentStream

MM = 25.4 / 72.0
"""A PDF unit, mm (ISO 32000-1, 8.3.2.3: 72 to the inch)."""


@dataclass
class PdfPage:
    """width, height: mm; paths: the points that each drawn path runs through, mm, lines and curves alike;
    curved: the same for paths of curves alone; words: all text."""

    width: float
    height: float
    paths: list[np.ndarray] = field(default_factory=list)
    curved: list[np.ndarray] = field(default_factory=list)
    words: str = ""

    def circles(self) -> list[tuple[float, float, float]]:
        """Center and radius of each path that is a full circle of four curves."""
        found = []
        for points in self.curved:
            low, high = points.min(axis=0), points.max(axis=0)
            size = high - low
            if len(points) == 5 and abs(size[0] - size[1]) < 1e-3:
                found.append((*((low + high) / 2.0).tolist(), float(size[0] / 2.0)))
        return found


def pdf_pages(data: bytes) -> list[PdfPage]:
    """Every page, its strokes through the current transformation matrix (ISO 32000-1, 8.3.4)."""
    reader = PdfReader(io.BytesIO(data))
    return [_page(page, reader) for page in reader.pages]


def _page(page: object, reader: PdfReader) -> PdfPage:
    box = page.mediabox
    out = PdfPage(float(box.width) * MM, float(box.height) * MM, words=page.extract_text())
    at, stack = np.eye(3), []
    points: list[list[float]] = []
    straight = False
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        n = [float(v) for v in operands] if operator in {b"cm", b"m", b"l", b"c", b"re"} else []
        if operator == b"q":
            stack.append(at)
        elif operator == b"Q":
            at = stack.pop()
        elif operator == b"cm":
            a, b, c, d, e, f = n
            at = np.array([[a, b, 0.0], [c, d, 0.0], [e, f, 1.0]]) @ at
        elif operator == b"m":
            points, straight = [n], False
        elif operator == b"l":
            points.append(n)
            straight = True
        elif operator == b"c":
            points.append(n[4:])
        elif operator == b"re":
            x, y, w, h = n
            points, straight = [[x, y], [x + w, y], [x + w, y + h], [x, y + h]], True
        elif operator in {b"S", b"s", b"f", b"F", b"B", b"n", b"f*"}:
            if points and operator != b"n":
                homogeneous = np.column_stack([np.array(points), np.ones(len(points))]) @ at
                placed = homogeneous[:, :2] * MM
                out.paths.append(placed)
                if not straight:
                    out.curved.append(placed)
            points = []
    return out
