"""A fabricator's drawing against the demo's plates: what is off, missing, extra, mirrored, and what not."""

from __future__ import annotations

from math import cos, pi, radians, sin, tan
from pathlib import Path
from random import Random

import ezdxf
import pytest

from clash.report.findings import Level
from clash.shop.compare import Comparison, compare
from clash.shop.reading import read_shop_drawing
from clash.shop.strokes import strokes
from clash.shop.wanted import Wanted, wanted
from models.build import build_site
from models.lengths import Units
from models.problems import BadInput
from models.reading.loading import load_site
from models.site import Site
from models.spec.seat import Pattern
from tests.support.shop_drawings import FOUR, ODD, WAYS, Holes, circles, drawing, new, save, square
from tests.viewer.running import DEMO

INCH = 25.4


@pytest.fixture(scope="module")
def site() -> Site:
    return load_site(DEMO / "reedbank.yaml")


@pytest.fixture(scope="module")
def plates(site: Site) -> list[Wanted]:
    return wanted(site.piers)


def compared(
    path: Path, plates: list[Wanted], unit: str | None = None, layer: str | None = None, **more: float
) -> Comparison:
    drawn = read_shop_drawing(path, [w.size for w in plates], unit, layer)
    return compare(drawn, plates, Units.FT_IN, **more)


def holds(found: Comparison) -> list[str]:
    return [d.says for d in found.differences if d.level is Level.HOLD]


def moved(holes: Holes, turn: float, by: tuple[float, float], mirror: bool = False) -> Holes:
    c, s = cos(radians(turn)), sin(radians(turn))
    side = -1.0 if mirror else 1.0
    return [(c * side * x - s * y + by[0], s * side * x + c * y + by[1], d) for x, y, d in holes]


@pytest.mark.parametrize("way", list(WAYS))
def test_the_same_holes_are_found_however_they_are_drawn(
    way: str, plates: list[Wanted], tmp_path: Path
) -> None:
    document, space = new()
    square(space)
    WAYS[way](space)
    drawn = read_shop_drawing(save(document, tmp_path), [w.size for w in plates])
    found = sorted((r.x, r.y, r.diameter) for r in drawn.rounds)
    want = sorted((x * INCH, y * INCH, d * INCH) for x, y, d in FOUR)
    assert len(found) == 4
    for got, asked in zip(found, want, strict=True):
        assert got == pytest.approx(asked, abs=0.01)
    assert compared(tmp_path / "shop.dxf", plates).differences == ()


@pytest.mark.parametrize(("insunits", "mm"), [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0)])
def test_a_header_that_agrees_with_the_plates_size_asks_nothing(
    insunits: int, mm: float, plates: list[Wanted], tmp_path: Path
) -> None:
    found = compared(drawing(tmp_path, insunits=insunits, scale=INCH / mm), plates)
    assert found.differences == ()
    assert found.plate.mark == "PL1"


def test_an_outline_of_single_lines_will_do(plates: list[Wanted], tmp_path: Path) -> None:
    document, space = new()
    corners = [(-6, -6), (6, -6), (6, 6), (-6, 6)]
    for i in (2, 0, 3, 1):  # in no order, and one of them backwards
        a, b = corners[i], corners[(i + 1) % 4]
        space.add_line(*((b, a) if i == 0 else (a, b)))
    circles(space)
    assert compared(save(document, tmp_path), plates).differences == ()


@pytest.mark.parametrize("turn", [0.0, 30.0, 90.0, 180.0, 271.5])
def test_a_plate_drawn_turned_and_elsewhere_is_the_same_plate(
    turn: float, plates: list[Wanted], tmp_path: Path
) -> None:
    document, space = new()
    corners = moved([(-6, -6, 0), (6, -6, 0), (6, 6, 0), (-6, 6, 0)], turn, (100.0, -40.0))
    space.add_lwpolyline([(x, y) for x, y, _ in corners], close=True)
    circles(space, moved(ODD, turn, (100.0, -40.0)))
    found = compared(save(document, tmp_path), plates)
    assert found.differences == ()
    assert [p.mark for p in found.plate.piers] == ["P15"]
    # Laying it back on the pier takes the opposite turn.
    assert any(f"turned by {(-turn) % 360.0:.1f} degrees" in fact for fact in found.facts) == (turn != 0.0)


def test_a_mirrored_plate_is_told_where_it_makes_a_difference(site: Site, tmp_path: Path) -> None:
    only = wanted(site.piers, "P15")
    found = compared(drawing(tmp_path, moved(ODD, 0.0, (0.0, 0.0), mirror=True)), only)
    assert found.laid.mirrored
    assert holds(found) == ["It is drawn mirrored, as if seen from below, and that makes a difference."]


