"""Lengths, strengths and angles as people write them: read here, shown here, and converted nowhere else."""

from __future__ import annotations

import re
from enum import StrEnum
from functools import lru_cache
from math import ceil, floor, isfinite
from typing import Literal

INCH = 25.4
"""mm, exact (international yard and pound agreement, 1959)."""
FOOT = 12.0 * INCH
"""mm, the international foot, exact."""
SURVEY_FOOT = 1200.0 / 3937.0 * 1000.0
"""mm, the US survey foot: 1200/3937 m, exact by definition (Mendenhall order, 1893)."""
PSI = 4.4482216152605 / (INCH * INCH)
"""MPa: one pound-force (4.4482216152605 N, exact) on a square inch."""
FARTHEST = 1e10
"""mm: nothing on a site is longer, or farther from its origin, than 10,000 km."""
HALF_EPSILON = 5e-7
"""mm: half of the 1e-6 mm by which a limit counts as met: float noise moves no shown figure, and no figure
that is on HOLD is ever shown as equal to its requirement."""


class Units(StrEnum):
    """The units a site file is written and reported in."""

    FT_IN = "ft-in"
    MM = "mm"


Foot = Literal["international", "us survey"]
Toward = Literal["measured least", "measured most", "needed least", "needed most"]
"""What a shown figure is: a measurement or a requirement, and whether its limit is a least or a most."""

_SAME = str.maketrans(
    {
        "\u00a0": " ", "\u2002": " ", "\u2003": " ", "\u2007": " ", "\u2009": " ", "\u202f": " ", "\t": " ",
        "\u2018": "'", "\u2019": "'", "\u201b": "'", "\u2032": "'", "\u00b4": "'", "`": "'", "\u02b9": "'",
        "\u201c": '"', "\u201d": '"', "\u201f": '"', "\u2033": '"', "\u02ba": '"', "\u2036": '"',
        "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2014": "-", "\u2212": "-",
        "\u2044": "/", "\u2215": "/",
        "\u00bd": " 1/2", "\u00bc": " 1/4", "\u00be": " 3/4",
        "\u215b": " 1/8", "\u215c": " 3/8", "\u215d": " 5/8", "\u215e": " 7/8",
    }
)  # fmt: skip

_DECIMAL = r"(?:\d+(?:\.\d*)?|\.\d+)"
_METRIC = re.compile(rf"({_DECIMAL})\s*(mm|cm|m)", re.ASCII)
_FEET = re.compile(rf"(?P<feet>{_DECIMAL})\s*(?:'|ft\.?|feet|foot)(?:\s*-?\s*(?P<inches>[.\d].*))?", re.ASCII)
_INCHES = re.compile(
    rf"(?:(?P<whole>\d+)(?:\s*-\s*|\s+))?(?P<over>\d+)\s*/\s*(?P<under>\d+)|(?P<decimal>{_DECIMAL})",
    re.ASCII,
)
_INCH_MARK = re.compile(r"\s*(?:\"|in\.?|inch|inches)$")
_BARE = re.compile(_DECIMAL, re.ASCII)
_METRIC_UNITS = {"mm": 1.0, "cm": 10.0, "m": 1000.0}


def _plain(text: str) -> str:
    """Text with every kind of quote, dash, space and fraction sign turned into the plain one."""
    return text.translate(_SAME).replace("''", '"').strip()


def length_example(units: Units | None) -> str:
    """How a length is written in these units, for a message."""
    return "1067 mm or 1.067 m" if units == Units.MM else "3'-6 1/2\", 42.5 in or 3.54 ft"


def length_from(value: object, units: Units | None, foot: Foot = "international") -> float:
    """A length in mm from what stands in a file.

    value: a text such as 3'-6 1/2", 42.5 in or 1.067 m (any of them in either units), or a number.
    units: a bare number other than 0 is refused under ft-in; it is mm under mm, or where nothing is said.
    foot: which foot, and twelfth of it, is meant; the survey foot is for coordinates and elevations.
    Raises ValueError with one plain sentence.
    """
    if isinstance(value, str):
        return _length(str(value), units, foot)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{_kind(value)} where a length should be; write {length_example(units)}")
    return _bare(float(value), f"{value:g}", units)


