"""`pierclear compare`: a fabricator's drawing of a plate against the site file."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from models.problems import BadInput, Place, Problem
from viewer import console
from viewer.given import site_file

if TYPE_CHECKING:
    from clash.shop.compare import Comparison
    from clash.shop.reading import ShopPlate

UNITS = ("in", "ft", "mm", "cm", "m")


def compare_plate(
    given: Path, drawing: Path, unit: str | None, plate: str | None, layer: str | None, rods_off: str | None
) -> bool:
    """Print how the drawing differs; True when something is on HOLD or NOT CHECKED.

    Raises BadInput for what can't be used.
    """
    from clash.report.findings import Level
    from clash.shop.compare import compare
    from clash.shop.reading import read_shop_drawing
    from clash.shop.wanted import wanted
    from models.lengths import Units
    from models.reading.loading import load_site

    if unit is not None and unit not in UNITS:
        raise BadInput(
            [Problem(Place("--unit"), f"{unit[:20]} is no unit here", f"write one of {', '.join(UNITS)}")]
        )
    site = load_site(site_file(given))
    units = Units(site.spec.site.units)
    off = None if rods_off is None else _length(rods_off, units)
    plates = wanted(site.piers, plate)
    drawn = read_shop_drawing(drawing, [want.size for want in plates], unit, layer)
    found = compare(drawn, plates, units, rods_off=off)
    console.show("\n".join(_told(found, drawn, drawing.name, off is None)))
    return any(d.level is not Level.TIGHT for d in found.differences)


def _length(text: str, units: object) -> float:
    from models.lengths import Units, length_from

    try:
        length = length_from(text, Units(str(units)))
    except ValueError as wrong:
        raise BadInput([Problem(Place("--rods-off"), str(wrong))]) from wrong
    if length < 0.0:
        raise BadInput(
            [Problem(Place("--rods-off"), f"{text} is less than zero", "give a length such as 1/8 in")]
        )
    return length


def _told(found: Comparison, drawn: ShopPlate, name: str, silent: bool) -> Iterator[str]:
    from clash.report.findings import Level
    from viewer.page import Page
    from viewer.terminal import CAUTION

    page = Page(console.width(sys.stdout), console.colored(sys.stdout))
    yield from page.bold(f"{name} against {found.plate.name}")
    yield from page.wrapped("", f"The drawing is in {drawn.unit}; it has {len(drawn.rounds)} round holes.")
    yield ""
    yield from page.wrapped("", CAUTION)
    yield ""
    for level in Level:
        for difference in found.differences:
            if difference.level is level:
                yield from page.wrapped(f"{level.value:<13}", difference.says)
    for fact in found.facts:
        yield from page.wrapped(f"{'':<13}", fact)
    if silent:
        words = "How far rods may stand off was not said (--rods-off), so no placing is taken off."
        yield from page.wrapped(f"{'':<13}", words)
    yield ""
    held = sum(d.level is Level.HOLD for d in found.differences)
    unsure = sum(d.level is Level.NOT_CHECKED for d in found.differences)
    yield from page.bold(f"{held} on HOLD, {unsure} NOT CHECKED.")
