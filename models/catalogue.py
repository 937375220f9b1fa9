"""The catalogue: bars, rods, nuts, washers, holes, bends and hook tails, read from the tables beside it.

Each table is a CSV in `models/tables` whose comment lines name its standard; each row carries the source that
a report cites. What the tables do not list is not guessed: it raises NotInCatalogue.
"""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path
from typing import Literal, NoReturn

from msgspec import Struct

from models.lengths import Units

INCH = 25.4
"""mm, exactly."""
STEEL = 7850.0
"""kg/m3, the density that the bar standards reckon mass by."""
Use = Literal["main", "tie"]
Edition = Literal["dg1-2", "manual-later"]
Family = Literal["aci", "en"]
"""Whose table of bends and hooks."""
SAME = 0.01
"""mm: a rod's diameter counts as a listed one within this."""
_AS_THICK = 0.2
"""mm: soft metric sizes and the bars that they stand for differ by less in diameter."""
_TABLES = Path(__file__).with_name("tables")
LB_FT = 0.45359237 / 0.3048
"""kg/m in a pound per foot, exactly."""


class NotInCatalogue(KeyError, ValueError):
    """A size or combination that no table lists; its text is a sentence for the user.

    A ValueError too, because to whoever builds from a site file it is one more thing that cannot be built.
    """

    def __str__(self) -> str:
        return str(self.args[0])


class Bar(Struct, frozen=True):
    """A reinforcing bar.

    diameter: nominal, mm; area: nominal, mm2; mass: kg/m; rib: least height of the deformations, mm, None
    where no table of them is at hand; standard: whose bar it is; source: what to cite.
    """

    size: str
    diameter: float
    area: float
    mass: float
    rib: float | None
    standard: str
    source: str

    @property
    def overall(self) -> float | None:
        """Diameter over the ribs, mm, at least; None where no rib height is listed."""
        return None if self.rib is None else self.diameter + 2.0 * self.rib


class Thread(Struct, frozen=True):
    """The thread of a rod: pitch, mm; stress_area, mm2; source: what to cite."""

    rod: str
    pitch: float
    stress_area: float
    source: str


class Nut(Struct, frozen=True):
    """A heavy hex nut at its greatest: across flats, across corners, height, mm; source: what to cite."""

    rod: str
    flats: float
    corners: float
    height: float
    source: str


class RoundWasher(Struct, frozen=True):
    """A round washer: outside diameter and greatest thickness (None where not listed), mm."""

    rod: str
    outside: float
    thickness: float | None
    source: str


class LargestHole(Struct, frozen=True):
    """The largest plate hole for a rod and the least plate washer over it, mm; None where not listed."""

    rod: str
    hole: float
    washer: float | None
    washer_thickness: float | None
    source: str


class _Table(Struct, frozen=True):
    head: dict[str, str]
    rows: tuple[dict[str, str], ...]

    def source(self, row: dict[str, str], clause: str | None = None) -> str:
        memory = " (from memory)" if "memory" in row["state"] else ""
        edition = self.head["edition"]
        year = ":" if self.head["standard"].startswith("EN ") else "-"
        named = "" if "not named" in edition else f"{year}{edition}" if edition.isdigit() else f", {edition}"
        return f"{self.head['standard']}{named}, {clause or self.head['table']}{memory}"


@cache
def _table(name: str) -> _Table:
    text = (_TABLES / f"{name}.csv").read_text(encoding="utf-8")
    head: dict[str, str] = {}
    body: list[str] = []
    for line in text.splitlines():
        if line.startswith("#"):
            key, _, value = line[1:].partition(":")
            head[key.strip()] = value.strip()
        else:
            body.append(line)
    return _Table(head, tuple(csv.DictReader(body)))


@cache
def _bars() -> dict[str, Bar]:
    bars: dict[str, Bar] = {}
    table = _table("bars_astm")
    for row in table.rows:
        bars[row["size"]] = Bar(
            row["size"],
            float(row["diameter_in"]) * INCH,
            float(row["area_in2"]) * INCH**2,
            float(row["mass_lb_ft"]) * LB_FT,
            float(row["rib_in"]) * INCH,
            "ASTM",
            table.source(row),
        )
    for name, standard in (("bars_csa", "CSA"), ("bars_en", "EN")):
        table = _table(name)
        for row in table.rows:
            area = float(row["area_mm2"])
            mass = float(row["mass_kg_m"]) if "mass_kg_m" in row else area * STEEL * 1e-6
            bars[row["size"]] = Bar(
                row["size"], float(row["diameter_mm"]), area, mass, None, standard, table.source(row)
            )
    return bars