@lru_cache(maxsize=4096)
def _length(text: str, units: Units | None, foot: Foot) -> float:
    plain = _plain(text)
    shown = _shown(text)
    if not plain:
        raise ValueError(f"an empty text where a length should be; write {length_example(units)}")
    if len(plain) > 40:
        raise ValueError(f"{shown} is not a length; write {length_example(units)}")
    if "," in plain:
        raise ValueError(f"{shown} has a comma; write the number without commas, its decimals after a point")
    low = plain.lower()
    sign = -1.0 if low.startswith("-") else 1.0
    body = low[1:].lstrip() if low[0] in "+-" else low
    if _BARE.fullmatch(body):
        return _bare(sign * float(body), plain, units)
    if metric := _METRIC.fullmatch(body):
        return _in_range(sign * float(metric[1]) * _METRIC_UNITS[metric[2]], plain)
    # mm in an inch of either foot, as a ratio of whole numbers: 11 ft is then 3352.8 to the last digit
    over, under = (127.0, 5.0) if foot == "international" else (100_000.0, 3937.0)
    if feet := _FEET.fullmatch(body):
        inches = 0.0
        if feet["inches"]:
            inches = _inches(_INCH_MARK.sub("", feet["inches"]), shown, units)
            if inches >= 12.0:
                raise ValueError(f"{shown} has {inches:g} inches beside its feet; inches go up to 12")
            if not feet["feet"].isdigit():
                raise ValueError(f"{shown} has decimals of a foot and inches as well; write one or the other")
        return _in_range(sign * (float(feet["feet"]) * 12.0 + inches) * over / under, plain)
    if mark := _INCH_MARK.search(body):
        return _in_range(sign * _inches(body[: mark.start()], shown, units) * over / under, plain)
    if _INCHES.fullmatch(body):
        raise ValueError(f'{shown} has no unit; write {plain}" if inches are meant')
    if re.fullmatch(r"\.?(nan|inf|infinity)", body):
        raise ValueError(f"{shown} is not a length that can be built; write {length_example(units)}")
    if dashed := re.fullmatch(r"(\d+)-(\d+(?:\.\d+)?(?: \d+/\d+)?)", body):
        raise ValueError(
            f"{shown} does not say feet and inches; write {dashed[1]}'-{dashed[2]}\" if that is what is meant"
        )
    raise ValueError(f"{shown} is not a length; write {length_example(units)}")


def _inches(text: str, shown: str, units: Units | None) -> float:
    match = _INCHES.fullmatch(text.strip())
    if match is None:
        raise ValueError(f"{shown} is not a length; write {length_example(units)}")
    if match["decimal"]:
        return float(match["decimal"])
    over, under = int(match["over"]), int(match["under"])
    if under not in (2, 4, 8, 16, 32, 64):
        raise ValueError(f"{shown} has a fraction that no tape shows; write halves to 64ths, or decimals")
    if over >= under:
        raise ValueError(f'{shown} has a fraction of one or more; write whole inches before it, like 1 1/2"')
    return float(match["whole"] or 0) + over / under


def _bare(number: float, shown: str, units: Units | None) -> float:
    if not isfinite(number):
        raise ValueError(f"{shown} is not a length that can be built; write {length_example(units)}")
    if units == Units.FT_IN and number != 0.0:
        raise ValueError(f'{shown} has no unit; write {shown}", {shown} ft or {shown} mm')
    return _in_range(number, shown)


def _in_range(mm: float, shown: str) -> float:
    if not abs(mm) <= FARTHEST:
        raise ValueError(f"{shown} is longer than 10,000 km; check the figure and its unit")
    return mm


def _shown(text: str) -> str:
    """What was given, as it goes into a message: one line, in brackets of its own, not too long."""
    one = " ".join(text.split())
    return one if len(one) <= 40 else one[:37] + "..."


def _kind(value: object) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, dict):
        return "a block of fields"
    return f"{value}"


# EN 1992-1-1:2004 Table 3.1, strength classes (from memory): the first figure is f_ck on cylinders, MPa.
_CLASSES = {
    (12, 15), (16, 20), (20, 25), (25, 30), (30, 37), (35, 45), (40, 50),
    (45, 55), (50, 60), (55, 67), (60, 75), (70, 85), (80, 95), (90, 105),
}  # fmt: skip
_STRESS = re.compile(rf"({_DECIMAL})\s*(psi|ksi|mpa|n/mm2|n/mm²)", re.ASCII)
_STRESS_UNITS = {"psi": PSI, "ksi": 1000.0 * PSI, "mpa": 1.0, "n/mm2": 1.0, "n/mm²": 1.0}


def stress_from(value: object) -> float:
    """A strength in MPa from 5000 psi, 5 ksi, 35 MPa or C30/37.

    A class of EN 1992-1-1 counts by its cylinder figure. A number that is no text is MPa already.
    Raises ValueError with one plain sentence.
    """
    wanted = "write 5000 psi, 5 ksi, 35 MPa or C30/37"
    if isinstance(value, int | float) and not isinstance(value, bool):
        if not isfinite(value):
            raise ValueError(f"{value} is not a strength; {wanted}")
        return float(value)
    if not isinstance(value, str):
        raise ValueError(f"{_kind(value)} where a strength should be; {wanted}")
    shown = _shown(value)
    low = _plain(value).lower()
    if match := _STRESS.fullmatch(low):
        return float(match[1]) * _STRESS_UNITS[match[2]]
    if (match := re.fullmatch(r"c(\d{2})/(\d{2,3})", low)) and (int(match[1]), int(match[2])) in _CLASSES:
        return float(match[1])
    if re.fullmatch(rf"[\d,]+|{_DECIMAL}", low):
        raise ValueError(f"{shown} does not say its unit; {wanted}")
    raise ValueError(f"{shown or 'an empty text'} is not a strength; {wanted}")


