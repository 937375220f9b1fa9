"""Development lengths, laps and hooks of ACI 318-19 against published tables and worked cases."""

from __future__ import annotations

from math import ceil, inf, sqrt

import pytest

from clash.books import books
from clash.books.aci_318_19 import development as aci
from clash.needs.laps import Foot, Splice
from models.catalogue import bar
from models.lengths import INCH, PSI

GRADE_60 = 60_000.0 * PSI
F_4000 = 4000.0 * PSI

MERRITT = [
    # Merritt, Building Design and Construction Handbook, Table 9.8 (after ACI 318-99 12.2.2), 4000 psi,
    # Grade 60, in (read): top C1, top C2, other C1, other C2. Printed values are rounded, not always up.
    ("No. 3", 19, 28, 15, 22),
    ("No. 4", 25, 37, 19, 29),
    ("No. 5", 31, 47, 24, 36),
    ("No. 6", 37, 56, 29, 43),
    ("No. 7", 54, 81, 42, 63),
    ("No. 8", 62, 93, 48, 71),
    ("No. 9", 70, 105, 54, 81),
    ("No. 10", 79, 118, 61, 91),
    ("No. 11", 87, 131, 67, 101),
    ("No. 14", 105, 157, 81, 121),
    ("No. 18", 139, 209, 107, 161),
]


@pytest.mark.parametrize(("size", "top_1", "top_2", "other_1", "other_2"), MERRITT)
def test_simplified_development_by_table(
    size: str, top_1: int, top_2: int, other_1: int, other_2: int
) -> None:
    d_b = bar(size).diameter
    for good, top, other in ((True, top_1, other_1), (False, top_2, other_2)):
        l_d = aci.developed(aci.tension_simple(d_b, GRADE_60, F_4000, good)) / INCH
        assert l_d == pytest.approx(other, abs=1.0)
        # 1.3 is the factor of top bars, and of a Class B lap.
        assert aci.class_b(aci.tension_simple(d_b, GRADE_60, F_4000, good)) / INCH == pytest.approx(
            top, abs=1.0
        )


@pytest.mark.parametrize(
    ("size", "good", "diameters"),
    # Hassoun, Structural Concrete, p. 264 (read): 38, 47.5, 57 and 71.2 bar diameters; printed rounded.
    [("No. 6", True, 38.0), ("No. 7", True, 47.5), ("No. 6", False, 57.0), ("No. 7", False, 71.2)],
)
def test_simplified_development_in_diameters(size: str, good: bool, diameters: float) -> None:
    d_b = bar(size).diameter
    assert aci.tension_simple(d_b, GRADE_60, F_4000, good) / d_b == pytest.approx(diameters, abs=0.1)


def test_no_8_worked_out() -> None:
    # arith: 60,000 / (20 sqrt 4000) = 47.43 in; x 1.3 = 61.66; epoxy 1.5: 71.15 and 92.50; compression 30.0.
    d_b = bar("No. 8").diameter
    plain = aci.tension_simple(d_b, GRADE_60, F_4000, good=True)
    epoxy = aci.tension_simple(d_b, GRADE_60, F_4000, good=True, coating=aci.psi_e(True, 50.0, 50.0, d_b))
    assert plain / INCH == pytest.approx(47.43, abs=0.005)
    assert aci.class_b(plain) / INCH == pytest.approx(61.66, abs=0.005)
    assert epoxy / INCH == pytest.approx(71.15, abs=0.005)
    assert aci.class_b(epoxy) / INCH == pytest.approx(92.50, abs=0.005)
    assert aci.compression_lap(d_b, GRADE_60, F_4000) / INCH == pytest.approx(30.0)


@pytest.mark.parametrize("confined", [1.0, 1.5, 2.0, 2.5])
def test_the_equation_at_confinement_1_and_1_5_is_the_table(confined: float) -> None:
    # Table 25.4.2.3 is Eq. 25.4.2.4a at (c_b + K_tr) / d_b = 1.5 and 1.0 (R25.4.2.3, from memory):
    # 3/40 / 1.5 = 1/20, with psi_s 0.8 1/25; 3/40 / 1.0, with psi_s 0.8 3/50.
    for size in ("No. 5", "No. 8"):
        d_b = bar(size).diameter
        l_d = aci.tension(d_b, GRADE_60, F_4000, confined)
        by_hand = 3.0 / 40.0 * 60_000.0 / sqrt(4000.0) * (0.8 if size == "No. 5" else 1.0) / confined * d_b
        assert l_d == pytest.approx(by_hand, rel=1e-12)
        if confined in (1.0, 1.5):
            table = aci.tension_simple(d_b, GRADE_60, F_4000, confined == 1.5)
            assert l_d == pytest.approx(table, rel=1e-12)


