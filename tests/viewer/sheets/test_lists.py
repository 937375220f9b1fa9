"""Drilling, grout and bars: figures by arithmetic."""

from __future__ import annotations

from collections.abc import Callable
from math import pi

import numpy as np
import pytest
from msgspec.structs import replace

from models.lengths import Units, on_a_sixteenth, show_decimal
from models.shapes.spine import straight, swept
from models.shapes.volumes import CUBIC_FOOT, show_volume, show_weight, volume_from
from viewer.drawing.recording import record
from viewer.paper.bar_shapes import inside_bend, legs, shape_words
from viewer.paper.job import Job, SheetFile, sheet
from viewer.paper.table import Table

INCH = 25.4
Sheets = Callable[[str], dict[str, SheetFile]]


def rows_of(file: SheetFile) -> list[list[str]]:
    """The words of all pages, those that stand on one line together, left to right."""
    rows: list[list[str]] = []
    for page in file.pages:
        lines: dict[float, list[tuple[float, str]]] = {}
        for words, box, _ in record(page).texts:
            lines.setdefault(round(box.low, 1), []).append((box.left, words))
        rows += [[w for _, w in sorted(line)] for _, line in sorted(lines.items(), reverse=True)]
    return rows


def test_holes_of_a_beam_from_its_named_end_and_face(demo_sheets: Sheets) -> None:
    # B1: 12 in past P1's center to the west, rods 4 in west and east of each center, piers every 10 ft;
    # 5 1/4 in wide with the rods on its center line: 2 5/8 in from its north face.
    rows = rows_of(demo_sheets("drilling")["drilling-B1"])
    for n in range(6):
        west, east = (10 * n, 8), (10 * n + 1, 4)
        for k, (side, (feet, inches)) in enumerate([("W", west), ("E", east)]):
            along = f"{feet}'-{inches}\"" if feet else f'{inches}"'
            want = [
                str(2 * n + k + 1),
                f"P{n + 1}",
                f"rod {k + 1} ({side})",
                along,
                '2 5/8"',
                '1 1/16"',
                '3" x 3"',
            ]
            assert any(row[: len(want)] == want for row in rows), want
    words = " ".join(w for row in rows for w in row)
    assert "AS DRAWN: MEASURE BEFORE DRILLING" in words
    assert "west end (named)" in words
    assert "N face (named)" in words
    assert "52'-0\" long" in words


def test_a_rod_without_a_hole_is_told(demo_job: Job) -> None:
    beams = [
        beam.model_copy(update={"holes_at": [(-4 * INCH, 0.0)]}) if beam.name == "B3" else beam
        for beam in demo_job.site.spec.beams
    ]
    from models.build import build_site

    spec = demo_job.site.spec.model_copy(update={"beams": beams})
    job = replace(demo_job, site=build_site(spec, demo_job.site.sha256))
    made = {file.stem: file for file in sheet("drilling")(job)}
    words = " ".join(w for row in rows_of(made["drilling-B3"]) for w in row)
    assert "Rod 2 (N) of P12 comes up under the beam where no hole is" in words


def test_grout_by_arithmetic(demo_sheets: Sheets) -> None:
    # PL1: 12 x 12 x 1 1/2 = 216 in3 = 0.125 cu ft; PL2: 11 x 11 x 1 3/4 = 211.75 in3 = 0.1225 cu ft.
    rows = rows_of(demo_sheets("grout")["grout"])
    assert ["P13", "5'-10\"", "5'-11 1/2\"", '1 1/2"', '1"', '2 1/2"', "within", "0.13 cu ft"] in rows
    assert ["P24", "6'-0\"", "6'-1 3/4\"", '1 3/4"', '1"', '2 1/2"', "within", "0.12 cu ft"] in rows
    # In all 6 x (216 + 211.75) / 1728 = 1.485 cu ft; levels: top + the greatest least, 1 in.
    assert ["12", "1.49 cu ft", "yield not stated"] in rows
    assert ["P19 to P24", "6'-1 3/4\"", "6'-1\"", "high enough"] in rows


