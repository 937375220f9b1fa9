"""One description, several hands: what is drawn arrives where it should in DXF, PDF, SVG and recording."""

from __future__ import annotations

import io
from math import cos, hypot, pi, sin, tan
from typing import Any
from xml.etree import ElementTree

import ezdxf
import numpy as np
import pytest
from msgspec.structs import replace

from models.shapes.bulges import arc_of
from tests.support.drawn import pdf_pages
from viewer.drawing.dxf import dxf
from viewer.drawing.layers import Layer
from viewer.drawing.letters import width, wrapped
from viewer.drawing.marks import (
    Arc,
    Area,
    Box,
    Circle,
    Fill,
    Image,
    Line,
    Path,
    Stroke,
    Text,
    box_of,
    inside,
    segments,
)
from viewer.drawing.page import Draft, Page
from viewer.drawing.patterns import hatch
from viewer.drawing.pdf import pdf
from viewer.drawing.recording import record
from viewer.drawing.svg import svg
from viewer.legend.looks import Pattern

QUARTER = tan(pi / 8.0)
"""The bulge of a quarter circle: tangent of a quarter of 90 degrees."""


def drawn(per: float = 4.0) -> Page:
    """A 100 mm square with one rounded corner, a hole, a line and words, at 1:per."""
    draft = Draft(200.0, 150.0, per, (-100.0, -80.0))
    corners = ((0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (80.0, 100.0), (0.0, 100.0))
    draft.add(
        Path(Layer.CUT, corners, (0.0, 0.0, QUARTER, 0.0, 0.0), closed=True),
        Circle(Layer.CUT, (40.0, 30.0), 12.5),
        Line(Layer.CENTER, (0.0, 50.0), (100.0, 50.0)),
        Arc(Layer.OUTLINE, (200.0, 0.0), 10.0, 0.0, pi),
        Fill(Layer.NORTH, ((150.0, 0.0), (160.0, 0.0), (155.0, 10.0))),
        Text(Layer.TEXT, (150.0, 50.0), "P7", 2.5, "center"),
    )
    return draft.page()


def test_a_quarter_and_a_half_circle_by_their_bulges() -> None:
    center, radius, start, sweep = arc_of((100.0, 80.0), (80.0, 100.0), QUARTER)
    assert center == pytest.approx((80.0, 80.0))
    assert (radius, start, sweep) == pytest.approx((20.0, 0.0, pi / 2.0))
    center, radius, _, sweep = arc_of((0.0, 0.0), (10.0, 0.0), -1.0)
    assert center == pytest.approx((5.0, 0.0))
    assert (radius, sweep) == pytest.approx((5.0, -pi))


def test_dxf_is_1_to_1_in_mm_whatever_the_scale_of_the_sheet() -> None:
    for per in (1.0, 4.0):
        document = ezdxf.read(io.StringIO(dxf(drawn(per)).decode()))
        assert document.header["$INSUNITS"] == 4
        space = document.modelspace()
        (hole,) = space.query("CIRCLE")
        assert hole.dxf.center.isclose((40.0, 30.0), abs_tol=0.01)
        assert hole.dxf.radius == pytest.approx(12.5, abs=0.01)
        (edge,) = space.query("LWPOLYLINE")
        assert edge.closed
        assert [tuple(p) for p in edge.get_points("xyb")] == [
            pytest.approx(p) for p in [(0, 0, 0), (100, 0, 0), (100, 80, QUARTER), (80, 100, 0), (0, 100, 0)]
        ]
        assert {e.dxf.layer for e in space} == {"CUT", "CENTER LINES", "OUTLINE", "NORTH", "TEXT"}
        (words,) = space.query("TEXT")
        assert words.dxf.text == "P7"
        assert words.dxf.height == pytest.approx(2.5 * per)
        (arc,) = space.query("ARC")
        assert (arc.dxf.start_angle, arc.dxf.end_angle) == pytest.approx((0.0, 180.0))
        assert not document.audit().errors


@pytest.mark.parametrize("per", [1.0, 4.0])
def test_pdf_is_true_to_scale(per: float) -> None:
    page = drawn(per)
    (read,) = pdf_pages(pdf([page], "a title"))
    assert (read.width, read.height) == pytest.approx((200.0, 150.0), abs=0.01)
    (hole,) = read.circles()
    assert hole == pytest.approx(((40.0 + 100.0) / per, (30.0 + 80.0) / per, 12.5 / per), abs=0.01)
    edge = max(read.paths, key=len)
    assert edge[1] - edge[0] == pytest.approx((100.0 / per, 0.0), abs=0.01)
    assert "P7" in read.words


def test_pdf_asks_not_to_be_scaled_and_is_the_same_each_time() -> None:
    data = pdf([drawn()], "t")
    assert b"/PrintScaling /None" in data
    assert data == pdf([drawn()], "t")


def test_pdf_cuts_what_lies_outside_of_a_window() -> None:
    page = drawn(1.0)
    cut = Page(page.width, page.height, 1.0, page.origin, page.marks, (), Box(0.0, 0.0, 50.0, 50.0))
    assert [words for words, _, _ in record(cut).texts] == []
    # (100, 80) mm from the paper's corner, 50 mm square, in points of 1/72 in, as the clipping path.
    assert b"283.4646 226.7717 141.7323 141.7323 re W* n" in pdf_content(pdf([cut], "t"))


def pdf_content(data: bytes) -> bytes:
    from pypdf import PdfReader

    return PdfReader(io.BytesIO(data)).pages[0].get_contents().get_data()


def test_svg_has_the_hole_where_the_paper_has_it() -> None:
    root = ElementTree.fromstring(svg(drawn(4.0)))
    (hole,) = root.iter("{http://www.w3.org/2000/svg}circle")
    at = tuple(float(hole.get(k, "")) for k in ("cx", "cy", "r"))
    assert at == pytest.approx((35.0, 150.0 - 27.5, 3.125), abs=0.001)
    assert root.get("width") == "200mm"


def test_the_recording_sees_words_on_words_and_words_on_edges() -> None:
    draft = Draft(100.0, 100.0)
    draft.write(10.0, 10.0, "one")
    draft.write(12.0, 11.0, "two")
    draft.add(Circle(Layer.HOLES, (50.0, 50.0), 5.0))
    draft.write(52.0, 50.0, "over the rim")
    draft.write(95.0, 90.0, "off the paper")
    found = record(draft.page())
    assert found.overlaps() == ["'two' on 'one'", "'over the rim' on the edge of a part"]
    assert found.outside(100.0, 100.0) == ["off the paper"]


def test_words_beside_a_hole_keep_off_it_and_off_each_other() -> None:
    draft = Draft(100.0, 100.0)
    for x in (30.0, 34.0, 38.0):
        draft.add(Circle(Layer.HOLES, (x, 50.0), 1.8))
    for x in (30.0, 34.0, 38.0):
        draft.beside((x, 50.0), "No. 100", 1.8)
    assert record(draft.page()).overlaps() == []


def test_no_room_is_told() -> None:
    draft = Draft(10.0, 10.0)
    assert not draft.beside((5.0, 5.0), "far too many words for this", 0.0)
    assert record(draft.page()).texts == []


def test_a_box_knows_what_crosses_it() -> None:
    box = Box(0.0, 0.0, 10.0, 10.0)
    assert box.crossed((-5.0, 5.0), (15.0, 5.0))
    assert box.crossed((2.0, 2.0), (3.0, 3.0))
    assert not box.crossed((-5.0, 5.0), (-1.0, 5.0))
    assert not box.crossed((-5.0, 8.0), (4.0, 17.0))
    assert not box.crossed((0.0, 10.0), (10.0, 10.0))  # along its side


def test_letters_take_the_room_that_the_font_says() -> None:
    # Adobe's Helvetica metrics: P 667, 7 556 thousandths of the size; capitals 718.
    assert width("P7", 7.18) == pytest.approx(6.67 + 5.56)
    turned = Text(Layer.TEXT, (0.0, 0.0), "P7", 7.18, "right", pi / 2.0)
    box = box_of(turned, 2.0)
    assert (box.low, box.high) == pytest.approx((-2.0 * 12.23, 0.0), abs=1e-9)


def test_wrapping_keeps_a_figure_with_its_fraction() -> None:
    words = "it lies 4 1/2 in from there"
    for room in range(8, 40, 2):
        lines = list(wrapped(words, 2.0, float(room)))
        assert " ".join(lines) == words
        assert not any(line.endswith(("4", "1/2")) for line in lines if width("4 1/2 in", 2.0) <= room)
    assert all(width(line, 2.0) <= 8.0 for line in wrapped("Hochwasserschutzmauer", 2.0, 8.0))


def test_chords_of_a_circle_lie_on_it() -> None:
    chords = list(segments(Circle(Layer.HOLES, (1.0, 2.0), 3.0)))
    assert chords[0][0] == pytest.approx((4.0, 2.0))
    assert chords[12][0] == pytest.approx((1.0 + 3.0 * cos(pi / 2), 2.0 + 3.0 * sin(pi / 2)))
    assert chords[-1][1] == pytest.approx(chords[0][0])


def painted() -> Page:
    """A ring of color with a hole and a pattern, a bent bar, at 1:2."""
    draft = Draft(100.0, 80.0, 2.0)
    square = ((20.0, 20.0), (60.0, 20.0), (60.0, 60.0), (20.0, 60.0))
    hole = ((35.0, 35.0), (45.0, 35.0), (45.0, 45.0), (35.0, 45.0))
    draft.add(
        Area(Layer.STEEL, (square, hole), "#dc8919", "#000000", 0.2, Pattern.HATCH, 2.0),
        Stroke(Layer.STEEL, ((100.0, 20.0), (140.0, 20.0), (140.0, 60.0)), 8.0, "#1e22bd", "#0e1057"),
        Text(Layer.TEXT, (70.0, 100.0), "red", 3.0, ink="#b0011c"),
    )
    return draft.page()


def shown(data: bytes, scale: float = 4.0) -> np.ndarray[Any, Any]:
    """The pixels of a PDF's first page, `scale` to the mm."""
    import pypdfium2

    page = pypdfium2.PdfDocument(data)[0]
    return np.asarray(page.render(scale=scale * 25.4 / 72.0).to_pil().convert("RGB")).astype(int)


def test_colors_holes_and_bars_lie_where_they_should_on_paper() -> None:
    pixels = shown(pdf([painted()], "t"))

    def at(x: float, y: float) -> tuple[int, ...]:
        """mm of the thing."""
        return tuple(pixels[round((80.0 - y / 2.0) * 4.0), round(x / 2.0 * 4.0)].tolist())

    orange, blue, white = (0xDC, 0x89, 0x19), (0x1E, 0x22, 0xBD), (255, 255, 255)
    found = [at(20.5 + dx, 20.9 + dy) for dx in np.arange(1.0, 12.0, 0.5) for dy in np.arange(1.0, 12.0, 0.5)]
    assert found.count(orange) > len(found) / 2
    assert at(40.0, 40.0) == white  # in the hole
    assert at(120.0, 20.0) == blue
    assert at(140.0, 40.0) == blue
    assert at(120.0, 27.0) == white  # 8 mm thick: 4 to either side
    assert at(97.0, 20.0) == white  # flat at its end
    assert (0xB0, 0x01, 0x1C) in {tuple(p) for p in pixels.reshape(-1, 3).tolist()}


def test_svg_and_dxf_have_the_same_colors() -> None:
    text = svg(painted())
    ElementTree.fromstring(text)
    for color in ("#dc8919", "#1e22bd", "#b0011c"):
        assert color in text
    document = ezdxf.read(io.StringIO(dxf(painted()).decode()))
    space = document.modelspace()
    (fill,) = space.query("HATCH")
    assert fill.dxf.true_color == 0xDC8919
    assert len(fill.paths) == 2
    bar = next(e for e in space.query("LWPOLYLINE") if e.dxf.get("true_color") == 0x1E22BD)
    assert [p[2:4] for p in bar.get_points("xyse")] == [(8.0, 8.0)] * 3
    assert not document.audit().errors


def test_an_image_lies_in_its_box_and_no_dxf_takes_it() -> None:
    import PIL.Image

    stream = io.BytesIO()
    PIL.Image.new("RGB", (8, 8), "#08749e").save(stream, "PNG")
    draft = Draft(50.0, 50.0)
    draft.add(Image(Layer.PICTURE, Box(10.0, 20.0, 30.0, 40.0), stream.getvalue()))
    pixels = shown(pdf([draft.page()], "t"))
    blue = (pixels == np.array([0x08, 0x74, 0x9E])).all(axis=2)
    rows, columns = np.flatnonzero(blue.any(axis=1)), np.flatnonzero(blue.any(axis=0))
    assert [columns[0], columns[-1] + 1] == pytest.approx([40, 120], abs=1)
    assert [rows[0], rows[-1] + 1] == pytest.approx([40, 120], abs=1)
    assert "data:image/png;base64," in svg(draft.page())
    assert record(draft.page()).images == [Box(10.0, 20.0, 30.0, 40.0)]
    with pytest.raises(ValueError, match="holds no image"):
        dxf(draft.page())


def test_a_hatch_stays_in_its_area_and_out_of_its_holes() -> None:
    area = painted().marks[0]
    assert isinstance(area, Area)
    strokes = hatch(area, 2.0)
    # 45 degrees, 4 mm of the thing apart: the area of 1500 mm2 takes about 1500 / 4 mm of lines.
    assert sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in strokes) == pytest.approx(1500.0 / 4.0, rel=0.1)
    for a, b in strokes:
        assert inside(((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0), area.rings)
    for pattern in (Pattern.DOTS, Pattern.STONES):
        scattered = hatch(replace(area, pattern=pattern), 2.0)
        assert scattered
        assert all(inside(p, area.rings) for run in scattered for p in run)
    assert hatch(replace(area, pattern=Pattern.PLAIN), 2.0) == []


def test_words_within_steel_are_seen_and_not_put_there() -> None:
    draft = Draft(60.0, 60.0)
    draft.add(Area(Layer.STEEL, (((5.0, 5.0), (55.0, 5.0), (55.0, 55.0), (5.0, 55.0)),), "#364021"))
    assert not draft.clear(Box(20.0, 20.0, 30.0, 24.0))
    draft.write(20.0, 20.0, "within")
    assert record(draft.page()).overlaps() == ["'within' within a part"]


def test_a_leader_runs_through_no_words() -> None:
    draft = Draft(60.0, 60.0)
    draft.write(10.0, 30.0, "mmmmmmmm")
    box = box_of(draft.marks[0], 1.0)
    assert draft.crosses_words((0.0, 31.0), (60.0, 31.0))
    assert not draft.crosses_words((0.0, 40.0), (60.0, 40.0))
    assert draft.crosses_words((0.0, box.high + 0.3), (60.0, box.high + 0.3), 0.5)
