"""The fabricator's sheet: the steel plate that drops over the rods."""

from __future__ import annotations

import re
from collections.abc import Iterator

from models.lengths import show_length
from models.pier import Pier
from models.spec.seat import Plate
from viewer.paper.cut import flat_part, plan_of, rod_words, shape_key
from viewer.paper.job import Job, SheetFile, alike, unlike
from viewer.paper.overview import Words, diagonal_table, hole_table, overview
from viewer.paper.plan import Plan, north_corner
from viewer.paper.tiles import tiled
from viewer.paper.title import in_words, short

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
            others = [pier.mark for other in same if other is not piers for pier in other]
            yield _file(job, piers, stem, others if mark else [])


def _file(job: Job, piers: list[Pier], stem: str, others: list[str]) -> SheetFile:
    plan = plan_of(piers[0], "plate")
    marks = [pier.mark for pier in piers]
    name = _plate(piers[0]).mark
    title = job.title(f"Plate {name} for {short(marks)}".replace("  ", " "), stem, marks)
    big = tiled(plan, job.paper, title, job.units)
    first = overview(plan, _words(job, piers, plan, others), job.desk, title, job.units, len(big))
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
    welds = tuple((weld.what, weld.where, weld.flush) for weld in plate.welds)
    said = (plate.mark, plate.material, plate.finish, plate.revision, plate.thickness, welds)
    return shape_key(plan_of(pier, "plate")), said, rod_words(pier)


def _words(job: Job, piers: list[Pier], plan: Plan, others: list[str]) -> Words:
    plate, u = _plate(piers[0]), job.units
    said = "not stated in the site file"
    lines = [
        f"Make {len(piers)}, for {in_words([p.mark for p in piers])}.",
        f"Thickness {show_length(plate.thickness, u)}. Material: {plate.material or said}.",
        f"Finish: {plate.finish or said}. Revision: {plate.revision or said}.",
        f"Holes {show_length(plate.holes.diameter, u)}, for {rod_words(piers[0])}.",
        f"Stamp the top side with the piece mark and {_north(plan)}.",
    ]
    if others:
        lines.append(
            f"CAUTION: {plate.mark} is drawn differently for {in_words(others)}; ask for a mark of its own "
            "for each."
        )
    tables = [("Holes, to their centers", hole_table(plan, u, edge=True))]
    if len(plan.holes) > 1:
        tables.append(("Diagonals to check, center to center", diagonal_table(plan, u)))
    return Words(
        (f"PLATE {plate.mark}" if plate.mark else "PLATE", "VIEWED FROM ABOVE"),
        tuple(lines),
        tuple(tables),
        (
            *_weld_notes(piers[0], plate),
            "The DXF has on its layer CUT what the machine cuts, and nothing else.",
        ),
    )


def _north(plan: Plan) -> str:
    _, name = north_corner(plan)
    return "the north side" if len(plan.outer.starts) == 1 else f"the {name} corner"


def _weld_notes(pier: Pier, plate: Plate) -> Iterator[str]:
    for weld in plate.welds:
        flush = " Ground flush." if weld.flush else ""
        yield f"{weld.where.upper()} WELD: {weld.what.rstrip('.')}.{flush}"
    rods = pier.spec.seat.rods
    if rods is None or rods.bar is None:
        return
    if not plate.welds:
        yield "Welds: the site file states none; weld as the engineer draws it, shop and field."
    yield "Bars that are welded have to be of weldable steel: ask the engineer for the grade."
    if rods.coating != "plain" or plate.finish:
        yield "Coating is held back from each weld, and made good afterwards, as the engineer says."
