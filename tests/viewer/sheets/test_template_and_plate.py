"""Templates and plates: places by arithmetic, and read back from the written files."""

from __future__ import annotations

import io
from collections.abc import Callable
from math import hypot, radians
from pathlib import Path

import ezdxf
import numpy as np
import pytest
from msgspec.structs import replace

from clash.judge import judge
from models.lengths import Units
from models.motion import Motion
from models.outline import circle, rectangle
from models.reading.loading import load_site
from models.spec.seat import Weld
from tests.support.drawn import pdf_pages
from viewer.drawing.dxf import dxf
from viewer.drawing.layers import Layer
from viewer.drawing.marks import Box, Line
from viewer.drawing.page import PAPERS, Draft
from viewer.drawing.pdf import pdf
from viewer.drawing.recording import record
from viewer.paper.cut import plan_of
from viewer.paper.job import Job, SheetFile, sheet
from viewer.paper.overview import Words, hole_table, overview
from viewer.paper.plan import Hole, Plan, bounds, diagonals, draw_plan, north_corner
from viewer.paper.running import HEIGHT, along_bottom
from viewer.paper.tiles import OVERLAP, grid, tile_name, tiled
from viewer.paper.title import Title

INCH = 25.4
TITLE = Title("Reedbank Field Station", "Template", "template", "2025-05-06", "0" * 12)
Sheets = Callable[[str], dict[str, SheetFile]]


def words_of(file: SheetFile, page: int = 0) -> list[str]:
    return [words for words, _, _ in record(file.pages[page]).texts]


def four(turn: float = 0.0) -> Plan:
    """A 24 in square with four 1 in holes, 7 in apart."""
    holes = tuple(
        Hole(n, x * INCH, y * INCH, INCH)
        for n, (x, y) in enumerate([(-3.5, -3.5), (3.5, -3.5), (-3.5, 3.5), (3.5, 3.5)], start=1)
    )
    frame = Motion.turned(radians(turn))
    return Plan(rectangle(24 * INCH, 24 * INCH), holes, (circle(5 * INCH),), None, frame)


def test_piers_that_share_a_pattern_share_a_sheet(demo_sheets: Sheets) -> None:
    heads = {
        stem: [w for w in words_of(file) if w.startswith("Make ")]
        for stem, file in demo_sheets("template").items()
    }
    # piers.csv: P1 to P11 share one pattern, P12's rods follow the header, P15 has an anchor moved.
    assert heads == {
        "template-P1": ["Make 11, for P1 to P11."],
        "template-P12": ["Make 1, for P12."],
        "template-P13": ["Make 5, for P13, P14, P16 to P18."],
        "template-P15": ["Make 1, for P15."],
        "template-P19": ["Make 6, for P19 to P24."],
    }


def test_running_figures_are_from_the_edge(demo_sheets: Sheets) -> None:
    # Plywood 24 in square, rods at -4 and 4 in: 12 - 4 and 12 + 4 from the west edge, 12 from the south one;
    # the opening is 12 by 5 in about (0, -6): 6 to 18 in along, 3 1/2 to 8 1/2 in up.
    words = words_of(demo_sheets("template")["template-P1"])
    for figure in ('0"', '8"', "1'-0\"", "1'-4\"", "2'-0\"", '6"', "1'-6\"", '3 1/2"', '8 1/2"'):
        assert figure in words
    assert "VIEWED FROM ABOVE" in words
    assert {"N face", "S face", "E face", "W face", "NE corner"} <= set(words)


