"""Lengths, strengths and angles: each expected value is the sum shown beside it (1 in = 25.4 mm exactly)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.lengths import (
    SURVEY_FOOT,
    Units,
    angle_from,
    length_from,
    show_gap,
    show_length,
    stress_from,
    write_angle,
    write_length,
)

IN = 25.4
FT = 304.8
WRITTEN = [
    ("3'-6 1/2\"", 42.5 * IN),
    ("3'6.5\"", 42.5 * IN),
    ("3' 6 1/2\"", 42.5 * IN),
    ("3'-6-1/2\"", 42.5 * IN),
    ("3' - 6 1/2\"", 42.5 * IN),
    ("3 ft 6 1/2 in", 42.5 * IN),
    ("3ft6.5in", 42.5 * IN),
    ("3 feet 6.5 inches", 42.5 * IN),
    ('42 1/2"', 42.5 * IN),
    ("42 1/2 in.", 42.5 * IN),
    ("42.5 in", 42.5 * IN),
    ('1-1/2"', 1.5 * IN),
    ("1 - 1/2 in", 1.5 * IN),
    ('1/2"', 0.5 * IN),
    ('5/64"', 5 / 64 * IN),
    (".5 in", 0.5 * IN),
    ("3'-6", 42 * IN),
    ("3'", 36 * IN),
    ("3.54 ft", 3.54 * FT),
    ("1 foot", FT),
    ("1067 mm", 1067.0),
    ("1067mm", 1067.0),
    ("1.067 m", 1067.0),
    ("106.7 cm", 1067.0),
    ("-0'-6\"", -6 * IN),
    ("-1'-6\"", -18 * IN),
    ("\u22124 in", -4 * IN),
    ("+4 in", 4 * IN),
    ("3\u2032-6 1/2\u2033", 42.5 * IN),
    ("3\u2019-6\u00bd\u201d", 42.5 * IN),
    ("3\u2019\u20136 1\u20442\u201d", 42.5 * IN),
    ("3\u00a0ft\u202f6\u00a0in", 42 * IN),
    ("6''", 6 * IN),
    ("\u00bd in", 0.5 * IN),
    ("0", 0.0),
    ("0.0", 0.0),
]


@pytest.mark.parametrize(("text", "mm"), WRITTEN)
@pytest.mark.parametrize("units", list(Units))
def test_a_length_means_the_same_in_either_kind_of_site(text: str, mm: float, units: Units) -> None:
    assert length_from(text, units) == pytest.approx(mm, abs=1e-9)


def test_a_bare_number_is_mm_only_where_the_site_is_in_mm() -> None:
    assert length_from("300", Units.MM) == 300.0
    assert length_from("300.5", Units.MM) == 300.5
    assert length_from(300, Units.MM) == 300.0
    assert length_from(300.0, None) == 300.0
    assert length_from(0, Units.FT_IN) == 0.0
    for value in ("300", 300, 300.0, "3.5", "-2"):
        with pytest.raises(ValueError, match="has no unit"):
            length_from(value, Units.FT_IN)


def test_the_advice_for_a_bare_number_is_a_length_that_is_read() -> None:
    with pytest.raises(ValueError, match="42 has no unit") as told:
        length_from("42", Units.FT_IN)
    assert str(told.value) == '42 has no unit; write 42", 42 ft or 42 mm'
    with pytest.raises(ValueError, match="42 1/2 has no unit"):
        length_from("42 1/2", Units.FT_IN)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("nan", "not a length that can be built"),
        (".nan", "not a length that can be built"),
        ("inf", "not a length that can be built"),
        ("-.inf", "not a length that can be built"),
        ("infinity", "not a length that can be built"),
        ("99999999 ft", "longer than 10,000 km"),
        ("1e3 mm", "is not a length"),
        ("1,067 mm", "has a comma"),
        ("3'-14\"", "14 inches beside its feet"),
        ("3'-12\"", "12 inches beside its feet"),
        ("3.5'-6\"", "decimals of a foot and inches"),
        ('1/3"', "no tape shows"),
        ('3/2"', "fraction of one or more"),
        ('1/0"', "no tape shows"),
        ("3-6 1/2", "does not say feet and inches"),
        ("6-3/4", "has no unit"),
        ("", "empty"),
        ("   ", "empty"),
        ("twelve", "is not a length"),
        ("12 yd", "is not a length"),
        ("12 in 3 ft", "is not a length"),
        ("--3 in", "is not a length"),
        ("3'-", "is not a length"),
        ("0x10 mm", "is not a length"),
        ("1_000 mm", "is not a length"),
        ("\u0663 mm", "is not a length"),
        ("9" * 5000 + " mm", "is not a length"),
    ],
)
@pytest.mark.parametrize("units", list(Units))
def test_what_is_no_length_is_refused_with_its_reason(text: str, says: str, units: Units) -> None:
    with pytest.raises(ValueError, match=says) as told:
        length_from(text, units)
    assert "\n" not in str(told.value)
    assert len(str(told.value)) < 200


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 1e11, True, None, [], {}, b"1"])
def test_what_is_no_number_of_mm_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match=r"length|longer"):
        length_from(value, Units.MM)


def test_the_survey_foot_is_its_exact_ratio() -> None:
    # 1200/3937 m to the foot; at 4,500 km (14,763,779.5 ft) the two feet differ by 2 ppm: about 9 m.
    assert length_from("3937 ft", Units.FT_IN, "us survey") == pytest.approx(1_200_000.0, abs=1e-6)
    assert length_from("1'-6\"", Units.FT_IN, "us survey") == pytest.approx(1.5 * SURVEY_FOOT, abs=1e-9)
    assert length_from("10 m", Units.FT_IN, "us survey") == 10_000.0
    feet = "14763779.5 ft"
    apart = length_from(feet, Units.FT_IN, "us survey") - length_from(feet, Units.FT_IN)
    assert apart == pytest.approx(14763779.5 * (1200 / 3937 - 0.3048) * 1000, rel=1e-9)
    assert 8_999 < apart < 9_001


@pytest.mark.parametrize(
    ("text", "mpa"),
    [
        ("1000 psi", 6.894757293168361),  # 4.4482216152605 N / 645.16 mm2, times 1000
        ("5 ksi", 5 * 6.894757293168361),
        ("5000 psi", 5 * 6.894757293168361),
        ("35 MPa", 35.0),
        ("35MPa", 35.0),
        ("35 N/mm2", 35.0),
        ("C30/37", 30.0),
        ("c12/15", 12.0),
    ],
)
def test_strengths(text: str, mpa: float) -> None:
    assert stress_from(text) == pytest.approx(mpa, rel=1e-12)


@pytest.mark.parametrize(
    "text", ["5000", "35", "C30/38", "strong", "", "nan MPa", "5,000 psi", "-5 ksi", "5e3 psi"]
)
def test_what_is_no_strength_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="5000 psi, 5 ksi, 35 MPa or C30/37"):
        stress_from(text)


@pytest.mark.parametrize("value", [math.nan, math.inf, True, None, []])
def test_what_is_no_number_of_mpa_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match="strength"):
        stress_from(value)


@pytest.mark.parametrize(
    ("value", "degrees"),
    [
        ("30", 30.0),
        ("30 deg", 30.0),
        ("30\u00b0", 30.0),
        ("-45.5", -45.5),
        ("\u221245 degrees", -45.0),
        (90, 90.0),
    ],
)
def test_angles(value: object, degrees: float) -> None:
    assert angle_from(value) == degrees


@pytest.mark.parametrize(
    "value", ["361", "north", "nan", "inf", "", "1e2", math.nan, math.inf, None, [], True]
)
def test_what_is_no_angle_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match=r"angle|turn"):
        angle_from(value)


def test_gaps_round_toward_danger_and_requirements_away_from_it() -> None:
    # .378 in lies between .37 and .38
    mm = 0.378 * IN
    assert show_gap(mm, Units.FT_IN, "measured least") == "0.37 in"
    assert show_gap(mm, Units.FT_IN, "needed least") == "0.38 in"
    assert show_gap(mm, Units.FT_IN, "measured most") == "0.38 in"
    assert show_gap(mm, Units.FT_IN, "needed most") == "0.37 in"
    # 9.6012 mm lies between 9.6 and 9.7
    assert show_gap(mm, "mm", "measured least") == "9.6 mm"
    assert show_gap(mm, "mm", "needed least") == "9.7 mm"
    # an overlap of .118 in: down is deeper
    assert show_gap(-0.118 * IN, Units.FT_IN, "measured least") == "-0.12 in"
    assert show_gap(-0.118 * IN, Units.FT_IN, "measured most") == "-0.11 in"


def test_figures_on_the_mark_show_as_they_are_in_spite_of_float_noise() -> None:
    for noise in (-1e-9, 0.0, 1e-9):
        for toward in ("measured least", "needed least", "measured most", "needed most"):
            assert show_gap(1.5 * IN + noise, Units.FT_IN, toward) == "1.50 in"
            assert show_gap(14.5 * IN + noise, Units.FT_IN, toward) == "1'-2.50\""
            assert show_gap(-14.5 * IN + noise, Units.FT_IN, toward) == "-1'-2.50\""
            assert show_gap(38.1 + noise, Units.MM, toward) == "38.1 mm"
            assert show_gap(noise, Units.MM, toward) == "0.0 mm"
            assert show_gap(noise, Units.FT_IN, toward) == "0.00 in"
            assert show_gap(12 * IN + noise, Units.FT_IN, toward) == "1'-0.00\""


@pytest.mark.parametrize("units", list(Units))
def test_no_figure_on_hold_ever_reads_as_its_requirement(units: Units) -> None:
    for needed in (38.1, 25.4, 9.525, 100.0, 63.5 + 1e-7, 304.8):
        for short in (1.01e-6, 2e-6, 1e-5, 0.01, 0.2):
            least = show_gap(needed - short, units, "measured least"), show_gap(needed, units, "needed least")
            assert least[0] != least[1]
            most = show_gap(needed + short, units, "measured most"), show_gap(needed, units, "needed most")
            assert most[0] != most[1]


@pytest.mark.parametrize(
    ("inches", "shown"),
    [
        (42.5, "3'-6 1/2\""),
        (36.0, "3'-0\""),
        (1.5, '1 1/2"'),
        (0.5, '1/2"'),
        (0.0, '0"'),
        (0.3125, '5/16"'),
        (11.99, "1'-0\""),  # nearest 1/16: 192/16
        (-6.0, '-6"'),
        (36.25, "3'-0 1/4\""),
    ],
)
def test_sheets_show_sixteenths(inches: float, shown: str) -> None:
    assert show_length(inches * IN, Units.FT_IN) == shown


@pytest.mark.parametrize(
    ("mm", "shown"),
    [(1067.0, "1067 mm"), (38.1, "38.1 mm"), (0.0, "0 mm"), (-0.04, "0 mm"), (-3.25, "-3.2 mm")],
)
def test_sheets_show_mm(mm: float, shown: str) -> None:
    assert show_length(mm, Units.MM) == shown


@pytest.mark.parametrize("sixteenths", range(0, 1200, 7))
def test_what_a_sheet_shows_reads_back_as_the_same_length(sixteenths: int) -> None:
    mm = sixteenths / 16 * IN
    assert length_from(show_length(mm, Units.FT_IN), Units.FT_IN) == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    ("inches", "written"),
    [
        (0.125, '1/8"'),
        (-0.125, '-1/8"'),
        (1.375, '1 3/8"'),
        (-2.5, '-2 1/2"'),
        (3.0, '3"'),
        (25.0, '25"'),
        (1.0 / 64.0, '1/64"'),
        (4.1, '4.1"'),
        (-0.35772, '-0.35772"'),
        (0.0, "0"),
        (-1e-8, "0"),
    ],
)
def test_inches_are_written_with_the_fraction_of_a_tape_or_else_decimals(inches: float, written: str) -> None:
    assert write_length(inches * IN, Units.FT_IN) == written


@pytest.mark.parametrize(
    ("mm", "written"),
    [(5.0, "5 mm"), (-12.5, "-12.5 mm"), (100.0, "100 mm"), (0.0, "0"), (1200.0, "1200 mm")],
)
def test_mm_are_written_as_they_are(mm: float, written: str) -> None:
    assert write_length(mm, Units.MM) == written


@given(st.floats(-9e5, 9e5), st.sampled_from(Units))
def test_what_is_written_reads_back_and_is_written_the_same_again(mm: float, units: Units) -> None:
    written = write_length(mm, units)
    read = length_from(written, units)
    assert read == pytest.approx(mm, abs=2e-5, rel=0.0)
    assert write_length(read, units) == written


@pytest.mark.parametrize(
    ("degrees", "written"), [(1.0, "1"), (-2.5, "-2.5"), (0.0, "0"), (-0.0, "0"), (1e-9, "0")]
)
def test_angles_are_written_without_what_nobody_can_set(degrees: float, written: str) -> None:
    assert write_angle(degrees) == written