_ANGLE = re.compile(rf"([-+]?{_DECIMAL})\s*(?:°|º|deg\.?|degrees?)?", re.ASCII)


def angle_from(value: object) -> float:
    """An angle in degrees from 30, 30 deg or 30°, at most a full turn either way.

    Raises ValueError with one plain sentence.
    """
    wanted = "write degrees counterclockwise, like 30 or -45"
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError(f"{_kind(value)} where an angle should be; {wanted}")
    shown = _shown(str(value))
    match = _ANGLE.fullmatch(_plain(str(value)).lower())
    if match is None:
        raise ValueError(f"{shown or 'an empty text'} is not an angle; {wanted}")
    degrees = float(match[1])
    if abs(degrees) > 360.0:
        raise ValueError(f"{shown} is more than a full turn; {wanted}")
    return degrees


def show_gap(mm: float, units: Units | str, toward: Toward) -> str:
    """A measurement or a requirement in the site's units, rounded so that no HOLD ever reads as a pass.

    A measurement with a least limit rounds down and its requirement up; with a most limit the other way.
    Under a foot: inches to .01 ("0.38 in"); longer: feet and inches to .01 (1'-2.50"); mm to 0.1 ("38.1 mm").
    """
    step = 0.1 if Units(units) is Units.MM else INCH / 100.0
    if toward in ("measured least", "needed most"):
        count = floor((mm + HALF_EPSILON) / step)
    else:
        count = ceil((mm - HALF_EPSILON) / step)
    sign, count = ("-" if count < 0 else ""), abs(count)
    if Units(units) is Units.MM:
        return f"{sign}{count // 10}.{count % 10} mm"
    if count < 1200:
        return f"{sign}{count // 100}.{count % 100:02d} in"
    feet, rest = divmod(count, 1200)
    return f"{sign}{feet}'-{rest // 100}.{rest % 100:02d}\""


def show_length(mm: float, units: Units | str) -> str:
    """A length for shop paper: feet, inches and the nearest 1/16 (3'-6 1/2"), or mm to the nearest 0.1.

    A half rounds to the even sixteenth.
    """
    if Units(units) is Units.MM:
        tenths = round(mm * 10.0)
        sign, tenths = ("-" if tenths < 0 else ""), abs(tenths)
        return f"{sign}{tenths // 10}.{tenths % 10} mm" if tenths % 10 else f"{sign}{tenths // 10} mm"
    count = round(mm / INCH * 16.0)
    sign, count = ("-" if count < 0 else ""), abs(count)
    feet, rest = divmod(count, 12 * 16)
    inches, over = divmod(rest, 16)
    under = 16
    while over and over % 2 == 0:
        over, under = over // 2, under // 2
    fraction = f" {over}/{under}" if over else ""
    if feet:
        return f"{sign}{feet}'-{inches}{fraction}\""
    return f'{sign}{inches}{fraction}"' if inches or not over else f'{sign}{over}/{under}"'


def write_length(mm: float, units: Units | str) -> str:
    """A length as it is written into a site file: `length_from` reads it back to within 2e-5 mm.

    Inches with their fraction where a tape has it (1 1/2", to 64ths), else with up to 6 decimals; mm likewise
    (12.5 mm). Nothing is 0, which needs no unit.
    """
    metric = Units(units) is Units.MM
    size = mm if metric else mm / INCH
    count = round(size * 64.0)
    if not metric and count and abs(size * 64.0 - count) < 32e-6:
        whole, over = divmod(abs(count), 64)
        under = 64
        while over and over % 2 == 0:
            over, under = over // 2, under // 2
        text = " ".join([*([str(whole)] if whole else []), *([f"{over}/{under}"] if over else [])])
        return f'{"-" if count < 0 else ""}{text}"'
    figure = f"{size:.6f}".rstrip("0").rstrip(".")
    if figure in ("0", "-0"):
        return "0"
    return f"{figure} mm" if metric else f'{figure}"'


def write_angle(degrees: float) -> str:
    """An angle as it is written into a site file, to a millionth of a degree."""
    figure = f"{degrees:.6f}".rstrip("0").rstrip(".")
    return "0" if figure == "-0" else figure


def show_decimal(mm: float, units: Units | str) -> str:
    """A length for a machine shop: inches to the nearest .001 (12.375"), or mm to the nearest 0.01."""
    if Units(units) is Units.MM:
        return f"{mm:.2f} mm"
    return f'{mm / INCH:.3f}"'


def on_a_sixteenth(mm: float) -> bool:
    """Whether a length is a whole number of sixteenths of an inch, within 0.01 mm."""
    count = mm / INCH * 16.0
    return abs(count - round(count)) * INCH / 16.0 < 0.01