def test_a_pattern_that_cannot_tell_top_from_bottom_is_said_to_be_so(
    plates: list[Wanted], tmp_path: Path
) -> None:
    for mirror in (False, True):
        found = compared(drawing(tmp_path, moved(FOUR, 0.0, (0.0, 0.0), mirror)), plates)
        assert found.differences == ()
        assert any("cannot tell top from bottom" in fact for fact in found.facts)
    assert not any("top from bottom" in f for f in compared(drawing(tmp_path, ODD), plates).facts)


@pytest.mark.parametrize(("off", "told"), [(1 / 16, False), (1 / 16 + 0.001, True), (0.25, True)])
def test_a_hole_that_is_off(off: float, told: bool, plates: list[Wanted], tmp_path: Path) -> None:
    # 1/16 in is 1.5875 mm, just within the 1.6 mm that is looked for; 0.001 in more is just beyond.
    x, y, d = FOUR[0]
    found = compared(drawing(tmp_path, [(x + off, y, d), *FOUR[1:]]), plates)
    assert any(says.startswith("Hole 1 (SW) is off by") for says in holds(found)) == told
    if off == 0.25:
        (says,) = [s for s in holds(found) if s.startswith("Hole 1")]
        assert '+0.250" along x, 0.000" along y' in says.replace("+0.000", "0.000").replace("-0.000", "0.000")


def test_a_missing_and_an_extra_hole(plates: list[Wanted], tmp_path: Path) -> None:
    assert "Hole 4 (NE) is missing." in holds(
        compared(drawing(tmp_path, [h for h in FOUR if h[:2] != (3.5, 3.5)]), plates)
    )
    found = compared(drawing(tmp_path, [*FOUR, (0.0, 0.0, 0.5)]), plates)
    assert holds(found) == [
        'An extra hole, 0.500" across, 6.000" along x and 6.000" along y from the low corner.'
    ]


@pytest.mark.parametrize(("size", "told"), [(1.375 + 1 / 65, False), (1.25, True), (1.5, True)])
def test_a_hole_of_another_size(size: float, told: bool, plates: list[Wanted], tmp_path: Path) -> None:
    x, y, _ = FOUR[3]
    found = compared(drawing(tmp_path, [*FOUR[:3], (x, y, size)]), plates)
    says = [s for s in holds(found) if "than specified" in s]
    assert bool(says) == told
    if told:
        assert ("smaller" if size < 1.375 else "larger") in says[0]


def test_a_plate_of_another_size_is_told_once_its_unit_is_said(site: Site, tmp_path: Path) -> None:
    path = drawing(tmp_path, side=13.0)
    with pytest.raises(BadInput, match="no outline has the size of any plate"):
        compared(path, wanted(site.piers))
    found = compared(path, wanted(site.piers, "PL1"), unit="in")
    # 13 in against 12 in: each edge 1/2 in out, each corner 0.71 in (rounded up).
    assert (
        holds(found) == ["The outline is off by up to 0.71 in, 0.06 in at most looked for."]
        or "0.72" in holds(found)[0]
    )


def test_without_an_outline_edges_are_not_checked(plates: list[Wanted], tmp_path: Path) -> None:
    document, space = new()
    circles(space, ODD)
    found = compared(save(document, tmp_path), plates)
    assert [d.level for d in found.differences] == [Level.NOT_CHECKED]
    assert "no closed outline" in found.differences[0].says


def test_a_spline_is_not_checked(plates: list[Wanted], tmp_path: Path) -> None:
    document, space = new()
    square(space)
    circles(space)
    space.add_spline([(0, 0), (1, 1), (2, 0)])
    found = compared(save(document, tmp_path), plates)
    assert [(d.level, d.says.startswith("1 spline")) for d in found.differences] == [
        (Level.NOT_CHECKED, True)
    ]


def test_rods_with_their_tolerance(plates: list[Wanted], tmp_path: Path) -> None:
    # Hole 1 3/8 in, No. 8 over its ribs 1 + 2 x 0.050 in (ASTM A615, Table 1): play 0.1375 in,
    # 1/32 in of it required: 0.10625 in to spare.
    path = drawing(tmp_path)
    assert any("stand off by 0.10 in" in fact for fact in compared(path, plates).facts)
    assert compared(path, plates, rods_off=0.106 * INCH).differences == ()
    tight = compared(path, plates, rods_off=0.107 * INCH).differences
    assert [d.level for d in tight] == [Level.TIGHT] * 4


