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
    from models.lengths import Units

UNITS = ("in", "ft", "mm", "cm", "m")
_WORDS = {"in": "inches", "ft": "feet", "mm": "mm", "cm": "cm", "m": "meters"}


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
    from models.reading.loading import load_site

    if unit is not None and unit not in UNITS:
        raise BadInput(
            [Problem(Place("--unit"), f"{unit[:20]} is no unit here", f"write one of {', '.join(UNITS)}")]
        )
    site = load_site(site_file(given))
    units = site.units
    off = None if rods_off is None else _length(rods_off, units)
    plates = wanted(site.piers, plate)
    drawn = read_shop_drawing(drawing, [want.size for want in plates], unit, layer)
    found = compare(drawn, plates, units, rods_off=off)
    console.show("\n".join(_told(found, drawn, drawing.name, off is None, units)))
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


def _told(found: Comparison, drawn: ShopPlate, name: str, silent: bool, units: Units) -> Iterator[str]:
    from clash.report.findings import Level
    from viewer.report.page import Page
    from viewer.report.terminal import CAUTION

    page = Page(console.width(sys.stdout), console.colored(sys.stdout))
    yield from page.bold(f"{name} against {found.plate.name}")
    holes = _some(len(drawn.rounds), "round hole", "round holes")
    yield from page.wrapped("", f"The drawing is in {_WORDS[drawn.unit]}; it has {holes}.")
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
    yield from page.bold("Taken for granted")
    for said in assumptions(drawn, found, units):
        yield from page.wrapped("  ", said)
    yield ""
    held = sum(d.level is Level.HOLD for d in found.differences)
    unsure = sum(d.level is Level.NOT_CHECKED for d in found.differences)
    yield from page.bold(f"{held} on HOLD, {unsure} NOT CHECKED.")


def assumptions(drawn: ShopPlate, found: Comparison, units: Units) -> Iterator[str]:
    """What the comparison took for granted, a sentence each."""
    from clash.shop.compare import SIZE, WITHIN
    from clash.shop.laying import OUTLINE
    from models.lengths import show_decimal, show_length

    how, unit = drawn.assumed, _WORDS[drawn.unit]
    if how.asked:
        other = how.header is not None and how.header != drawn.unit
        header = f"; its header says {_WORDS[str(how.header)]}" if other else ""
        source = f"as --unit says{header}"
    else:
        source = "as its header says"
    proof = "an outline has" if how.agrees else "no outline has"
    size = f"{proof} the size of a plate to prove it"
    yield f"Unit: {unit}, {source}; {size}."
    if how.layer is not None:
        yield f"Layers: {how.layer} alone, as --layer says."
    elif how.hidden:
        yield f"Layers: all that are on; off or frozen, and left out: {', '.join(how.hidden)}."
    else:
        yield "Layers: all of them."
    if how.edge is None or how.size is None:
        yield "Outline: none is closed, so the drawing lies where its holes fit best."
    else:
        long, wide = (show_length(v, units) for v in how.size)
        yield f"Outline: {long} by {wide}, on layer {how.edge}; every circle in it is a hole."
    if how.outside:
        yield f"Left out: {_some(how.outside, 'circle', 'circles')} outside of the outline."
    if how.unlike:
        more = _some(how.unlike, "more outline", "more outlines")
        yield f"Left out: {more} of a plate's size, without a circle in it."
    yield (
        "Lay: moved and turned, from above and from below, to where the fewest holes are wrong and the rest "
        "lie nearest."
    )
    yield (
        f"Told is what is off by more than {show_decimal(WITHIN, units)} (holes), "
        f"{show_decimal(SIZE, units)} (diameters), {show_decimal(OUTLINE, units)} (outline): practice, where "
        "nobody says."
    )


def _some(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"
