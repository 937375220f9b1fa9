"""Holes of plates, rods of columns and plug welds against the documents that state them.

AISC Design Guide 1, 2nd ed., Table 2.3 (read); later Manuals, Table 14-2 (from memory); AISC 360-16 Table
J3.4 (read; written for bolts, so practice here); AISC 360-16 J3.3 and J2.3b (from memory); OSHA 29 CFR
1926.755 (read in an excerpt).
"""

from __future__ import annotations

from math import sqrt

import pytest

from clash.books import books
from clash.books.aisc import plug_hole, plug_spacing
from clash.needs.need import RuleBook
from clash.report.findings import Level
from models.catalogue import largest_hole
from tests.support.seats import holds, on_plate

INCH = 25.4
# rod: largest hole by the Design Guide, least washer, and the later Manual's hole (the same where it is not
# known to differ)
HOLES = {
    0.75: (1.3125, 2.0, 1.3125),
    0.875: (1.5625, 2.5, 1.5625),
    1.0: (1.8125, 3.0, 1.875),
    1.25: (2.0625, 3.0, 2.125),
    1.5: (2.3125, 3.5, 2.375),
    1.75: (2.75, 4.0, 2.875),
    2.0: (3.25, 5.0, 3.25),
    2.5: (3.75, 5.5, 3.75),
}


@pytest.fixture(name="aci")
def _aci() -> RuleBook:
    return books()["aci-318-19"]


@pytest.fixture(name="en")
def _en() -> RuleBook:
    return books()["en-1992"]


@pytest.mark.parametrize("rod", HOLES)
def test_the_largest_hole_by_edition(aci: RuleBook, en: RuleBook, rod: float) -> None:
    guide, _, manual = HOLES[rod]
    for book, table, inches in ((aci, None, guide), (aci, "dg1-2", guide), (aci, "manual-15", manual),
                                (en, "dg1-2", guide), (en, "manual-15", manual)):  # fmt: skip
        need = book.largest_hole(rod * INCH, table)
        assert need is not None
        assert need.value == pytest.approx(inches * INCH)
        assert ("memory" in need.source) == (table == "manual-15")
        assert ("2nd ed." in need.source) == (table != "manual-15")
    assert en.largest_hole(rod * INCH, None) is None


def test_the_2_1_2_in_rods_hole_that_was_printed_too_small_is_told_right(aci: RuleBook) -> None:
    need = aci.largest_hole(2.5 * INCH, None)
    assert need is not None
    assert need.value != pytest.approx(3.25 * INCH)


@pytest.mark.parametrize("diameter", [12.0, 24.0, 2.25 * INCH])
def test_a_rod_that_the_table_lacks_has_no_figure(aci: RuleBook, diameter: float) -> None:
    for table in (None, "manual-15"):
        need = aci.largest_hole(diameter, table)
        assert need is not None
        assert need.value is None
        assert need.missing is not None


@pytest.mark.parametrize("rod", HOLES)
def test_the_listed_washer_covers_the_listed_hole_wherever_the_rod_stands_in_it(rod: float) -> None:
    """Slack of rod and washer (1/16 in over the rod) both used up: the far rim is still covered."""
    hole, washer, _ = HOLES[rod]
    far_rim = hole / 2.0 + (hole - rod) / 2.0 + 1.0 / 32.0
    assert far_rim <= washer / 2.0
    assert largest_hole(rod * INCH, "dg1-2").washer == pytest.approx(washer * INCH)


@pytest.mark.parametrize(
    ("rod", "edge"),
    [(0.5, 0.75), (0.625, 0.875), (0.75, 1.0), (0.875, 1.125), (1.0, 1.25), (1.125, 1.5), (1.25, 1.625),
     (1.5, 1.875), (2.0, 2.5), (2.5, 3.125)],
)  # fmt: skip
def test_edge_distance_of_holes_is_practice_by_table_j3_4(
    aci: RuleBook, en: RuleBook, rod: float, edge: float
) -> None:
    """Larger than 1 1/4 in: 1.25 diameters."""
    need = aci.hole_edge(rod * INCH)
    assert need is not None
    assert need.value == pytest.approx(edge * INCH)
    assert need.source.startswith("practice")
    assert en.hole_edge(rod * INCH) is None


def test_a_size_between_two_rows_takes_the_thicker_ones(aci: RuleBook) -> None:
    need = aci.hole_edge(24.0)  # 7/8 in is 22.2 mm, 1 in 25.4
    assert need is not None
    assert need.value == pytest.approx(1.25 * INCH)


def test_spacing_of_holes_is_2_2_3_diameters(aci: RuleBook, en: RuleBook) -> None:
    need = aci.hole_spacing(0.75 * INCH)
    assert need is not None
    assert need.value == pytest.approx(2.0 * INCH)
    assert "memory" in need.source
    assert en.hole_spacing(19.0) is None


def test_a_column_has_four_rods_by_osha(aci: RuleBook, en: RuleBook) -> None:
    need = aci.column_rods()
    assert need is not None
    assert (need.value, need.source) == (4.0, "OSHA 29 CFR 1926.755")
    assert en.column_rods() is None


def test_plug_welds_would_forbid_the_hole_that_a_no_8_needs_in_a_half_inch_plate() -> None:
    """t 1/2, weld 1/2: 13/16 to 1 1/8 in. A No. 8 is 1.100 in over its ribs: 1/80 in is left all round."""
    least, most = plug_hole(0.5 * INCH, 0.5 * INCH)
    assert least.value == pytest.approx(13.0 / 16.0 * INCH)
    assert most.value == pytest.approx(1.125 * INCH)
    # A thin weld: the least hole and 1/8 in decide.
    assert plug_hole(0.5 * INCH, 0.25 * INCH)[1].value == pytest.approx(15.0 / 16.0 * INCH)
    assert plug_spacing(1.0 * INCH).value == pytest.approx(4.0 * INCH)


def test_a_plate_by_the_design_guide_is_clear_and_stays_so_under_the_rules() -> None:
    """1 in rods in 1 13/16 in holes under 3 in by 3/8 in washers, 2 in and more from the edge."""
    washer = {"size": 3 * INCH, "thickness": 0.375 * INCH}
    report = on_plate(
        {"washer": washer, "leveling_washer": washer},
        plate={"holes": {"diameter": 1.8125 * INCH}, "above": 2 * INCH},
        rods={"projection": 5 * INCH + 20.0, "thread": 7 * INCH},
    )
    assert [f for f in report.findings if f.level is not Level.TIGHT] == []
    rules = ("hole size", "hole edge", "hole spacing", "washer over hole", "washer on seat", "rod in hole")
    assert all(report.clear[rule] for rule in rules)
    assert holds(report, "nut room") == []


def test_the_corner_circle_of_a_nut_is_its_flats_over_the_cosine_of_30_degrees() -> None:
    """ASME B18.2.2 (read): 1 in nut, 1.625 across flats, 1.876 across corners: those need room to turn."""
    assert 1.625 * 2.0 / sqrt(3.0) == pytest.approx(1.876, abs=0.0005)