@pytest.mark.parametrize(
    ("above", "verdict"),
    [
        (1.0, "within"),
        (2.5, "within"),
        (0.99, "too thin: ask the engineer"),
        (2.51, "too thick: ask the engineer"),
    ],
)
def test_grout_against_least_and_most(demo_job: Job, above: float, verdict: str) -> None:
    from models.build import build_site

    pier = next(p for p in demo_job.site.spec.piers if p.mark == "P13")
    plate = pier.seat.plate.model_copy(update={"above": above * INCH})
    pier = pier.model_copy(update={"seat": pier.seat.model_copy(update={"plate": plate})})
    info = demo_job.site.spec.site.model_copy(update={"grout_bag": 0.45 * CUBIC_FOOT})
    spec = demo_job.site.spec.model_copy(update={"piers": [pier], "beams": [], "site": info})
    (file,) = sheet("grout")(replace(demo_job, site=build_site(spec, "0" * 64)))
    (row,) = (row for row in rows_of(file) if row[0] == "P13" and len(row) > 4)
    assert row[6] == verdict
    assert row[8] == f"{144 * above / 1728 / 0.45:.2f}"


def test_no_plates_no_grout_sheet(demo_job: Job) -> None:
    piers = tuple(p for p in demo_job.site.piers if p.spec.seat.plate is None)
    assert list(sheet("grout")(replace(demo_job, site=replace(demo_job.site, piers=piers)))) == []


def test_bars_by_arithmetic(demo_sheets: Sheets) -> None:
    rows = rows_of(demo_sheets("bars")["bars"])
    # Verticals of a 5 ft pier from 2 in above its bottom to 3 in below its top: 4'-7"; 8 in each of 11 piers;
    # ASTM A615 No. 6: 1.502 lb/ft, so 88 x 1.502 x 55/12 = 605.8 lb.
    assert ["V1", "vertical", "No. 6", "88", "straight", "4'-7\"", "605.8 lb", "P1 to P3, P5 to P12"] in rows
    (at,) = (k for k, row in enumerate(rows) if row[0] == "T1" and len(row) > 4)
    shape = f"{rows[at][4]} {rows[at + 1][0]}"  # it takes two lines
    # A cage 15 1/2 in out to out.
    assert shape.count("1'-3 1/2\"") == 4
    (hoop,) = (row for row in rows if row[0] == "H1" and len(row) > 4)
    assert "ring 1'-6\" outside" in hoop[4]
    # A rod 18 1/2 in above, 3 ft embedded, the greatest 1 in nut (ASME B18.2.2: 1.012 in) below: 55.51 in.
    assert any(row[0] == "rod" and row[1].startswith("1 in x 4'-7 1/2\"") and row[2] == "24" for row in rows)
    # 24 in square less four corners of 3/4 in, 60 in high, top chamfer 3/4 in round about 4 x 24 in:
    # (576 - 1.125) x 60 - about 94 x 0.28 in3 = 34,466 in3 = 0.739 cu yd, and 8.13 for eleven.
    assert ["P1 to P3, P5 to P12", "11", "0.74 cu yd", "8.13 cu yd"] in rows


def test_legs_out_to_out_by_closed_form() -> None:
    # An L of 300 and 200 mm along its center line to the corner, bar 20 mm: out to out 10 mm more each.
    bar = swept([(0, 0, 0), (300, 0, 0), (300, 200, 0)], 50.0, 10.0)
    assert [leg.length for leg in legs(bar)] == pytest.approx([310.0, 210.0])
    assert [leg.then for leg in legs(bar)] == pytest.approx([pi / 2.0, 0.0])
    assert inside_bend(bar) == pytest.approx(80.0)
    assert shape_words(bar, Units.MM) == "310 mm (90°) 210 mm"
    # A half-turn hook, 100 mm across its center lines: the outermost point is 50 + 10 past where it begins.
    hook = swept([(0, 0, 0), (300, 0, 0), (300, 100, 0), (100, 100, 0)], 50.0, 10.0)
    assert [leg.length for leg in legs(hook)] == pytest.approx([310.0, 210.0])
    assert legs(hook)[0].then == pytest.approx(pi)
    # A hook of 135 degrees: its tail begins at the bend, so the outermost point is a radius past the tangent.
    c = np.cos(pi / 4.0)
    sharp = swept([(0, 0, 0), (300, 0, 0), (300 - 200 * c, 200 * c, 0)], 30.0, 5.0)
    taken = 30.0 * np.tan(3.0 * pi / 8.0)
    assert [leg.length for leg in legs(sharp)] == pytest.approx([300.0 - taken + 35.0, 200.0 - taken + 35.0])
    assert shape_words(straight((0, 0, 0), (0, 0, 9), 1.0), Units.MM) == "straight"


