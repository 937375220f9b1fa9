"""The list to order by: bars by mark, rods and hardware, concrete."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

from models.catalogue import bar as catalogue_bar
from models.lengths import show_length
from models.part import ANCHORS, LATERAL, LONGITUDINAL, Part, Role
from models.shapes.chamfer import concrete_volume
from models.shapes.volumes import show_volume, show_weight
from models.solids import Swept
from viewer.drawing.marks import Box
from viewer.drawing.page import Draft, Page
from viewer.paper.bar_shapes import inside_bend, legs, shape_words, sketch
from viewer.paper.job import Job, SheetFile
from viewer.paper.overview import table_pages
from viewer.paper.table import Table
from viewer.paper.title import Title, draw_frame, in_words

ABOUT = "bars by mark with shape, cut length and weight; rods, nuts, washers, plates; concrete; PDF"
_LETTERS = {
    Role.VERTICAL: "V",
    Role.DOWEL: "D",
    Role.TIE: "T",
    Role.CROSSTIE: "C",
    Role.HOOP: "H",
    Role.BAR_ANCHOR: "A",
}


class _Row(Struct, frozen=True):
    """Bars that are cut and bent alike. piers: marks, one for each bar."""

    mark: str
    part: Part
    bar: Swept
    piers: tuple[str, ...]

    @property
    def weight(self) -> float:
        """kg, of one."""
        return catalogue_bar(self.part.size).mass * self.bar.length / 1000.0


def files(job: Job) -> Iterator[SheetFile]:
    """One file for the site."""
    title = job.title("Bars, rods and concrete", "bars", [pier.mark for pier in job.site.piers])
    size = (max(job.desk), min(job.desk))
    rows = _rows(job)
    tables = [("Bars by mark", _bars(job, rows))] if rows else []
    hardware = _hardware(job)
    tables += [("Rods, nuts, washers, plates", hardware)] if hardware.rows else []
    tables.append(("Concrete", _concrete(job)))
    notes = [
        "Legs are out to out of the bends; the cut length is that along the center line. Ties lie one on the "
        "other where they cross, as drawn.",
        "Weight is the nominal mass of the bar's standard times the cut length. Nothing is added for waste, "
        "laps elsewhere, chairs or cover blocks.",
        "Concrete is the volume inside the forms, top chamfer deducted, nothing deducted for steel, nothing "
        "added for loss.",
    ]
    bent = [row for row in rows if inside_bend(row.bar) is not None]
    each = _per_page(size, title)
    shapes = -(-len(bent) // each)
    listed = table_pages(size, tables, title, 1, 999, notes)
    total = len(listed) + shapes
    listed = table_pages(size, tables, title, 1, total, notes)
    drawn = [
        _shapes(job, size, title.on(len(listed) + 1 + k, total, "none"), bent[k * each : (k + 1) * each])
        for k in range(shapes)
    ]
    yield SheetFile("bars", (*listed, *drawn))


def _rows(job: Job) -> list[_Row]:
    """Alike: of one role and size, with the same legs, bends and length to a tenth of a mm."""
    groups: dict[object, list[tuple[str, Part, Swept]]] = {}
    for pier in job.site.piers:
        for part in pier.parts:
            solid = part.solid
            if part.role not in LONGITUDINAL | LATERAL | {Role.BAR_ANCHOR} or not isinstance(solid, Swept):
                continue
            shape = tuple((round(leg.length, 1), round(leg.then, 3)) for leg in legs(solid))
            key = (part.role, part.size, min(shape, shape[::-1]), round(solid.length, 1))
            groups.setdefault(key, []).append((pier.mark, part, solid))
    count: Counter[str] = Counter()
    rows = []
    order = list(_LETTERS)
    for group in sorted(groups.values(), key=lambda g: order.index(g[0][1].role)):
        _, part, solid = group[0]
        letter = _LETTERS[part.role]
        count[letter] += 1
        rows.append(_Row(f"{letter}{count[letter]}", part, solid, tuple(mark for mark, _, _ in group)))
    return rows


def _bars(job: Job, rows: list[_Row]) -> Table:
    u = job.units
    out = []
    for row in rows:
        bend = inside_bend(row.bar)
        out.append(
            (
                row.mark,
                row.part.role.value,
                row.part.size,
                str(len(row.piers)),
                shape_words(row.bar, u),
                "" if bend is None else show_length(bend, u),
                show_length(row.bar.length, u),
                show_weight(row.weight * len(row.piers), u),
                in_words(list(dict.fromkeys(row.piers))),
            )
        )
    weight = sum(row.weight * len(row.piers) for row in rows)
    count = sum(len(row.piers) for row in rows)
    out.append(("all", "", "", str(count), "", "", "", show_weight(weight, u), ""))
    titles = (
        "mark",
        "what",
        "size",
        "count",
        "legs, out to out",
        "bend\ninside",
        "cut\nlength",
        "weight",
        "piers",
    )
    return Table(
        titles,
        tuple(out),
        ("left", "left", "left", "right", "left", "right", "right", "right", "left"),
        (None, None, None, None, 75.0, None, None, None, 50.0),
        1.9,
    )


def _hardware(job: Job) -> Table:
    counted: dict[tuple[str, str], list[str]] = {}
    for pier in job.site.piers:
        for part in pier.parts:
            words = _what(job, pier.mark, part)
            if words is not None:
                counted.setdefault(words, []).append(pier.mark)
    rows = [
        (what, size, str(len(marks)), in_words(list(dict.fromkeys(marks))))
        for (what, size), marks in sorted(counted.items())
    ]
    return Table(
        ("what", "size", "count", "piers"),
        tuple(rows),
        ("left", "left", "right", "left"),
        (None, 110.0, None, 60.0),
    )


def _what(job: Job, mark: str, part: Part) -> tuple[str, str] | None:
    """What it is and its size, in words; None for what is not ordered from this list."""
    u = job.units
    seat = next(pier.spec.seat for pier in job.site.piers if pier.mark == mark)
    rods, washer, plate = seat.rods, seat.washer, seat.plate
    if part.role in ANCHORS and isinstance(part.solid, Swept) and rods is not None:
        if part.role is Role.BAR_ANCHOR:
            return None
        thread = f", thread {show_length(rods.thread, u)}" if rods.thread is not None else ""
        grade = f", {rods.grade}" if rods.grade else ""
        coat = "" if rods.coating == "plain" else f", {rods.coating}"
        return "rod", f"{part.size} x {show_length(part.solid.length, u)}{thread}{grade}{coat}"
    if part.role in (Role.NUT, Role.LEVELING_NUT):
        return ("nut for a template (used again)" if "/template-nut/" in part.id else "nut"), part.size
    if part.role is Role.HEAD and "/head-plate/" not in part.id:
        return "nut", part.size
    if part.role is Role.HEAD and rods is not None and rods.head_plate is not None:
        foot = rods.head_plate
        return (
            "plate washer at the foot",
            f"{show_length(foot.size, u)} {foot.shape} x {show_length(foot.thickness, u)}",
        )
    if part.role is Role.WASHER and washer is not None:
        size = f"{show_length(washer.size, u)} {washer.shape} x {show_length(washer.thickness, u)}"
        return "washer", f"{size}, for {part.size}"
    if part.role is Role.PLATE and plate is not None:
        material = f", {plate.material}" if plate.material else ""
        return "plate", f"{plate.mark or 'no mark'}, {show_length(plate.thickness, u)} thick{material}"
    return None


def _concrete(job: Job) -> Table:
    u = job.units
    rows, total = [], 0.0
    groups: dict[float, list[str]] = {}
    for pier in job.site.piers:
        volume = concrete_volume(pier.concrete)
        total += volume
        groups.setdefault(round(volume, -3), []).append(pier.mark)
    for volume, marks in groups.items():
        rows.append(
            (
                in_words(marks),
                str(len(marks)),
                show_volume(volume, u, "concrete"),
                show_volume(volume * len(marks), u, "concrete"),
            )
        )
    rows.append(("all", str(len(job.site.piers)), "", show_volume(total, u, "concrete")))
    return Table(
        ("piers", "count", "each", "together"),
        tuple(rows),
        ("left", "right", "right", "right"),
        (110.0, None, None, None),
    )


_CELL = (62.0, 44.0)


def _per_page(size: tuple[float, float], title: Title) -> int:
    room = draw_frame(Draft(*size), title.on(1, 1, "none"))
    return max(1, int((room.right - room.left) // _CELL[0]) * int((room.high - room.low - 6.0) // _CELL[1]))


def _shapes(job: Job, size: tuple[float, float], title: Title, rows: list[_Row]) -> Page:
    draft = Draft(*size)
    room = draw_frame(draft, title)
    draft.write(room.left, room.high - 4.0, "Shapes, not to scale; legs out to out", 2.4, bold=True)
    across = max(1, int((room.right - room.left) // _CELL[0]))
    for n, row in enumerate(rows):
        x = room.left + (n % across) * _CELL[0]
        y = room.high - 7.0 - (n // across + 1) * _CELL[1]
        draft.write(
            x, y + _CELL[1] - 4.0, f"{row.mark}  {row.part.size} {row.part.role.value}", 2.2, bold=True
        )
        sketch(draft, row.bar, Box(x + 12.0, y + 5.0, x + _CELL[0] - 14.0, y + _CELL[1] - 9.0), job.units)
    return draft.page()