def bar(size: str) -> Bar:
    """The bar of this canonical size ("No. 8", "25M", "16 mm"); NotInCatalogue when there is none."""
    try:
        return _bars()[size]
    except KeyError:
        raise NotInCatalogue(f"no bar {size!r} is listed; bars are {', '.join(_bars())}") from None


def bar_names(units: Units) -> tuple[str, ...]:
    """Canonical sizes under these units, smallest first within a standard."""
    inch = units == Units.FT_IN
    return tuple(size for size, b in _bars().items() if (b.standard == "ASTM") == inch)


def canonical_bar(text: str, units: Units) -> str:
    """The canonical size of a bar as somebody wrote it.

    Under ft-in: No. 8, 8, #8; under mm: 25M, 16, 16 mm. Raises ValueError that names what would do.
    """
    names = bar_names(units)
    squeezed = re.sub(r"\s+", "", str(text)).lower()
    known = {re.sub(r"\s+", "", name).lower(): name for name in names}
    if units == Units.FT_IN:
        match = re.fullmatch(r"(?:no\.?|#)?0*(\d+)", squeezed)
        key = f"no.{match.group(1)}" if match else squeezed
    else:
        key = f"{squeezed}mm" if squeezed.isdigit() else squeezed
    if key in known:
        return known[key]
    raise ValueError(f"there is no bar size {str(text)!r} here; write one of {', '.join(names)}")


def _number(size: str) -> int:
    match = re.search(r"\d+", size)
    assert match is not None  # every canonical size has its number
    return int(match.group())


_BOOKS = {"ASTM": "aci", "EN": "en"}


def _range_row(kind: str, bar: Bar, use: Use, degrees: int | None) -> tuple[_Table, dict[str, str]] | None:
    book = _BOOKS.get(bar.standard)
    if book is None:
        return None
    table = _table(f"{kind}_{book}")
    for row in table.rows:
        inside = _number(row["first"]) <= _number(bar.size) <= _number(row["last"])
        if row["use"] == use and inside and (degrees is None or int(row["degrees"]) == degrees):
            return table, row
    return None


def _no_row(what: str, bar: Bar, use: Use) -> NoReturn:
    kind = "ties" if use == "tie" else "main bars"
    raise NotInCatalogue(f"no {what} is listed for {bar.size} as {kind}: the site file has to give it")


def bend_diameter(bar: Bar, use: Use) -> float:
    """Least inside bend diameter, mm (ACI 318-19 25.3.1, 25.3.2; EN 1992-1-1 8.3, by the bar's standard)."""
    found = _range_row("bends", bar, use, None)
    if found is None:
        _no_row("bend diameter", bar, use)
    return float(found[1]["diameters"]) * bar.diameter


def bend_source(bar: Bar, use: Use) -> str:
    """What to cite for `bend_diameter`."""
    found = _range_row("bends", bar, use, None)
    if found is None:
        _no_row("bend diameter", bar, use)
    table, row = found
    return table.source(row, row["clause"])


def hook_tail(bar: Bar, use: Use, degrees: int) -> float:
    """Least straight tail past a hook's bend, mm (ACI 318-19 25.3.1, 25.3.2; EN 1992-1-1 Figure 8.5)."""
    found = _range_row("tails", bar, use, degrees)
    if found is None:
        _no_row(f"straight tail of a {degrees} degree hook", bar, use)
    row = found[1]
    least = float(row["least_mm"]) if "least_mm" in row else float(row["least_in"]) * INCH
    return max(float(row["diameters"]) * bar.diameter, least)


def least_bend(family: Family, diameter: float, use: Use) -> tuple[float, str] | None:
    """Least inside bend diameter of any bar of this diameter, mm, and what to cite; None where not listed.

    family: whose table. A bar of another standard takes the row of the listed bars that it is no thicker than
    (within 0.2 mm: a 16 mm bar is a No. 5).
    """
    found = _row_by_diameter("bends", family, diameter, use, None)
    if found is None:
        return None
    table, row = found
    return float(row["diameters"]) * diameter, table.source(row, row["clause"])


