"""The sheet for the grout under the plates: levels, thickness, bags."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from models.lengths import show_length
from models.part import Role
from models.pier import Pier
from models.shapes.volumes import show_volume
from models.solids import Prism
from viewer.paper import bedding
from viewer.paper.job import Job, SheetFile, alike
from viewer.paper.overview import table_pages
from viewer.paper.survey import Survey
from viewer.paper.table import Table, aligns
from viewer.paper.title import in_words

ABOUT = "each plate's grout: top of concrete, underside, least and most, volume in bags; PDF"


def files(job: Job) -> Iterator[SheetFile]:
    """One file for the site; none where no seat has a plate."""
    seats = [pier for pier in job.site.piers if pier.spec.seat.plate is not None]
    if not seats:
        return
    title = job.title("Grout under plates", "grout", [pier.mark for pier in seats])
    tables = [("Levels", _levels(job, seats)), ("Seats", _seats(job, seats)), ("In all", _sum(job, seats))]
    bag = job.site.spec.site.grout_bag
    notes = [
        "Elevations are from the site's datum"
        + (f" ({job.site.spec.site.datum})." if job.site.spec.site.datum else "."),
        "Figures are as drawn: shoot the tops as cast before the level is set. The least level of seats that "
        "share one is the greatest of top of concrete + that seat's least grout.",
        "The volume is that of the bed, nothing deducted for shims, nuts and rods, nothing added for loss.",
        f"A bag yields {show_volume(bag, job.units)}, as the site file says; bags are rounded up."
        if bag is not None
        else "Bags are not counted: the site file does not say what a bag yields (site: grout bag).",
    ]
    size = (max(job.desk), min(job.desk))
    yield SheetFile("grout", tuple(table_pages(size, tables, title, notes=notes)))


def placed_files(job: Job, survey: Survey) -> Iterator[SheetFile]:
    """One file for the site, by the tops that were measured; none where no seat has a plate."""
    seats = [pier for pier in job.site.piers if pier.spec.seat.plate is not None]
    if not seats:
        return
    title = job.title("Grout under plates, AS PLACED", "grout-as-placed", [pier.mark for pier in seats])
    others = bedding.other_table(survey)
    tables = [
        ("Levels as measured", bedding.level_table(survey)),
        ("Seats as measured", bedding.seat_table(survey)),
        ("In all", bedding.sum_table(survey)),
        *([] if others is None else [("Other levels, for the engineer to decide", others)]),
    ]
    size = (max(job.desk), min(job.desk))
    pages = table_pages(size, tables, title, notes=list(bedding.notes(survey)))
    yield SheetFile("grout-as-placed", tuple(pages))


def _underside(pier: Pier) -> float:
    plate = pier.spec.seat.plate
    assert plate is not None
    return pier.spec.top + plate.above


def _least_level(seats: list[Pier]) -> float | None:
    """The greatest of (top + that seat's least grout); None where a seat does not say its least."""
    levels = []
    for pier in seats:
        if pier.spec.seat.grout is None:
            return None
        levels.append(pier.spec.top + pier.spec.seat.grout.least)
    return max(levels)


def _levels(job: Job, seats: list[Pier]) -> Table:
    """Seats whose plates are drawn at one level."""
    u = job.units
    rows = []
    for group in alike(seats, lambda pier: round(_underside(pier), 3)):
        least = _least_level(group)
        drawn = _underside(group[0])
        if least is None:
            says = "not checked: a seat states no least grout"
        else:
            says = "high enough" if drawn >= least - 1e-6 else "too low for the least grout"
        rows.append(
            (
                in_words([p.mark for p in group]),
                show_length(drawn, u),
                "not stated" if least is None else show_length(least, u),
                says,
            )
        )
    titles = ("seats", "underside\nas drawn", "least\nlevel", "level as drawn is")
    return Table(titles, tuple(rows), ("left", "right", "right", "left"), (110.0, None, None, None))


def _volume(pier: Pier) -> float | None:
    bed = next((part.solid for part in pier.parts if part.role is Role.GROUT), None)
    return bed.volume if isinstance(bed, Prism) else None


def _seats(job: Job, seats: list[Pier]) -> Table:
    u, bag = job.units, job.site.spec.site.grout_bag
    rows = []
    for pier in seats:
        plate, grout, volume = pier.spec.seat.plate, pier.spec.seat.grout, _volume(pier)
        assert plate is not None
        least = "not stated" if grout is None else show_length(grout.least, u)
        most = "not stated" if grout is None or grout.most is None else show_length(grout.most, u)
        rows.append(
            (
                pier.mark,
                show_length(pier.spec.top, u),
                show_length(_underside(pier), u),
                show_length(plate.above, u),
                least,
                most,
                _verdict(pier),
                "" if volume is None else show_volume(volume, u),
            )
            + (() if bag is None else ("" if volume is None else f"{volume / bag:.2f}",))
        )
    titles = (
        "pier",
        "top of\nconcrete",
        "underside\nof plate",
        "grout\nas drawn",
        "least",
        "most",
        "as drawn it is",
        "volume",
        *(() if bag is None else ("bags",)),
    )
    sides = list(aligns(titles, "left"))
    sides[6] = "left"
    return Table(titles, tuple(rows), tuple(sides))


def _verdict(pier: Pier) -> str:
    plate, grout = pier.spec.seat.plate, pier.spec.seat.grout
    assert plate is not None
    if grout is None:
        return "NOT CHECKED: no grout stated"
    if plate.above < grout.least - 1e-6:
        return "too thin: ask the engineer"
    if grout.most is None:
        return "thick enough; most NOT CHECKED"
    return "within" if plate.above <= grout.most + 1e-6 else "too thick: ask the engineer"


def _sum(job: Job, seats: list[Pier]) -> Table:
    u, bag = job.units, job.site.spec.site.grout_bag
    volumes = [v for v in map(_volume, seats) if v is not None]
    total = sum(volumes)
    bags = "yield not stated" if bag is None else str(ceil(total / bag - 1e-9))
    row = (str(len(volumes)), show_volume(total, u), bags)
    return Table(("beds", "volume", "bags"), (row,), ("right", "right", "right"))
