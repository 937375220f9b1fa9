"""The rule books' figures against the documents that state them.

Sources are named beside each row; "from memory" is said where the document was not at hand.
"""

from __future__ import annotations

from pathlib import Path

import pytest

import clash.books
from clash.books import books
from clash.figures import figures
from clash.needs.need import CoverFace, RuleBook
from models.part import Role

INCH = 25.4


@pytest.fixture(name="aci")
def _aci() -> RuleBook:
    return books()["aci-318-19"]


@pytest.fixture(name="en")
def _en() -> RuleBook:
    return books()["en-1992"]


def inches(value: float | None) -> float:
    assert value is not None
    return value / INCH


@pytest.mark.parametrize(
    ("diameter", "exposure", "face", "on_ground", "inches_"),
    [
        # ACI 318-19 Table 20.5.1.3.1 (read in excerpt): against ground 3; weather or ground 2 (No. 6 to No.
        # 18) # and 1 1/2 (No. 5 and smaller); not exposed, columns and pedestals 1 1/2.
        (1.000, "weather", "side", False, 2.0),
        (0.750, "weather", "side", False, 2.0),
        (0.625, "weather", "side", False, 1.5),
        (0.375, "weather", "top", False, 1.5),
        (2.257, "weather", "bottom", False, 2.0),
        (1.000, "weather", "bottom", True, 3.0),
        (0.375, "ground", "side", False, 3.0),
        (0.375, "ground", "top", False, 1.5),
        (1.000, "interior", "side", False, 1.5),
        (0.375, "interior", "bottom", True, 3.0),
        # R20.5.1.4 (from memory): corrosive, other than walls and slabs, 2 1/2.
        (1.000, "corrosive", "side", False, 2.5),
        (0.375, "corrosive", "top", False, 2.5),
        # ACI 357R (from memory): splash 2 1/2, submerged 2.
        (1.000, "marine splash", "side", False, 2.5),
        (0.375, "marine submerged", "side", False, 2.0),
        (0.375, "marine splash", "bottom", True, 3.0),
        # A head or a plate has no bar diameter: the figure of large bars.
        (None, "weather", "side", False, 2.0),
    ],
)
def test_aci_cover(
    aci: RuleBook, diameter: float | None, exposure: str, face: CoverFace, on_ground: bool, inches_: float
) -> None:
    need = aci.cover(Role.TIE, diameter and diameter * INCH, exposure, face, on_ground)
    assert inches(need.value) == pytest.approx(inches_)
    assert need.missing is None


def test_aci_cover_of_a_metric_bar_of_16_mm_is_that_of_a_small_bar(aci: RuleBook) -> None:
    # ACI 318M (from memory): No. 16 and smaller; CSA 15M is 16.0 mm (CSA G30.18, read).
    assert inches(aci.cover(Role.TIE, 16.0, "weather", "side", False).value) == pytest.approx(1.5)
    assert inches(aci.cover(Role.TIE, 19.5, "weather", "side", False).value) == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("diameter", "aggregate", "inches_"),
    [
        # ACI 318-19 25.2.3 (from memory, excerpts agree): max(1 1/2, 1.5 d_b, 4/3 d_agg).
        (0.750, 0.75, 1.5),  # 1.125 and 1.0
        (1.000, 0.75, 1.5),  # exactly 1.5 d_b as well
        (1.128, 0.75, 1.692),  # 1.5 x 1.128
        (1.410, 1.00, 2.115),  # 1.5 x 1.410
        (1.000, 1.50, 2.0),  # 4/3 x 1.5
    ],
)
def test_aci_spacing_of_longitudinal_bars(
    aci: RuleBook, diameter: float, aggregate: float, inches_: float
) -> None:
    need = aci.bar_clear(diameter * INCH, aggregate * INCH)
    assert inches(need.value) == pytest.approx(inches_)
    assert need.missing is None
    assert "25.2.3, from memory" in need.source
    unknown = aci.bar_clear(diameter * INCH, None)
    assert inches(unknown.value) == pytest.approx(max(1.5, 1.5 * diameter))
    assert unknown.missing is not None


def test_aci_rods(aci: RuleBook) -> None:
    # Table 17.9.2(a) (from memory): 4 d_a, torqued 6 d_a; edge: the cover, torqued 6 d_a to the center.
    for diameter in (0.75, 1.0, 1.25):
        for torqued, times in ((False, 4.0), (True, 6.0)):
            need = aci.rod_spacing(diameter * INCH, torqued)
            assert need is not None
            assert inches(need.value) == pytest.approx(times * diameter)
            assert "from memory" in need.source
        edge = aci.rod_edge(diameter * INCH, True)
        assert edge is not None
        assert inches(edge.value) == pytest.approx(6.0 * diameter)
        assert aci.rod_edge(diameter * INCH, False) is None