def least_tail(family: Family, diameter: float, use: Use, degrees: int) -> tuple[float, str] | None:
    """Least straight tail past a hook's bend of any bar of this diameter, mm, and what to cite; see
    `least_bend`.
    """
    found = _row_by_diameter("tails", family, diameter, use, degrees)
    if found is None:
        return None
    table, row = found
    least = float(row["least_mm"]) if "least_mm" in row else float(row["least_in"]) * INCH
    return max(float(row["diameters"]) * diameter, least), table.source(row, row["clause"])


@cache
def _row_by_diameter(
    kind: str, family: Family, diameter: float, use: Use, degrees: int | None
) -> tuple[_Table, dict[str, str]] | None:
    table = _table(f"{kind}_{family}")
    fitting = [
        row
        for row in table.rows
        if row["use"] == use
        and (degrees is None or int(row["degrees"]) == degrees)
        and diameter <= bar(row["last"]).diameter + _AS_THICK
    ]
    if not fitting:
        return None
    return table, min(fitting, key=lambda row: bar(row["last"]).diameter)


def _rod_row(name: str, what: str, diameter: float) -> tuple[_Table, dict[str, str]]:
    table = _table(name)
    for row in table.rows:
        if abs(float(row["rod_in"]) * INCH - diameter) <= SAME:
            return table, row
    sizes = ", ".join(row["rod"] for row in table.rows)
    raise NotInCatalogue(
        f"no {what} is listed for a rod of {diameter:g} mm ({diameter / INCH:g} in); rods listed are {sizes}"
    )


def rod_sizes() -> tuple[tuple[str, float], ...]:
    """Every rod with a listed thread and nut: its size as the trade writes it, its diameter in mm."""
    return tuple((row["rod"], float(row["rod_in"]) * INCH) for row in _table("threads").rows)


def rod_size(diameter: float) -> str | None:
    """How the trade writes a rod of this diameter (mm): "1 1/4 in"; None when it is not a listed one."""
    return next((size for size, d in rod_sizes() if abs(d - diameter) <= SAME), None)


def thread(rod_diameter_mm: float) -> Thread:
    """The thread of a rod; NotInCatalogue when it is not listed."""
    table, row = _rod_row("threads", "thread", rod_diameter_mm)
    pitch = INCH / float(row["threads_per_in"])
    return Thread(row["rod"], pitch, float(row["stress_area_in2"]) * INCH**2, table.source(row))


def heavy_hex_nut(rod_diameter_mm: float) -> Nut:
    """The heavy hex nut of a rod, at its greatest; NotInCatalogue when it is not listed."""
    table, row = _rod_row("heavy_hex_nuts", "heavy hex nut", rod_diameter_mm)
    flats, corners, height = (float(row[k]) * INCH for k in ("flats_in", "corners_in", "height_in"))
    return Nut(row["rod"], flats, corners, height, table.source(row))


def f436_washer(rod_diameter_mm: float) -> RoundWasher:
    """The hardened round washer of a rod (ASTM F436; thickness not listed)."""
    table, row = _rod_row("washers_f436", "F436 washer", rod_diameter_mm)
    return RoundWasher(row["rod"], float(row["outside_in"]) * INCH, None, table.source(row))


def f844_washer(rod_diameter_mm: float) -> RoundWasher:
    """The plain round washer of a rod (ASTM F844, USS; its greatest thickness)."""
    table, row = _rod_row("washers_f844", "F844 washer", rod_diameter_mm)
    outside, thickness = float(row["outside_in"]) * INCH, float(row["thickness_in"]) * INCH
    return RoundWasher(row["rod"], outside, thickness, table.source(row))


def largest_hole(rod_diameter_mm: float, edition: Edition) -> LargestHole:
    """The largest hole of a base plate for a rod, by edition; NotInCatalogue when that edition lists none.

    dg1-2: AISC Design Guide 1, 2nd ed., Table 2.3; manual-later: later Manuals, the rods known to differ.
    """
    name = {"dg1-2": "holes_dg1_2nd", "manual-later": "holes_manual_later"}[edition]
    table, row = _rod_row(name, "largest hole", rod_diameter_mm)
    washer = float(row["washer_in"]) * INCH if "washer_in" in row else None
    thickness = float(row["washer_thickness_in"]) * INCH if "washer_thickness_in" in row else None
    return LargestHole(row["rod"], float(row["hole_in"]) * INCH, washer, thickness, table.source(row))
