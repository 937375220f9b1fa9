"""A page as DXF: 1:1 in mm, on layers named in the words of the trade."""

from __future__ import annotations

import io
from math import degrees
from typing import TYPE_CHECKING

from viewer.drawing.layers import PENS, Layer
from viewer.drawing.marks import Arc, Area, Circle, Fill, Image, Line, Mark, Path, Stroke, Text
from viewer.drawing.page import Page
from viewer.drawing.patterns import hatch

if TYPE_CHECKING:
    from ezdxf.document import Drawing
    from ezdxf.layouts.layout import Modelspace

_MILLIMETERS = 4
"""$INSUNITS of millimeters."""


def dxf(page: Page) -> bytes:
    """A DXF file of version R2010: the thing at its size in mm, and the sheet blown up to it.

    Raises ValueError for a page with an image: a DXF only names the file of one, and none would go with it.
    """
    from ezdxf import zoom
    from ezdxf.filemanagement import new

    document = new("R2010", units=_MILLIMETERS)
    document.header["$MEASUREMENT"] = 1
    document.header["$LTSCALE"] = page.per
    document.styles.add("LETTERS", font="arial.ttf")
    document.styles.add("LETTERS BOLD", font="arialbd.ttf")
    used = {mark.layer for mark in (*page.marks, *page.frame)}
    for layer in sorted(used):
        _layer(document, layer)
    space = document.modelspace()
    for mark in (*page.marks, *page.frame):
        _put(space, mark, page.per)
    box = page.paper
    document.header["$EXTMIN"] = (box.left, box.low, 0.0)
    document.header["$EXTMAX"] = (box.right, box.high, 0.0)
    zoom.window(space, (box.left, box.low), (box.right, box.high))
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode(document.output_encoding, errors="dxfreplace")


def _layer(document: Drawing, layer: Layer) -> None:
    pen = PENS[layer]
    made = document.layers.add(layer.value, color=pen.aci, lineweight=_weight(pen.width))
    if pen.dash:
        name = f"{layer.value} DASHES"
        pattern = [sum(pen.dash), *(d if i % 2 == 0 else -d for i, d in enumerate(pen.dash))]
        document.linetypes.add(name, pattern, description=name)
        made.dxf.linetype = name


def _weight(width: float) -> int:
    """The line weight of DXF nearest to a pen, hundredths of a mm."""
    from ezdxf.lldxf.const import VALID_DXF_LINEWEIGHTS

    return int(min(VALID_DXF_LINEWEIGHTS, key=lambda w: abs(w - 100.0 * width)))


def _put(space: Modelspace, mark: Mark, per: float) -> None:
    on = {"layer": mark.layer.value}
    if isinstance(mark, Line):
        space.add_line(mark.start, mark.end, dxfattribs=on)
    elif isinstance(mark, Circle):
        space.add_circle(mark.center, mark.radius, dxfattribs=on)
    elif isinstance(mark, Arc):
        end = degrees(mark.start + mark.sweep)
        space.add_arc(mark.center, mark.radius, degrees(mark.start), end, dxfattribs=on)
    elif isinstance(mark, Path):
        bulges = mark.bulges or (0.0,) * len(mark.points)
        rows = [(x, y, bulge) for (x, y), bulge in zip(mark.points, bulges, strict=True)]
        space.add_lwpolyline(rows, format="xyb", close=mark.closed, dxfattribs=on)
    elif isinstance(mark, Fill):
        fill = space.add_hatch(color=PENS[mark.layer].aci, dxfattribs=on)
        if mark.layer is Layer.SHADE:  # words stand on it, light on dark screens and dark on light ones
            fill.transparency = 0.75
        fill.paths.add_polyline_path(mark.points, is_closed=True)
    elif isinstance(mark, Area):
        _area(space, mark, per)
    elif isinstance(mark, Stroke):
        wide = [(x, y, mark.thick, mark.thick) for x, y in mark.points]
        space.add_lwpolyline(wide, format="xyse", dxfattribs=on | {"true_color": int(mark.fill[1:], 16)})
    elif isinstance(mark, Image):
        raise ValueError("a DXF holds no image of its own, it only names the file of one")
    else:
        _write(space, mark, per)


def _area(space: Modelspace, area: Area, per: float) -> None:
    """An area as a filled hatch in its color, its pattern and its rim."""
    on = {"layer": area.layer.value}
    if area.fill:
        fill = space.add_hatch(dxfattribs=on | {"true_color": int(area.fill[1:], 16)})
        for ring in area.rings:
            fill.paths.add_polyline_path(ring, is_closed=True)
    for start, end in hatch(area, per):
        space.add_line(start, end, dxfattribs=on)
    if area.rim:
        for ring in area.rings:
            attributes = on | {"true_color": int(area.rim[1:], 16)}
            space.add_lwpolyline(ring, format="xy", close=True, dxfattribs=attributes)


def _write(space: Modelspace, text: Text, per: float) -> None:
    from ezdxf.enums import TextEntityAlignment

    put = space.add_text(
        text.words,
        height=text.height * per,
        rotation=degrees(text.turn),
        dxfattribs={"layer": text.layer.value, "style": "LETTERS BOLD" if text.bold else "LETTERS"},
    )
    put.set_placement(
        text.at,
        align={
            "left": TextEntityAlignment.LEFT,
            "center": TextEntityAlignment.CENTER,
            "right": TextEntityAlignment.RIGHT,
        }[text.align],
    )
