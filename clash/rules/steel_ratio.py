"""How much longitudinal steel the section of a pier has, with the dowels in the lap and without them."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace

from clash.measures.section import sides
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import EPSILON, DoesNotApply, Measured, rule
from models.catalogue import bar
from models.part import Part, Role


@rule(
    id="steel ratio",
    title="longitudinal steel, in % of the section",
    source="the rule book, by the site's use (ACI 318-19 10.6.1.1; EN 1992-1-1 9.5.2)",
)
def steel_ratio(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Nominal area of the bars over the area of concrete as drawn: verticals alone, and with the dowels.

    A dowel is in the lap where it stands beside a vertical. Where the site file does not say what the pier
    is, a ratio that would do for either is clear.
    """
    verticals, dowels = (np.flatnonzero(view.roles(role)) for role in (Role.VERTICAL, Role.DOWEL))
    if not len(verticals) or view.pier.spec.cage is None:
        yield DoesNotApply("no cage")
        return
    spec, concrete = view.pier.spec, view.pier.concrete
    section = concrete.outline.area
    alone = 100.0 * sum(_area(view.parts[i]) for i in verticals) / section
    lapped = alone + 100.0 * sum(_area(view.parts[i]) for i in dowels) / section
    least_side = sides(concrete.outline.outer)[0]
    least = view.book.least_steel(spec.use, concrete.height, least_side)
    if least.missing is not None:
        column = view.book.least_steel("column", concrete.height, least_side)
        least = column if alone >= (column.value or 0.0) - EPSILON else _told(least, alone)
    yield _row(int(verticals[0]), alone, least, "least", "needed")
    yield _row(int(verticals[0]), alone, view.book.most_steel(lapped=False), "most", "allowed at most")
    if len(dowels):
        most = view.book.most_steel(lapped=True)
        yield _row(int(dowels[0]), lapped, most, "most", "allowed at most where bars lap")


def _row(part: int, ratio: float, need: Need, limit: str, word: str) -> Measured:
    which = np.array([part], dtype=np.intp)
    return Measured(
        which,
        which,
        np.array([ratio]),
        (need,),
        np.full((1, 3), np.nan),
        says=f"The bars are {{measured}} of the section, {{required}} {word} ({{source}}).",
        limit="least" if limit == "least" else "most",
        unit="%",
        tags=(limit,),
    )


def _told(least: Need, ratio: float) -> Need:
    """The need with the ratio in what it asks."""
    assert least.missing is not None
    ask = f"its bars are {np.floor(ratio * 1000.0) / 1000.0:g} % of its section; {least.missing.ask}"
    return replace(least, missing=replace(least.missing, ask=ask))


def _area(part: Part) -> float:
    """Nominal area, mm2: the catalogue's, else of the nominal circle."""
    if part.size:
        return bar(part.size).area
    return float(np.pi * (part.nominal or 0.0) ** 2 / 4.0)
