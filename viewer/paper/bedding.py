"""Grout as measured: the level of the plates, what it leaves under each, and how much it takes."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, isfinite
from typing import TYPE_CHECKING

from clash.fits.level import other_levels
from models.lengths import Units, show_gap, show_length
from models.part import Role
from models.shapes.volumes import show_volume
from models.solids import Prism
from viewer.drawing.marks import Align
from viewer.paper.survey import NOT_MEASURED, Survey
from viewer.paper.table import Table, aligns
from viewer.paper.title import in_words
from viewer.wording.ways import level_up, rise, small

if TYPE_CHECKING:
    from clash.fits.level import Bed, Level
    from models.site import Site

_FIT = 1e-6
"""mm: exactly at a limit is within it."""


def level_table(survey: Survey) -> Table:
    """Every level: the greatest of measured top + that seat's least grout, and the seat that sets it."""
    site, u = survey.found.site, survey.units
    rows = []
    for level in survey.found.levels:
        seats = in_words([site.piers[bed.pier].mark for bed in level.beds])
        if level.level is None or level.governs is None:
            rows.append((seats, show_length(level.drawn, u), "NOT CHECKED", "", "no top was measured"))
            continue
        lacking = [site.piers[bed.pier].mark for bed in level.beds if not isfinite(bed.top)]
        says = (
            f"NOT CHECKED at {in_words(lacking)}: a higher top there would raise it"
            if lacking
            else "every top"
        )
        rows.append(
            (
                seats,
                show_length(level.drawn, u),
                level_up(level.level, u),
                site.piers[level.governs].mark,
                says,
            )
        )
    titles = ("seats", "underside\nas drawn", "level", "set by", "measured")
    sides: tuple[Align, ...] = ("left", "right", "right", "left", "left")
    return Table(titles, tuple(rows), sides, (70.0, None, None, None, 70.0))


def seat_table(survey: Survey) -> Table:
    """Every seat on grout: its top as measured, its grout at that level, against least and most, and bags."""
    site, u = survey.found.site, survey.units
    bag = site.spec.site.grout_bag
    rows = []
    for level in survey.found.levels:
        for bed in level.beds:
            pier = site.piers[bed.pier]
            least = show_length(bed.least, u)
            most = "not stated" if bed.most is None else show_length(bed.most, u)
            if level.level is None or not isfinite(bed.top):
                blank = ("", "", least, most, "", "NOT CHECKED", "") + (() if bag is None else ("",))
                rows.append((pier.mark, NOT_MEASURED, *blank))
                continue
            volume = bed_volume(survey, level, bed)
            rows.append(
                (
                    pier.mark,
                    level_up(bed.top, u),
                    rise(bed.top - pier.spec.top, u) or "as drawn",
                    _thickness(bed, level.drawn, u),
                    least,
                    most,
                    show_gap(bed.grout(level.level), u, "measured least"),
                    _verdict(bed, level.level),
                    "NOT CHECKED" if volume is None else show_volume(volume, u),
                )
                + (() if bag is None else ("" if volume is None else f"{volume / bag:.2f}",))
            )
    titles = (
        "pier",
        "top as\nmeasured",
        "against\ndrawn",
        "grout, plate\nas drawn",
        "least",
        "most",
        "grout at\nthe level",
        "at the level it is",
        "volume",
        *(() if bag is None else ("bags",)),
    )
    sides = list(aligns(titles, "left"))
    sides[7] = "left"
    return Table(titles, tuple(rows), tuple(sides))


def other_table(survey: Survey) -> Table | None:
    """What lower levels would mean, for the engineer to decide; None where there are none worth telling."""
    site, u = survey.found.site, survey.units
    rows = []
    for level in survey.found.levels:
        if level.level is None:
            continue
        for other in other_levels(level):
            if level.level - other.level <= site.spec.shots.uncertainty:
                continue
            short = ", ".join(f"{site.piers[i].mark} by {small(mm, u)}" for i, mm in other.short)
            thick = in_words([site.piers[i].mark for i in other.thick]) or "none"
            rows.append((level_up(other.level, u), small(level.level - other.level, u), short, thick))
    titles = ("level", "lower by", "the least grout is short at", "over the most at")
    if not rows:
        return None
    return Table(titles, tuple(rows), ("right", "right", "left", "left"), (None, None, 90.0, 60.0))


def sum_table(survey: Survey) -> Table:
    """All beds that were measured; how many were not."""
    site, u = survey.found.site, survey.units
    bag = site.spec.site.grout_bag
    every = [bed_volume(survey, level, bed) for level in survey.found.levels for bed in level.beds]
    known = [v for v in every if v is not None]
    lacking = len(every) - len(known)
    bags = "yield not stated" if bag is None else str(ceil(sum(known) / bag - 1e-9))
    row = (str(len(known)), str(lacking) if lacking else "none", show_volume(sum(known), u), bags)
    return Table(("beds", "NOT CHECKED", "volume", "bags"), (row,), ("right",) * 4)


def bed_volume(survey: Survey, level: Level, bed: Bed) -> float | None:
    """mm3: the bed's plan from the mean of the measured top to the level; None where either is not known."""
    mean = survey.found.piers[bed.pier].top.height
    area = _area(survey.found.site, bed.pier)
    if level.level is None or not isfinite(mean) or area is None:
        return None
    return area * (level.level - mean)


def notes(survey: Survey) -> Iterator[str]:
    """What the figures come from, and what they don't say."""
    bag, u = survey.found.site.spec.site.grout_bag, survey.units
    yield f"Tops as measured: {survey.source}. The highest shot of each top counts."
    step = ".1 mm" if u is Units.MM else "sixteenth"
    yield (
        "The level is the greatest of measured top + that seat's least grout, over the seats whose plates "
        f"are drawn at one height. Elevations are shown up to the next {step}."
    )
    yield (
        "The volume is that of the bed from the mean of its top's shots, nothing deducted for shims, nuts "
        "and rods, nothing added for loss or an uneven top."
    )
    yield (
        f"A bag yields {show_volume(bag, u)}, as the site file says; bags are rounded up."
        if bag is not None
        else "Bags are not counted: the site file does not say what a bag yields (site: grout bag)."
    )
    lacking = [
        pier.mark
        for pier in survey.found.site.piers
        if pier.spec.seat.plate is not None and pier.spec.seat.grout is None
    ]
    if lacking:
        yield f"NOT CHECKED, because the site file states no grout: {in_words(lacking)}."


def _area(site: Site, pier: int) -> float | None:
    """mm2: the plan of a bed as drawn."""
    bed = next((part.solid for part in site.piers[pier].parts if part.role is Role.GROUT), None)
    return bed.volume / (bed.top - bed.bottom) if isinstance(bed, Prism) else None


def _thickness(bed: Bed, drawn: float, u: Units) -> str:
    """The grout that the plate's drawn height would leave, flagged where that is too little or too much."""
    grout = bed.grout(drawn)
    flag = _flag(bed, grout)
    return show_gap(grout, u, "measured least") + (f": {flag}" if flag else "")


def _flag(bed: Bed, grout: float) -> str:
    if grout < bed.least - _FIT:
        return "under least"
    return "over most" if bed.most is not None and grout > bed.most + _FIT else ""


def _verdict(bed: Bed, level: float) -> str:
    flag = _flag(bed, bed.grout(level))
    if flag:
        return f"{flag.upper()}: ask the engineer"
    return "enough; most NOT CHECKED" if bed.most is None else "within"