def test_rod_to_bar_is_practice(aci: RuleBook, en: RuleBook) -> None:
    # No clause; practice: 4/3 of the largest aggregate.
    need = aci.rod_bar_clear(0.75 * INCH)
    assert inches(need.value) == pytest.approx(1.0)
    assert need.source == "practice: 4/3 of the largest aggregate"
    assert en.rod_bar_clear(20.0).source.startswith("practice")
    for book in (aci, en):
        unknown = book.rod_bar_clear(None)
        assert unknown.value is None
        assert unknown.missing is not None


@pytest.mark.parametrize(
    ("exposure", "nominal"),
    [
        # EN 1992-1-1 Table 4.4N, S4 (read in excerpt) and 10 mm deviation: XC1 15, XC4 30, XD3 45, XS3 45,
        # XS2 40.
        ("interior", 25.0),
        ("weather", 40.0),
        ("corrosive", 55.0),
        ("marine splash", 55.0),  # XS3 nominal 55
        ("marine submerged", 50.0),
        ("ground", 75.0),  # 4.4.1.3(4): cast on soil
    ],
)
def test_en_cover(en: RuleBook, exposure: str, nominal: float) -> None:
    assert en.cover(Role.TIE, 10.0, exposure, "side", False).value == pytest.approx(nominal)


def test_en_cover_of_a_thick_bar_is_its_diameter_and_the_deviation(en: RuleBook) -> None:
    # 4.4.1.2(3), Table 4.2 (from memory): c_min,b = bar diameter; 40 + 10 against XC4's 30 + 10.
    need = en.cover(Role.VERTICAL, 40.0, "weather", "side", False)
    assert need.value == pytest.approx(50.0)
    assert "from memory" in need.source


def test_en_cover_on_the_ground(en: RuleBook) -> None:
    assert en.cover(Role.VERTICAL, 25.0, "weather", "bottom", True).value == pytest.approx(75.0)
    assert en.cover(Role.VERTICAL, 25.0, "ground", "top", False).value == pytest.approx(40.0)


@pytest.mark.parametrize(
    ("diameter", "aggregate", "clear"),
    [
        # EN 1992-1-1 8.2(2) (read): max(1 x bar, d_g + 5, 20); d_g 20 and bars up to 25 give 25.
        (10.0, 20.0, 25.0),
        (25.0, 20.0, 25.0),
        (32.0, 20.0, 32.0),
        (12.0, 8.0, 20.0),
        (12.0, 32.0, 37.0),
    ],
)
def test_en_spacing_of_longitudinal_bars(
    en: RuleBook, diameter: float, aggregate: float, clear: float
) -> None:
    assert en.bar_clear(diameter, aggregate).value == pytest.approx(clear)
    assert en.bar_clear(diameter, None).missing is not None


def test_en_has_no_figures_for_rods(en: RuleBook) -> None:
    assert en.rod_spacing(25.0, False) is None
    assert en.rod_edge(25.0, True) is None


@pytest.mark.parametrize("name", ["aci-318-19", "en-1992"])
def test_without_exposure_only_what_holds_in_any_case_is_known(name: str) -> None:
    book = books()[name]
    need = book.cover(Role.VERTICAL, 12.0, None, "side", False)
    assert need.missing is not None
    for exposure in ("ground", "weather", "interior", "corrosive", "marine splash", "marine submerged"):
        full = book.cover(Role.VERTICAL, 12.0, exposure, "side", False)
        assert need.value is not None
        assert full.value is not None
        assert need.value <= full.value
    assert book.cover(Role.VERTICAL, 12.0, None, "bottom", True).missing is None
    embed = book.cover(Role.EMBED, 50.0, "weather", "side", False)
    assert (embed.value, embed.missing is not None) == (0.0, True)


def test_every_figure_says_how_it_is_known() -> None:
    folder = Path(clash.books.__file__).parent
    tables = sorted(folder.glob("*/figures.csv"))
    assert len(tables) == len(books()) >= 2
    for path in tables:
        assert path.read_text(encoding="utf-8").startswith("# ")
        for figure in figures(path).values():
            assert figure.value > 0.0
            assert figure.source