def test_rods_that_do_not_pass(plates: list[Wanted], tmp_path: Path) -> None:
    # The hole moved by 0.2 in: 0.1375 - 0.2 = -0.0625 in; by 0.7 in the anchor's center is outside of it.
    for off, word in ((0.2, "fouls its hole by 0.07 in"), (0.7, "meets no hole")):
        x, y, d = FOUR[0]
        found = compared(drawing(tmp_path, [(x, y + off, d), *FOUR[1:]]), plates)
        assert any(word in says for says in holds(found)), holds(found)


def test_what_else_has_the_size_is_named(plates: list[Wanted], tmp_path: Path) -> None:
    found = compared(drawing(tmp_path), plates)
    assert any("plate PL1 (P15) (--plate)" in fact for fact in found.facts)


def test_a_layer_chooses_among_plates(plates: list[Wanted], tmp_path: Path) -> None:
    document, space = new()
    for n, x in enumerate((0.0, 20.0)):
        square(space, at=(x, 0.0), layer=f"PLATE {n}")
        for hx, hy, d in FOUR:
            space.add_circle((hx + x, hy), d / 2, dxfattribs={"layer": f"PLATE {n}"})
    path = save(document, tmp_path)
    with pytest.raises(
        BadInput, match="2 plates are drawn in it; say which: --layer, one of PLATE 0, PLATE 1"
    ):
        compared(path, plates)
    assert compared(path, plates, layer="plate 1").differences == ()
    with pytest.raises(
        BadInput, match="nothing is drawn on a layer nonsense; its layers are PLATE 0, PLATE 1"
    ):
        compared(path, plates, layer="nonsense")


def test_hidden_layers_do_not_count(plates: list[Wanted], tmp_path: Path) -> None:
    document, space = new()
    square(space)
    circles(space)
    document.layers.add("OLD").off()
    space.add_circle((0, 0), 1.0, dxfattribs={"layer": "OLD"})
    assert compared(save(document, tmp_path), plates).differences == ()


def test_a_sheet_border_round_the_plate_is_not_the_plate(plates: list[Wanted], tmp_path: Path) -> None:
    document, space = new()
    square(space)
    square(space, side=40.0)
    circles(space)
    assert compared(save(document, tmp_path), plates).differences == ()


def test_our_own_drawing_of_a_plate_is_the_plate(site: Site, tmp_path: Path) -> None:
    from clash.judge import judge
    from viewer.drawing.dxf import dxf
    from viewer.paper.job import Job, sheet

    job = Job(site, judge(site), "2025-05-06")
    for file in sheet("plate")(job):
        assert file.cad is not None
        path = tmp_path / f"{file.stem}.dxf"
        path.write_bytes(dxf(file.cad))
        found = compared(path, wanted(site.piers))
        expected = ["Rod 1 of P22 fouls its hole by 0.22 in."] if file.stem == "plate-PL2-P22" else []
        assert holds(found) == expected


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "the file is empty, so no DXF"),
        (b"\n \n", "the file is empty, so no DXF"),
        (
            b"%PDF-1.7 this is no drawing at all",
            "this is no DXF that can be read; have it saved again as DXF",
        ),
        (bytes(range(256)) * 40, "this is no DXF that can be read; have it saved again as DXF"),
        (b"AC1032\0\0\0", "this is a DWG; have it saved as DXF"),
        (b"  0\nSECTION\n  2\nENTITIES\n  0\nLINE", None),
    ],
)
def test_what_is_no_dxf_is_one_line(data: bytes, says: str | None, tmp_path: Path) -> None:
    path = tmp_path / "shop.dxf"
    path.write_bytes(data)
    with pytest.raises(BadInput) as bad:
        read_shop_drawing(path, [(304.8, 304.8)])
    (problem,) = bad.value.problems
    assert "\n" not in str(problem)
    if says is not None:
        assert str(problem) == f"shop.dxf: {says}"


def test_missing_files_and_folders_are_one_line(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"^none\.dxf: there is no such drawing"):
        read_shop_drawing(tmp_path / "none.dxf", [])
    with pytest.raises(BadInput, match="this is no file"):
        read_shop_drawing(tmp_path, [])


def test_a_drawing_without_circles_is_one_line(tmp_path: Path) -> None:
    document, space = new()
    square(space)
    with pytest.raises(BadInput, match="there are no circles in it"):
        read_shop_drawing(save(document, tmp_path), [(304.8, 304.8)])


def test_a_drawing_without_its_unit_asks_with_what_would_agree(plates: list[Wanted], tmp_path: Path) -> None:
    path = drawing(tmp_path, insunits=0)
    with pytest.raises(
        BadInput, match=r"does not say its unit; read as in, an outline .*; say its unit: --unit in, ft, mm"
    ):
        compared(path, plates)
    assert compared(path, plates, unit="in").differences == ()


