"""The fabricator's sheet: the steel plate that drops over the rods."""

from __future__ import annotations

import re
from collections.abc import Iterator
from math import hypot
from typing import TYPE_CHECKING

import numpy as np
from msgspec.structs import replace

from models.lengths import show_gap, show_length
from models.pier import Pier
from models.problems import BadInput, Place, Problem
from models.seat.drilled import drilled
from models.spec.seat import Plate
from viewer.paper.cut import flat_part, plan_of, rod_words, shape_key, turn_key
from viewer.paper.job import Job, SheetFile, alike, unlike
from viewer.paper.overview import Words, diagonal_table, hole_table, overview
from viewer.paper.plan import Plan, north_corner
from viewer.paper.survey import NOT_MEASURED, Survey, center, lean, moved, reasons, room, too_tight
from viewer.paper.table import Table, aligns
from viewer.paper.tiles import tiled
from viewer.paper.title import in_words, short
from viewer.paper.welds import symbols, weld_notes

if TYPE_CHECKING:
    from clash.fits.seats import Hole as Fit
    from clash.fits.seats import SeatFit

ABOUT = (
    "each steel plate: holes, edge distances, mark, count, welds; DXF with a layer for the machine, and PDF"
)


def files(job: Job) -> Iterator[SheetFile]:
    """One for each distinct plate; plates that share a piece mark but not a shape are told."""
    groups = alike(job.site.piers, _key)
    taken: set[str] = set()
    by_mark: dict[str, list[list[Pier]]] = {}
    for piers in groups:
        by_mark.setdefault(_plate(piers[0]).mark, []).append(piers)
    for mark, same in by_mark.items():
        same.sort(key=len, reverse=True)
        for n, piers in enumerate(same):
            stem = unlike(_stem(mark, piers[0].mark, alone=bool(mark) and n == 0), taken)
            others = [pier for other in same if other is not piers for pier in other]
            yield _file(job, piers, stem, others if mark else [])


def placed_files(job: Job, survey: Survey) -> Iterator[SheetFile]:
    """One for each plate that is not known to drop on, or for that of the one pier asked for.

    Plates of which no rod was measured have none. Raises BadInput where the one asked for can't be drawn.
    """
    taken: set[str] = set()
    for fit in survey.found.seats:
        pier = job.site.piers[fit.piers[0]]
        wanted = fit.drops_on is not True if survey.only is None else pier.mark == survey.only
        if "/plate/" in fit.part and fit.holes and wanted:
            stem = _stem(_plate(pier).mark, f"{pier.mark}-as-placed", alone=False)
            yield _placed_file(job, pier, fit, survey, unlike(stem, taken))
    if survey.only is not None and not taken:
        wrong = f"pier {survey.only} has no plate of which a rod was measured"
        raise BadInput([Problem(Place("--pier"), wrong, "name another, or leave it off")])


def _placed_file(job: Job, pier: Pier, fit: SeatFit, survey: Survey, stem: str) -> SheetFile:
    drawn, u = plan_of(pier, "plate"), job.units
    over: dict[int, Fit] = {}
    for hole in fit.holes:
        nearest = min(drawn.holes, key=lambda h: hypot(h.x - hole.center[0], h.y - hole.center[1]))
        over[nearest.number] = hole
    holes = tuple(
        replace(h, x=x, y=y) for h in drawn.holes if h.number in over for x, y in [center(over[h.number])]
    )
    lacking = [h.number for h in drawn.holes if h.number not in over]
    try:
        drilled(
            drawn.outer,
            np.array([[h.x, h.y] for h in holes]),
            drawn.holes[0].diameter,
            drawn.openings,
            "the plate",
        )
        cannot = []
    except ValueError as wrong:
        cannot = [f"CAN'T BE CUT SO: {wrong} (counted in the order of the table)."]
    # What lacks a hole, or can't be cut, must not reach a machine: nothing on the layer that it cuts.
    plan = replace(drawn, holes=holes, machine=not lacking and not cannot)
    title = job.title(
        f"Plate {_plate(pier).mark} for {pier.mark}, AS PLACED".replace("  ", " "), stem, [pier.mark]
    )
    big = tiled(plan, job.paper, title, u)
    words = _placed_words(pier, plan, over, lacking, cannot, (fit, survey))
    first = overview(plan, words, job.desk, title, u, len(big))
    return SheetFile(stem, (*first, *big), first[0])