def test_a_dxf_has_each_hole_where_the_site_puts_it(demo_sheets: Sheets) -> None:
    file = demo_sheets("template")["template-P1"]
    assert file.cad is not None
    space = ezdxf.read(io.StringIO(dxf(file.cad).decode())).modelspace()
    found = sorted(
        (c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in space.query('CIRCLE[layer=="HOLES"]')
    )
    want = [(-4 * INCH, 0.0, 17 / 32 * INCH), (4 * INCH, 0.0, 17 / 32 * INCH)]
    assert np.array(found) == pytest.approx(np.array(want), abs=0.01)
    (edge,) = space.query('LWPOLYLINE[layer=="OUTLINE"]')
    corners = np.array([p[:2] for p in edge.get_points("xy")])
    assert np.abs(corners) == pytest.approx(np.full((4, 2), 12 * INCH), abs=0.01)


def test_what_a_machine_cuts_is_alone_on_its_layer(demo_sheets: Sheets) -> None:
    file = demo_sheets("plate")["plate-PL1"]
    assert file.cad is not None
    space = ezdxf.read(io.StringIO(dxf(file.cad).decode())).modelspace()
    cut = [e for e in space if e.dxf.layer == "CUT"]
    assert sorted(e.dxftype() for e in cut) == ["CIRCLE"] * 4 + ["LWPOLYLINE"]
    # No. 8 anchors in a grid of 7 in, holes 1 3/8 in: at (+-3 1/2, +-3 1/2).
    for hole in (e for e in cut if e.dxftype() == "CIRCLE"):
        assert (abs(hole.dxf.center.x), abs(hole.dxf.center.y)) == pytest.approx(
            (3.5 * INCH, 3.5 * INCH), abs=0.01
        )
        assert hole.dxf.radius == pytest.approx(11 / 16 * INCH, abs=0.01)
    (edge,) = (e for e in cut if e.dxftype() == "LWPOLYLINE")
    assert edge.closed


def test_a_plate_says_what_the_shop_needs(demo_sheets: Sheets) -> None:
    words = " ".join(words_of(demo_sheets("plate")["plate-PL1"]))
    for said in (
        "PLATE PL1",
        "Make 5",
        "A36, galvanized",
        '1 3/8"',
        '2 1/2"',
        "NE corner",
        "weldable",
        "W1 FIELD WELD: each bar anchor to the plate, in its hole, detail 4/S3.",
    ):
        assert said in words, said


def test_one_piece_mark_on_two_plates_is_told_on_both(demo_sheets: Sheets) -> None:
    plates = demo_sheets("plate")
    assert set(plates) == {"plate-PL1", "plate-PL1-P15", "plate-PL2", "plate-PL2-P22"}
    assert "CAUTION: PL2 is drawn differently for P22" in " ".join(words_of(plates["plate-PL2"]))
    assert "CAUTION: PL2 is drawn differently for P19" in " ".join(words_of(plates["plate-PL2-P22"]))


def test_a_turned_pier_has_the_same_plate_stamped_for_another_corner(site: Path) -> None:
    text = site.read_text(encoding="utf-8")
    p2 = "  - {mark: P2, x: 10', y: 0, top: 4'-0\", bottom: 0, kind: plate pier}\n"
    assert p2 in text
    turned = p2.replace("P2", "P3").replace("x: 10'", "x: 20', turn: 45")
    text = text.replace(p2, p2 + turned).replace('thickness: 1/2"\n', 'thickness: 1/2"\n        mark: PA\n')
    site.write_text(text, encoding="utf-8")
    made = load_site(site)
    plates = {f.stem: " ".join(words_of(f)) for f in sheet("plate")(Job(made, judge(made), "2025-05-06"))}
    assert set(plates) == {"plate-PA", "plate-PA-P3"}
    for stem, corner, other in (("plate-PA", "NE", "P3"), ("plate-PA-P3", "N", "P2")):
        assert f"the piece mark and the {corner} corner" in plates[stem]
        assert f"PA for {other} is cut alike" in plates[stem]
        assert "drawn differently" not in plates[stem]


def test_diagonals_to_check() -> None:
    # 7 in square: both diagonals are 7 times the root of two.
    assert [(a.number, b.number) for a, b, _ in diagonals(four())] == [(1, 4), (2, 3)]
    assert [d for _, _, d in diagonals(four())] == pytest.approx([7 * INCH * 2**0.5] * 2)


@pytest.mark.parametrize(
    ("turn", "corner"), [(0.0, "NE"), (45.0, "N"), (90.0, "NE"), (200.0, "NE"), (-30.0, "NE")]
)
def test_the_north_corner_is_named_by_the_site(turn: float, corner: str) -> None:
    point, name = north_corner(four(turn))
    x, y, _ = Motion.turned(radians(turn)).vectors(np.array([*point, 0.0])).tolist()
    assert hypot(*point) == pytest.approx(12 * INCH * 2**0.5)
    others = [
        Motion.turned(radians(turn)).vectors(np.array([sx, sy, 0.0]))[1] for sx in (-1, 1) for sy in (-1, 1)
    ]
    assert y >= max(others) * 12 * INCH - 1e-6
    if turn in (0.0, 45.0, 90.0):
        assert name == corner
        assert (x > 0.0) == (corner == "NE") or abs(x) < 1e-6


def test_bounds_of_arcs_are_exact() -> None:
    box = bounds(circle(10.0, (3.0, 4.0)))
    assert (box.left, box.low, box.right, box.high) == pytest.approx((-2.0, -1.0, 8.0, 9.0))


def test_figures_that_would_touch_step_aside_in_order() -> None:
    draft = Draft(200.0, 100.0)
    places = [50.0, 50.5, 51.0, 90.0, 50.5]
    along_bottom(draft, 60.0, places, lambda x: f"{x:g}")
    found = record(draft.page())
    assert found.overlaps() == []
    at = {words: (box.left + box.right) / 2.0 for words, box, _ in found.texts}
    assert list(at) == ["50", "50.5", "51", "90"]
    assert at["50.5"] - at["50"] == pytest.approx(1.55 * HEIGHT)
    assert abs(at["90"] - 90.0) < 0.5 * HEIGHT


@pytest.mark.parametrize("units", list(Units))
@pytest.mark.parametrize("paper", ["letter", "A4", "tabloid", "arch E"])
def test_the_printed_scale_is_1_to_1_by_the_pages_content(paper: str, units: Units) -> None:
    plan = four()
    pages = tiled(plan, PAPERS[paper], TITLE, units)
    holes: dict[tuple[float, float], int] = {}
    for page, read in zip(pages, pdf_pages(pdf(pages, "t")), strict=True):
        assert {round(read.width, 1), round(read.height, 1)} == {round(v, 1) for v in PAPERS[paper]}
        for x, y, r in read.circles():
            if abs(r - INCH / 2.0) < 0.01:
                assert r == pytest.approx(INCH / 2.0, abs=0.01)
                place = (round((x + page.origin[0]) / INCH, 3), round((y + page.origin[1]) / INCH, 3))
                holes[place] = holes.get(place, 0) + 1
        side = 25.4 if units is Units.FT_IN else 25.0
        lines = [p for p in read.paths if len(p) == 2]
        sizes = [np.abs(p[1] - p[0]) for p in lines]
        for axis in (0, 1):  # the square beside the frame, in both axes
            assert sum(abs(s[axis] - side) < 0.01 and s[1 - axis] < 1e-6 for s in sizes) >= 2
    assert set(holes) == {(-3.5, -3.5), (3.5, -3.5), (-3.5, 3.5), (3.5, 3.5)}


def test_tiles_cover_the_plan_overlap_and_share_their_crosses() -> None:
    cut = grid(Box(0.0, 0.0, 600.0, 500.0), PAPERS["letter"], Units.FT_IN)
    first, right, up = cut.window(0, 0), cut.window(1, 0), cut.window(0, 1)
    assert first.right - right.left == pytest.approx(OVERLAP)
    assert first.high - up.low == pytest.approx(OVERLAP)
    last = cut.window(cut.across - 1, cut.up - 1)
    assert first.left <= 0.0
    assert first.low <= 0.0
    assert last.right >= 600.0
    assert last.high >= 500.0
    assert (cut.wide / 12.7) % 1 == pytest.approx(0.0)
    cross = (first.right - OVERLAP / 2.0, first.high - OVERLAP / 2.0)
    for window in (first, right, up, cut.window(1, 1)):
        assert window.left < cross[0] < window.right
        assert window.low < cross[1] < window.high


def test_a_plotter_sheet_takes_the_whole_template_on_one_page() -> None:
    assert len(tiled(four(), PAPERS["arch E"], TITLE, Units.FT_IN)) == 1
    assert len(tiled(four(), PAPERS["letter"], TITLE, Units.FT_IN)) > 1


def test_tiles_are_named_from_the_upper_left() -> None:
    assert [tile_name(i, j, 3) for i, j in [(0, 2), (1, 2), (0, 0), (26, 1)]] == ["A1", "B1", "A3", "AA2"]


def test_the_paper_of_the_site_is_used(demo_job: Job) -> None:
    info = demo_job.site.spec.site.model_copy(update={"paper": "arch E"})
    spec = demo_job.site.spec.model_copy(update={"site": info})
    job = replace(demo_job, site=replace(demo_job.site, spec=spec))
    first = next(iter(sheet("template")(job)))
    assert len(first.pages) == 2
    assert (first.pages[1].width, first.pages[1].height) in (PAPERS["arch E"], PAPERS["arch E"][::-1])
    assert max(first.pages[0].width, first.pages[0].height) == pytest.approx(279.4)


@pytest.mark.parametrize("turn", [0.0, 17.0, 45.0])
def test_a_plan_with_many_holes_finds_room_for_every_word(turn: float) -> None:
    holes = tuple(Hole(n + 1, 50.0 * (n % 6 - 2.5), 50.0 * (n // 6 - 2.5), 20.0) for n in range(36))
    plan = Plan(rectangle(400.0, 400.0), holes, (), rectangle(380.0, 380.0), Motion.turned(radians(turn)))
    draft = Draft(300.0, 300.0, 3.0, (-450.0, -450.0))
    draw_plan(draft, plan, Units.MM)
    found = record(draft.page())
    assert found.overlaps() == []
    assert {str(n + 1) for n in range(36)} <= {words for words, _, _ in found.texts}


def test_welds_finish_and_revision_stand_on_the_plate(demo_job: Job) -> None:
    welds = [
        Weld(what="anchors to plate, detail 4/S3"),
        Weld(what="post to plate, 5/S3.", where="field", flush=True),
    ]
    piers = []
    for pier in demo_job.site.piers:
        seat = pier.spec.seat
        if seat.plate is not None:
            plate = seat.plate.model_copy(update={"welds": welds, "finish": "galvanized", "revision": "C"})
            seat = seat.model_copy(update={"plate": plate})
        piers.append(replace(pier, spec=pier.spec.model_copy(update={"seat": seat})))
    job = replace(demo_job, site=replace(demo_job.site, piers=tuple(piers)))
    first = next(iter(sheet("plate")(job)))
    words = " ".join(words_of(first))
    assert "SHOP WELD: anchors to plate, detail 4/S3." in words
    assert "FIELD WELD: post to plate, 5/S3. Ground flush." in words
    assert "Finish: galvanized. Revision: C." in words
    assert "Coating is held back from each weld" in words
    assert "states none" not in words


def test_a_hundred_holes_keep_their_numbers_or_say_so() -> None:
    holes = tuple(Hole(n + 1, 40.0 * (n % 10 - 4.5), 40.0 * (n // 10 - 4.5), 22.0) for n in range(100))
    plan = Plan(rectangle(500.0, 500.0), holes, (), None, Motion.identity())
    beside = Words((), (), (("Holes", hole_table(plan, Units.MM, edge=True)),))
    pages = overview(plan, beside, PAPERS["A4"], TITLE, Units.MM)
    words = {w for w, _, layer in record(pages[0]).texts if layer is Layer.TEXT}
    missing = [str(n) for n in range(1, 101) if str(n) not in words]
    told = " ".join(w for w in words if "No room" in w)
    assert bool(missing) == bool(told)
    rows = {w for page in pages for w, _, _ in record(page).texts}
    assert {str(n) for n in range(1, 101)} <= rows
    for page in pages:
        assert record(page).overlaps() == []
        assert record(page).outside(page.width, page.height) == []


def test_the_table_of_holes_measures_from_the_edges_that_it_names(demo_job: Job) -> None:
    # P12's plywood is 24 in square about its center, its rods at (-4, 10 1/4) and (4, 10 1/4).
    pier = next(p for p in demo_job.site.piers if p.mark == "P12")
    table = hole_table(plan_of(pier, "template"), Units.FT_IN, edge=False)
    assert table.titles[:3] == ("hole", "from\nW edge", "from\nS edge")
    assert [row[:3] for row in table.rows] == [("1", '8"', "1'-10 1/4\""), ("2", "1'-4\"", "1'-10 1/4\"")]
    # P15's second anchor at (4.1, -2.9): 16.1 and 9.1 in, no sixteenths.
    pier = next(p for p in demo_job.site.piers if p.mark == "P15")
    table = hole_table(plan_of(pier, "template"), Units.FT_IN, edge=False)
    assert table.rows[1][:5] == ("2", "1'-4 1/8\"", '9 1/8"', '16.100"', '9.100"')


def test_the_frame_of_a_tile_is_drawn_round_what_it_shows() -> None:
    for page in tiled(four(), PAPERS["letter"], TITLE, Units.FT_IN):
        assert page.window is not None
        low = page.on_paper((page.window.left, page.window.low))
        high = page.on_paper((page.window.right, page.window.high))
        ends = {
            (round(x, 6), round(y, 6))
            for mark in page.frame
            if isinstance(mark, Line) and mark.layer is Layer.SCALE_CHECK
            for x, y in map(page.on_paper, (mark.start, mark.end))
        }
        for corner in (low, high, (low[0], high[1]), (high[0], low[1])):
            assert (round(corner[0], 6), round(corner[1], 6)) in ends