@pytest.mark.parametrize(
    ("text", "mm3"),
    [("0.45 cu ft", 0.45 * 304.8**3), ("0.45 cu. ft.", 0.45 * 304.8**3), (".5 ft3", 0.5 * 304.8**3),
     ("12.7 L", 12.7e6), ("1 liter", 1e6), ("0.0127 m3", 12.7e6)],
)  # fmt: skip
def test_volumes_are_read(text: str, mm3: float) -> None:
    assert volume_from(text) == pytest.approx(mm3, rel=1e-12)


@pytest.mark.parametrize(
    "wrong", ["0.45", "", "a bag", "-1 L", "1 gal", None, True, [1], float("nan"), "9e9 L"]
)
def test_what_is_no_volume_is_told_in_a_sentence(wrong: object) -> None:
    with pytest.raises(ValueError, match=r"write 0\.45 cu ft, 12\.7 L or 0\.0127 m3"):
        volume_from(wrong)


def test_volumes_weights_and_decimals_are_shown() -> None:
    assert show_volume(27 * CUBIC_FOOT, Units.FT_IN, "concrete") == "1.00 cu yd"
    assert show_volume(2.5e6, Units.MM) == "2.5 L"
    assert show_volume(2.5e9, Units.MM, "concrete") == "2.50 m3"
    assert show_weight(45.359237, Units.FT_IN) == "100.0 lb"
    assert show_weight(45.36, Units.MM) == "45.4 kg"
    assert show_decimal(3.182 * INCH, Units.FT_IN) == '3.182"'
    assert show_decimal(80.826, Units.MM) == "80.83 mm"
    assert on_a_sixteenth(3.0625 * INCH)
    assert not on_a_sixteenth(3.1 * INCH)


def test_a_table_goes_on_where_it_does_not_fit() -> None:
    table = Table(("a", "b"), tuple((str(n), "x") for n in range(50)), ("left", "left"))
    fits = table.fit(60.0)
    assert 0 < fits < 50
    assert table.part(0, fits).fit(60.0) == fits
    assert table.part(fits, 50).rows[0] == (str(fits), "x")


def test_across_is_from_the_face_that_is_named(demo_job: Job) -> None:
    # B3 is 3 1/2 in wide and runs east; 1/2 in left of its center line is 1 1/4 in from its north face.
    beams = [
        beam.model_copy(update={"holes_at": [(-4 * INCH, INCH / 2.0)]})
        for beam in demo_job.site.spec.beams
        if beam.name == "B3"
    ]
    from models.build import build_site

    spec = demo_job.site.spec.model_copy(update={"beams": beams})
    (file,) = sheet("drilling")(replace(demo_job, site=build_site(spec, "0" * 64)))
    (row,) = (row for row in rows_of(file) if row[0] == "1" and "P12" in row)
    assert row[3:5] == ['8"', '1 1/4"']


def test_the_least_level_is_that_of_the_highest_seat(demo_job: Job) -> None:
    from models.build import build_site

    piers = []
    for pier in demo_job.site.spec.piers:
        if pier.mark not in ("P13", "P14"):
            continue
        low = (
            INCH / 2.0 if pier.mark == "P13" else 0.0
        )  # cast half an inch low, its plate at the common level
        plate = pier.seat.plate.model_copy(update={"above": 1.5 * INCH + low})
        seat = pier.seat.model_copy(update={"plate": plate})
        piers.append(pier.model_copy(update={"top": pier.top - low, "seat": seat}))
    spec = demo_job.site.spec.model_copy(update={"piers": piers, "beams": []})
    (file,) = sheet("grout")(replace(demo_job, site=build_site(spec, "0" * 64)))
    # Tops 5'-9 1/2" and 5'-10", each with 1 in of grout at least: the greater is 5'-11".
    assert ["P13, P14", "5'-11 1/2\"", "5'-11\"", "high enough"] in rows_of(file)