def test_the_si_case() -> None:
    # SI worked case (read): f'c 40, f_y 420, d_b 12 mm: Class B 42 d_b = 504; compression lap 30 d_b = 360;
    # l_dh 235 with psi_r 1.6, psi_o 1.25, psi_c .98. The case rounds l_d / d_b and its lap up to whole
    # diameters; grade 420 is Grade 60 in the inch-pound equations.
    d_b, f_y = 12.0, aci.grade(420.0)
    assert f_y / PSI == pytest.approx(60_000.0)
    l_d = aci.tension_simple(d_b, f_y, 40.0, good=True)
    assert ceil(1.3 * ceil(l_d / d_b)) * d_b == 504.0
    assert aci.compression_lap(d_b, f_y, 40.0) == pytest.approx(360.0)
    assert aci.hook(d_b, 420.0, 40.0, 1.0, 1.6, 1.25) == pytest.approx(235.0, rel=0.01)


def test_psi_e() -> None:
    # Table 25.4.2.5 (section 4, read): 1.5 with cover under 3 d_b or clear under 6 d_b, 1.2 other, 1.0 plain.
    d_b = 20.0
    for cover, clear, factor in (
        (60.0, 120.0, 1.2),
        (59.5, 120.0, 1.5),
        (60.0, 119.5, 1.5),
        (60.0, inf, 1.2),
    ):
        assert aci.psi_e(True, cover, clear, d_b) == factor
        assert aci.psi_e(False, cover, clear, d_b) == 1.0


def test_grades_and_limits() -> None:
    # psi_g (Table 25.4.2.5, from memory): 1.15 for Grade 80, 1.3 for Grade 100.
    assert [aci.psi_g(k * 1000.0 * PSI) for k in (40, 60, 80, 100)] == [1.0, 1.0, 1.15, 1.3]
    assert aci.grade(None) == GRADE_60
    assert aci.grade(500.0) == 500.0
    # 25.4.1.4 (from memory): sqrt f'c is at most 100 psi.
    assert aci.root(12_000.0 * PSI) == 100.0
    # 25.5.5.1 (from memory): (0.0009 x 80,000 - 24) = 48 d_b; a third more under 3000 psi; least 12 in.
    assert aci.compression_lap(INCH, 80_000.0 * PSI, F_4000) / INCH == pytest.approx(48.0)
    assert aci.compression_lap(INCH, GRADE_60, 2500.0 * PSI) / INCH == pytest.approx(40.0)
    assert aci.compression_lap(0.375 * INCH, GRADE_60, F_4000) / INCH == pytest.approx(12.0)
    with pytest.raises(ValueError, match="Grade 80"):
        aci.compression_lap(INCH, 100_000.0 * PSI, F_4000)
    # 25.4.9 (from memory): max(60,000 / (50 x 63.25), 18) = 18.97 d_b; least 8 in.
    assert aci.compression(INCH, GRADE_60, F_4000) / INCH == pytest.approx(60_000.0 / 50.0 / sqrt(4000.0))
    assert aci.compression(0.375 * INCH, GRADE_60, F_4000) / INCH == pytest.approx(8.0)


def test_confinement() -> None:
    # 25.4.2.4: c_b is the lesser of cover to the center and half the center spacing; K_tr = 40 A_tr / (s n).
    assert aci.confinement(20.0, 20.0, 60.0, 0.0, 1.0, 1) == pytest.approx(1.5)  # 30 / 20
    assert aci.confinement(20.0, 60.0, 24.0, 0.0, 1.0, 1) == pytest.approx(1.1)  # (24 + 20) / 2 / 20
    assert aci.confinement(20.0, 10.0, inf, 200.0, 200.0, 4) == pytest.approx((20.0 + 10.0) / 20.0)
    assert aci.confinement(20.0, 200.0, inf, 0.0, 1.0, 1) == 2.5


def common(**more: object) -> Splice:
    values: dict[str, object] = {
        "dowel": INCH, "vertical": INCH, "epoxy": False, "yield_strength": None, "strength": F_4000,
        "compression": False, "cover": 3 * INCH, "clear": 8 * INCH, "legs": 0.0,
        "tie_spacing": 1.0, "count": 1,
    }  # fmt: skip
    return Splice(**(values | more))


