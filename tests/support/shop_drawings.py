"""Shop drawings as fabricators save them, made with ezdxf itself: the same plate in many ways."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import cos, pi, sin
from pathlib import Path

import ezdxf
from ezdxf.document import Drawing
from ezdxf.layouts import Modelspace

Holes = Sequence[tuple[float, float, float]]
"""x, y, diameter, inches."""
FOUR: Holes = [(x, y, 1.375) for x in (-3.5, 3.5) for y in (-3.5, 3.5)]
"""Plate PL1 of the demo: four holes for No. 8 anchors, 7 in apart, in a 12 in square."""
ODD: Holes = [(-3.5, -3.5, 1.375), (4.1, -2.9, 1.375), (-3.5, 3.5, 1.375), (3.5, 3.5, 1.375)]
"""That of P15, with one anchor moved: no symmetry."""


def new(insunits: int = 1) -> tuple[Drawing, Modelspace]:
    """An empty drawing with its unit in the header (1 in, 4 mm, 0 unsaid)."""
    document = ezdxf.new("R2010")
    document.header["$INSUNITS"] = insunits
    return document, document.modelspace()


def square(
    space: Modelspace, side: float = 12.0, at: tuple[float, float] = (0.0, 0.0), layer: str = "0"
) -> None:
    """A square outline as one closed polyline."""
    x, y, h = *at, side / 2.0
    space.add_lwpolyline(
        [(x - h, y - h), (x + h, y - h), (x + h, y + h), (x - h, y + h)],
        close=True,
        dxfattribs={"layer": layer},
    )


def circles(space: Modelspace, holes: Holes = FOUR) -> None:
    """Holes as circles."""
    for x, y, d in holes:
        space.add_circle((x, y), d / 2.0)


def arcs(space: Modelspace) -> None:
    """Holes as two arcs each."""
    for x, y, d in FOUR:
        space.add_arc((x, y), d / 2.0, 0, 140)
        space.add_arc((x, y), d / 2.0, 140, 360)


def bulges(space: Modelspace) -> None:
    """Holes as closed polylines of two half circles."""
    for x, y, d in FOUR:
        space.add_lwpolyline([(x - d / 2, y, 1), (x + d / 2, y, 1)], format="xyb", close=True)


def old_polylines(space: Modelspace) -> None:
    """Holes as heavy polylines with bulges."""
    for x, y, d in FOUR:
        space.add_polyline2d([(x - d / 2, y, 1), (x + d / 2, y, 1)], format="xyb", close=True)


def from_below(space: Modelspace) -> None:
    """Circles whose extrusion points down: their x runs the other way."""
    for x, y, d in FOUR:
        space.add_circle((-x, y), d / 2.0, dxfattribs={"extrusion": (0, 0, -1)})


def polygons(space: Modelspace) -> None:
    """Holes as polygons of 64 sides through the circle."""
    for x, y, d in FOUR:
        points = [(x + d / 2 * cos(k * pi / 32), y + d / 2 * sin(k * pi / 32)) for k in range(64)]
        space.add_lwpolyline(points, close=True)


def array(space: Modelspace) -> None:
    """One block, inserted as an array of 2 by 2."""
    block = space.doc.blocks.new("HOLE")
    block.add_circle((0, 0), 1.375 / 2.0)
    space.add_blockref(
        "HOLE",
        (-3.5, -3.5),
        dxfattribs={"row_count": 2, "column_count": 2, "row_spacing": 7, "column_spacing": 7},
    )


def mirrored_blocks(space: Modelspace) -> None:
    """Two holes in a block, and the block again mirrored by a scale of -1."""
    block = space.doc.blocks.new("PAIR")
    for y in (-3.5, 3.5):
        block.add_circle((3.5, y), 1.375 / 2.0)
    space.add_blockref("PAIR", (0, 0))
    space.add_blockref("PAIR", (0, 0), dxfattribs={"xscale": -1})


def nested_blocks(space: Modelspace) -> None:
    """A block of unit circles in a block, scaled up and turned by a right angle."""
    inner = space.doc.blocks.new("UNIT")
    inner.add_circle((0, 0), 0.5)
    outer = space.doc.blocks.new("ROW")
    for x in (-3.5, 3.5):
        outer.add_blockref("UNIT", (x, 3.5), dxfattribs={"xscale": 1.375, "yscale": 1.375, "zscale": 1.375})
    space.add_blockref("ROW", (0, 0))
    space.add_blockref("ROW", (0, 0), dxfattribs={"rotation": 180})


WAYS: dict[str, Callable[[Modelspace], None]] = {
    f.__name__: f
    for f in (
        circles,
        arcs,
        bulges,
        old_polylines,
        from_below,
        polygons,
        array,
        mirrored_blocks,
        nested_blocks,
    )
}
"""The same four holes in every way that a drawing may hold them."""


def save(document: Drawing, folder: Path, name: str = "shop.dxf") -> Path:
    """The drawing as a file."""
    path = folder / name
    document.saveas(path)
    return path


def drawing(
    folder: Path, holes: Holes = FOUR, side: float = 12.0, insunits: int = 1, scale: float = 1.0
) -> Path:
    """A square plate with round holes; scale: from inches to the drawing's unit."""
    document, space = new(insunits)
    square(space, side * scale)
    circles(space, [(x * scale, y * scale, d * scale) for x, y, d in holes])
    return save(document, folder)