def _placed_words(
    pier: Pier,
    plan: Plan,
    over: dict[int, Fit],
    lacking: list[int],
    cannot: list[str],
    measured: tuple[SeatFit, Survey],
) -> Words:
    (fit, survey), plate = measured, _plate(pier)
    u = survey.units
    every = len(survey.found.piers[fit.piers[0]].rods) >= len(over) + len(lacking)
    why = "measured, see below" if every else NOT_MEASURED
    lines = [
        f"Plate of {pier.mark}, holes where its rods were measured: {survey.source}.",
        *(f"Hole {n}: {why}, and not drawn." for n in lacking),
        *cannot,
        *reasons(fit),
        *too_tight([n for n, hole in sorted(over.items()) if room(hole) < hole.sure]),
        f"Thickness {show_length(plate.thickness, u)}. "
        f"Holes {show_length(plate.holes.diameter, u)} as drawn, for {rod_words(pier)}. "
        f"{_north(plan)[0].upper()}{_north(plan)[1:]} as drawn.",
    ]
    rows = tuple(
        (
            str(n),
            str(hole.number),
            *(show_gap(v, u, "measured most") for v in (moved(hole), lean(hole), hole.sure)),
            show_gap(room(hole), u, "measured least"),
        )
        for n, hole in sorted(over.items())
    )
    on = "on its pier, as taped" if survey.found.shots.tape else "on the site"
    titles = ("hole", "rod", "off the\ndrawing", "lean in\nplate", "sure\nto", "room\nround")
    tables = [
        ("Holes as placed, to their centers", hole_table(plan, u, edge=True)),
        ("Rods as measured", Table(titles, rows, aligns(titles, "center"))),
    ]
    return Words(
        (f"PLATE {plate.mark}".rstrip(), "AS PLACED, VIEWED FROM ABOVE", "FOR THE ENGINEER TO DECIDE"),
        tuple(lines),
        tuple(tables),
        (
            f"The plate lies where it was drawn {on}; a hole is where its rod passes the middle of the "
            "plate's thickness. Edge distances, bearing and welds at these places are the engineer's.",
            *survey.upright(fit.holes),
            "The DXF has on its layer CUT what a machine would cut, once the engineer says so."
            if plan.machine
            else "The DXF has nothing on a layer CUT: this plate can't be cut from what was measured.",
        ),
    )


def _file(job: Job, piers: list[Pier], stem: str, others: list[Pier]) -> SheetFile:
    plan = plan_of(piers[0], "plate")
    marks = [pier.mark for pier in piers]
    name = _plate(piers[0]).mark
    title = job.title(f"Plate {name} for {short(marks)}".replace("  ", " "), stem, marks)
    big = tiled(plan, job.paper, title, job.units)
    words = _words(job, piers, plan, others)
    first = overview(plan, words, job.desk, title, job.units, len(big), symbols(piers[0]))
    return SheetFile(stem, (*first, *big), first[0])


def _plate(pier: Pier) -> Plate:
    plate = pier.spec.seat.plate
    assert plate is not None
    return plate


def _stem(mark: str, pier: str, *, alone: bool) -> str:
    plain = re.sub(r"[^A-Za-z0-9_.-]+", "-", mark).strip("-.")
    return "-".join(part for part in ("plate", plain, "" if alone and plain else pier) if part)


def _key(pier: Pier) -> object:
    plate = pier.spec.seat.plate
    if plate is None or flat_part(pier, "plate") is None:
        return None
    return _cut(pier), turn_key(plan_of(pier, "plate"))


def _cut(pier: Pier) -> object:
    """Equal for plates that are the same piece of steel, whichever way their piers are turned."""
    plate = _plate(pier)
    said = (plate.mark, plate.material, plate.finish, plate.revision, plate.thickness, tuple(plate.welds))
    return shape_key(plan_of(pier, "plate")), said, rod_words(pier)


def _words(job: Job, piers: list[Pier], plan: Plan, others: list[Pier]) -> Words:
    plate, u = _plate(piers[0]), job.units
    said = "not stated in the site file"
    lines = [
        f"Make {len(piers)}, for {in_words([p.mark for p in piers])}.",
        f"Thickness {show_length(plate.thickness, u)}. Material: {plate.material or said}.",
        f"Finish: {plate.finish or said}. Revision: {plate.revision or said}.",
        f"Holes {show_length(plate.holes.diameter, u)}, for {rod_words(piers[0])}.",
        f"Stamp the top side with the piece mark and {_north(plan)}.",
    ]
    turned = [pier.mark for pier in others if _cut(pier) == _cut(piers[0])]
    if turned:
        lines.append(
            f"{plate.mark} for {in_words(turned)} is cut alike, and stamped for north as its own sheet says."
        )
    differing = [pier.mark for pier in others if pier.mark not in turned]
    if differing:
        lines.append(
            f"CAUTION: {plate.mark} is drawn differently for {in_words(differing)}; "
            "ask for a mark of its own for each."
        )
    tables = [("Holes, to their centers", hole_table(plan, u, edge=True))]
    if len(plan.holes) > 1:
        tables.append(("Diagonals to check, center to center", diagonal_table(plan, u)))
    return Words(
        (f"PLATE {plate.mark}" if plate.mark else "PLATE", "VIEWED FROM ABOVE"),
        tuple(lines),
        tuple(tables),
        (
            *weld_notes(piers[0], u),
            "The DXF has on its layer CUT what the machine cuts, and nothing else.",
        ),
    )


def _north(plan: Plan) -> str:
    _, name = north_corner(plan)
    return "the north side" if len(plan.outer.starts) == 1 else f"the {name} corner"