def test_what_a_lap_needs() -> None:
    book = books()["aci-318-19"]

    def lap(**more: object) -> float:
        need = book.lap(common(**more))
        assert need is not None
        assert need.value is not None
        return need.value / INCH

    # Confinement at its most, 2.5: 3/40 x 948.7 / 2.5 = 28.46 in; Class B x 1.3 = 37.0.
    full = 3.0 / 40.0 * 60_000.0 / sqrt(4000.0) / 2.5
    assert lap() == pytest.approx(1.3 * full)
    # Epoxy, cover 3 d_b exactly and 8 d_b clear: 1.2; nearer: 1.5.
    assert lap(epoxy=True) == pytest.approx(1.2 * 1.3 * full)
    assert lap(epoxy=True, clear=5.9 * INCH) == pytest.approx(1.5 * 1.3 * full)
    assert lap(compression=True) == pytest.approx(30.0)
    # A No. 8 to a No. 11 (25.5.2.2): the longer of the No. 8's lap and the No. 11's development.
    d_11 = 1.41
    thick = 3.0 / 40.0 * 60_000.0 / sqrt(4000.0) / 2.5 * d_11
    assert lap(vertical=d_11 * INCH) == pytest.approx(max(1.3 * full, thick))
    assert lap(dowel=d_11 * INCH) == pytest.approx(max(1.3 * full, thick))
    # Close together (clear 1 d_b, cover 2 d_b): c_b = 1 d_b, as the other rows of the table.
    assert lap(clear=INCH, cover=2 * INCH) == pytest.approx(1.3 * 3.0 / 40.0 * 60_000.0 / sqrt(4000.0))
    # Two legs of a No. 4 every 8 in for 4 laps: K_tr = 40 x 0.4 / (8 x 4) = 0.5 in.
    tied = lap(clear=INCH, cover=2 * INCH, legs=0.4 * INCH**2, tie_spacing=8 * INCH, count=4)
    assert tied == pytest.approx(1.3 * 3.0 / 40.0 * 60_000.0 / sqrt(4000.0) / 1.5)
    unknown = book.lap(common(strength=None))
    assert unknown is not None
    assert unknown.missing is not None
    assert unknown.value == pytest.approx(12 * INCH)
    # No book without its document: EN's laps depend on stresses.
    assert books()["en-1992"].lap(common()) is None


def test_hooked_feet() -> None:
    book = books()["aci-318-19"]

    def depth(**more: object) -> float:
        values: dict[str, object] = {
            "diameter": INCH, "epoxy": False, "yield_strength": None, "strength": F_4000, "spacing": 8 * INCH,
            "side_cover": 6 * INCH,
        }  # fmt: skip
        need = book.hooked(Foot(**(values | more)))
        assert need is not None
        assert need.value is not None
        return need.value / INCH

    # 25.4.3.1 (a): 60,000 psi_c / (55 sqrt 4000), psi_c = 4/15 + 0.6 = 0.8667: 14.95 in.
    plain = 60_000.0 * (4.0 / 15.0 + 0.6) / (55.0 * sqrt(4000.0))
    assert depth() == pytest.approx(plain)
    assert depth(epoxy=True) == pytest.approx(1.2 * plain)
    assert depth(spacing=5.99 * INCH) == pytest.approx(1.6 * plain)
    assert depth(side_cover=5.99 * INCH) == pytest.approx(1.25 * plain)
    # 8 d_b and 6 in are the least.
    assert depth(diameter=0.375 * INCH) == pytest.approx(6.0)
    unknown = book.hooked(Foot(INCH, False, None, None, inf, inf))
    assert unknown is not None
    assert unknown.missing is not None
    assert unknown.value == pytest.approx(8 * INCH)
    assert books()["en-1992"].hooked(Foot(INCH, False, None, F_4000, inf, inf)) is None


def test_thick_bars_and_loose_laps() -> None:
    book = books()["aci-318-19"]
    tension, compression = book.largest_lapped(False), book.largest_lapped(True)
    assert tension is not None
    assert compression is not None
    assert tension.value == compression.value == pytest.approx(1.41 * INCH)
    for lap, most in ((20.0, 4.0), (30.0, 6.0), (60.0, 6.0)):  # 25.5.1.3 (from memory)
        need = book.lap_spread(lap * INCH)
        assert need is not None
        assert need.value == pytest.approx(most * INCH)
    assert books()["en-1992"].largest_lapped(False) is None
    assert books()["en-1992"].lap_spread(500.0) is None