def test_a_header_that_lies_is_told(plates: list[Wanted], tmp_path: Path) -> None:
    with pytest.raises(
        BadInput, match="its header says mm, but read as in its outline has the size of a plate of the site"
    ):
        compared(drawing(tmp_path, insunits=4), plates)


def test_a_plate_that_the_site_does_not_have(site: Site) -> None:
    with pytest.raises(BadInput, match="there is no plate PL9; write one of PL1, PL2, or a pier"):
        wanted(site.piers, "PL9")
    assert ezdxf.version >= (1, 3)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("0.6875", "nan", "1 damaged entity"),
        ("0.6875", "O.6875", "1 damaged number"),
        ("0.6875", "1e308", "1 damaged entity"),
    ],
)
def test_a_damaged_number_is_told_and_never_guessed_in_silence(
    old: str, new: str, says: str, plates: list[Wanted], tmp_path: Path
) -> None:
    path = drawing(tmp_path)
    text = path.read_text()
    assert text.count(f"{old}\n") == 4
    path.write_text(text.replace(f"{old}\n", f"{new}\n", 1))
    found = compared(path, plates)
    assert any(d.level is Level.NOT_CHECKED and d.says.startswith(says) for d in found.differences)


def test_damage_of_any_kind_is_told_or_compared(plates: list[Wanted], tmp_path: Path) -> None:
    random = Random(7)
    path = drawing(tmp_path)
    lines = path.read_text().split("\n")
    first = lines.index("ENTITIES")
    seen = {True: 0, False: 0}
    for _ in range(60):
        damaged = list(lines)
        for _ in range(random.randint(1, 3)):
            at = random.randrange(first, len(damaged))
            damaged[at] = random.choice(
                ["nan", "1e308", "-1", "0", "", "abc", damaged[random.randrange(first, len(lines))]]
            )
        path.write_text("\n".join(damaged))
        try:
            compared(path, plates)
            seen[True] += 1
        except BadInput:
            seen[False] += 1
    assert min(seen.values()) > 5


def test_polylines_from_below_run_the_other_way(plates: list[Wanted], tmp_path: Path) -> None:
    # In a file, x of an entity whose extrusion points down runs the other way (the OCS of the DXF reference).
    document, space = new()
    square(space)
    for x, y, d in ODD:
        below = {"extrusion": (0, 0, -1)}
        space.add_lwpolyline(
            [(-x - d / 2, y, 1), (-x + d / 2, y, 1)], format="xyb", close=True, dxfattribs=below
        )
    found = compared(save(document, tmp_path), plates)
    assert found.differences == ()
    assert [p.mark for p in found.plate.piers] == ["P15"]
    assert not found.laid.mirrored


@pytest.mark.parametrize("side", [1, -1])
def test_a_rounded_corner_stays_round_from_below(side: int) -> None:
    # A 100 by 100 square with one corner rounded by 20: its area lacks (1 - pi / 4) of 20 by 20.
    _, space = new()
    bulge = tan(pi / 8.0)
    corners = [(0, 0, 0), (100, 0, 0), (100, 80, bulge), (80, 100, 0), (0, 100, 0)]
    space.add_lwpolyline(
        [(side * x, y, side * b) for x, y, b in corners],
        format="xyb",
        close=True,
        dxfattribs={"extrusion": (0, 0, side)},
    )
    (ring,) = strokes(space, frozenset()).rings
    assert ring.loop.area == pytest.approx(10_000.0 - (1.0 - pi / 4.0) * 400.0)


def test_mirrored_is_told_even_where_it_moves_one_hole_alone(site: Site, tmp_path: Path) -> None:
    holes = [*FOUR, (0.1, 1.0, 1.375)]
    pier = next(p for p in site.spec.piers if p.mark == "P13")
    at = [(x * INCH, y * INCH) for x, y, _ in holes]
    bored = pier.seat.plate.holes.model_copy(update={"pattern": Pattern(at=at)})
    plate = pier.seat.plate.model_copy(update={"holes": bored})
    changed = pier.model_copy(update={"seat": pier.seat.model_copy(update={"plate": plate})})
    built = build_site(site.spec.model_copy(update={"piers": [changed], "beams": []}), "0" * 64)
    found = compared(drawing(tmp_path, moved(holes, 0.0, (0.0, 0.0), mirror=True)), wanted(built.piers))
    assert holds(found) == ["It is drawn mirrored, as if seen from below, and that makes a difference."]
    assert compared(drawing(tmp_path, holes), wanted(built.piers)).differences == ()
