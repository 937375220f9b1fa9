"""The sheet for whoever drills the timber beams."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from models.lengths import Units, show_gap, show_length
from models.motion import Motion
from models.part import ANCHORS
from models.pier import Pier
from models.problems import BadInput, Place, Problem
from models.seat.drilled import holes_fit
from models.solids import Prism, Swept
from models.spec.site import BeamSpec
from models.winds import wind
from viewer.drawing.layers import Layer
from viewer.drawing.marks import Align, Box, Circle, Line
from viewer.drawing.page import Draft
from viewer.paper.job import Job, SheetFile, unlike
from viewer.paper.overview import table_pages
from viewer.paper.plan import bounds
from viewer.paper.running import HEIGHT, along_bottom
from viewer.paper.survey import NOT_MEASURED, Survey, center, lean, moved, reasons, room, too_tight
from viewer.paper.table import Table
from viewer.paper.title import draw_frame, in_words

if TYPE_CHECKING:
    from clash.fits.seats import SeatFit

ABOUT = "each timber beam: holes along from its named end and across from its named face, with washers; PDF"
AS_DRAWN = "AS DRAWN: MEASURE BEFORE DRILLING"
AS_MEASURED = "AS MEASURED"
NOTE = 2.0
"""mm: height of the capitals of notes."""
TAPED = (
    "By tape a rod is known from the faces of its own pier only. Where the piers stand to each other was "
    "NOT MEASURED: measure from pier to pier before drilling."
)


class _Hole(Struct, frozen=True):
    """along: from the named end, across: from the left face, mm; pier, rod, washer: in words.

    number: as in the table.
    """

    number: int
    along: float
    across: float
    diameter: float
    pier: str
    rod: str
    washer: str


class _Said(Struct, frozen=True):
    """What a sheet says of a beam.

    title: what is added to its name; head: what its positions are; holes: those drawn; table: all; notes.
    """

    title: str
    head: str
    holes: list[_Hole]
    table: Table
    notes: list[str]


def files(job: Job) -> Iterator[SheetFile]:
    """One for each beam."""
    by_mark = {pier.mark: pier for pier in job.site.piers}
    taken: set[str] = set()
    for beam in job.site.spec.beams:
        stem = unlike(f"drilling-{beam.name}".replace(" ", "-"), taken)
        piers = [by_mark[mark] for mark in beam.piers]
        yield _file(job, beam, piers, stem, _as_drawn(job, beam, piers))


def placed_files(job: Job, survey: Survey) -> Iterator[SheetFile]:
    """One for each beam under which a rod was measured, holes where the rods are. Raises BadInput if none."""
    by_mark = {pier.mark: pier for pier in job.site.piers}
    fits = {fit.part: fit for fit in survey.found.seats}
    taken: set[str] = set()
    for beam in job.site.spec.beams:
        fit = fits[f"{beam.name}/beam"]
        if fit.holes:
            stem = unlike(f"drilling-{beam.name}-as-placed".replace(" ", "-"), taken)
            piers = [by_mark[mark] for mark in beam.piers]
            yield _file(job, beam, piers, stem, _as_placed(job, beam, fit, survey))
    if job.site.spec.beams and not taken:
        wrong = "no rod under a beam was measured, or none has a hole"
        raise BadInput([Problem(Place(survey.found.shots.file), wrong, "shoot the rods under the beams")])


def _as_drawn(job: Job, beam: BeamSpec, piers: list[Pier]) -> _Said:
    solid = _solid(piers[0], beam)
    holes, bare = _holes(beam, piers, bounds(solid.outline.outer), job.units)
    end, _, face = _names(beam, piers[0], solid)
    notes = [
        *_how(beam),
        "Positions are of the drawing: measure the rods as cast before drilling.",
        *(f"{rod} comes up under the beam where no hole is: see the report." for rod in bare),
    ]
    return _Said("", AS_DRAWN, holes, _table(holes, end, face, job.units), notes)


def _how(beam: BeamSpec) -> Iterator[str]:
    if beam.plies > 1:
        yield f"Holes go through all {beam.plies} plies, square to the top of the beam."
    else:
        yield "Holes go square to the top of the beam."
    yield (
        "Every figure along is from the named end, every figure across from the named face; none is from "
        "hole to hole."
    )


def _as_placed(job: Job, beam: BeamSpec, fit: SeatFit, survey: Survey) -> _Said:
    """Every rod under the beam in the order in which it was drawn, with its hole where it was measured."""
    u, site = job.units, job.site
    first = site.piers[fit.piers[0]]
    solid = _solid(first, beam)
    box = bounds(solid.outline.outer)
    end, _, face = _names(beam, first, solid)
    known = {(hole.pier, hole.number): hole for hole in fit.holes}
    holes: list[_Hole] = []
    rows: list[tuple[str, ...]] = []
    out: list[str] = []
    tight: list[int] = []
    for n, (i, number, label) in enumerate(_rods(job, beam, fit), start=1):
        pier, hole = site.piers[i], known.get((i, number))
        if hole is None:
            why = "see the notes" if survey.measured(i, number) else NOT_MEASURED
            rows.append((str(n), pier.mark, label, why, why, "", "", "", "", "", ""))
            continue
        x, y = center(hole)
        at = _Hole(n, x - box.left, box.high - y, 2.0 * hole.radius, pier.mark, label, _washer(pier, u))
        holes.append(at)
        if not holes_fit(solid.outline.outer, np.array([[x, y]]), at.diameter)[0]:
            out.append(f"Hole {n} RUNS OUT OF THE BEAM where its rod stands: ask the engineer.")
        if room(hole) < hole.sure:
            tight.append(n)
        figures = (at.along, at.across, at.diameter)
        more = (moved(hole), lean(hole), hole.sure)
        rows.append(
            (
                *(str(n), pier.mark, label),
                *(show_length(v, u) for v in figures),
                at.washer,
                *(show_gap(v, u, "measured most") for v in more),
                show_gap(room(hole), u, "measured least"),
            )
        )
    titles = (
        *("hole", "pier", "rod", f"along from\n{end}", f"across from\n{face}", "dia.", "washer"),
        *("off the\ndrawing", "lean in\ndepth", "sure\nto", "room\nround"),
    )
    sides: list[Align] = ["center", "left", "left", "right", "right", "right", "left"]
    sides += ["right"] * 4
    tape = bool(survey.found.shots.tape) and len(fit.piers) > 1
    head = "HOLES AS TAPED AT EACH PIER, PIERS AS DRAWN: MEASURE BETWEEN PIERS" if tape else AS_MEASURED
    notes = [
        f"Measured: {survey.source}.",
        "Holes off their drawn places change edge distances, which are NOT CHECKED here: "
        "for the engineer to decide before drilling.",
        *([TAPED] if tape else []),
        *out,
        *too_tight(tight),
        *reasons(fit),
        *_how(beam),
        "The beam lies where it was drawn. A hole is where its rod passes the middle of the beam's depth; "
        "the lean is from underside to top, and the room is what is left there on each side.",
        *survey.upright(fit.holes),
    ]
    return _Said(", AS MEASURED", head, holes, Table(titles, tuple(rows), tuple(sides)), notes)


def _rods(job: Job, beam: BeamSpec, fit: SeatFit) -> list[tuple[int, int, str]]:
    """Pier (an index), number and words of every rod drawn under a beam, in order along it and across it."""
    found = []
    for i in fit.piers:
        pier = job.site.piers[i]
        into = _solid(pier, beam).motion.inverse()
        anchors = [part for part in pier.parts if part.role in ANCHORS and isinstance(part.solid, Swept)]
        for number, part in enumerate(anchors, start=1):
            assert isinstance(part.solid, Swept)
            x, y, _ = into.points(part.solid.knots[0]).tolist()
            found.append((round(x, 3), round(-y, 3), i, number, part.label))
    return [(i, number, label) for _, _, i, number, label in sorted(found)]


def _file(job: Job, beam: BeamSpec, piers: list[Pier], stem: str, said: _Said) -> SheetFile:
    u = job.units
    title = job.title(f"Drilling of beam {beam.name}{said.title}", stem, beam.piers)
    solid = _solid(piers[0], beam)
    box = bounds(solid.outline.outer)
    holes, table, notes = said.holes, said.table, said.notes
    end, far, face = _names(beam, piers[0], solid)
    size = (max(job.desk), min(job.desk))
    blank = Draft(*size)
    room = draw_frame(blank, title.on(1, 1, "none"))
    top = room.high - 90.0
    fits = min(table.fit(top - room.low - 8.0), len(table.rows))
    rest = table.part(fits, len(table.rows))
    x = room.left + table.width + 10.0
    beside = _fitting(notes, size, room.right - x, top - room.low)
    tables = [("Holes (continued)", rest)] if rest.rows else []
    left = notes[beside:]
    more = table_pages(size, tables, title, 2, notes=left) if tables or left else []
    draft = Draft(*size)
    draw_frame(draft, title.on(1, 1 + len(more), "none"))
    head = f"BEAM {beam.name}, VIEWED FROM ABOVE. {said.head}"
    draft.write(room.left, room.high - 4.0, head, 2.8, bold=True)
    made = f"{beam.plies} plies, " if beam.plies > 1 else ""
    about = (
        f"{made}{show_length(beam.width, u)} wide, {show_length(beam.depth, u)} deep, "
        f"{show_length(box.right - box.left, u)} long; "
        f"over {in_words(beam.piers)}. The picture is not to scale."
    )
    draft.write(room.left, room.high - 9.5, about)
    strip = Box(room.left + 8.0, room.high - 58.0, room.right - 8.0, room.high - 36.0)
    _strip(draft, beam, piers, box, holes, (end, far, face), strip, u)
    table.part(0, fits).draw(draft, room.left, top, "Holes, to their centers")
    for note in notes[:beside]:
        top = draft.paragraph(x, top - 2.0, room.right - x, note, NOTE)
    return SheetFile(stem, (draft.page(), *more))


def _fitting(notes: list[str], size: tuple[float, float], wide: float, high: float) -> int:
    """How many notes go beside the table; the rest go on, on a further page."""
    trial, top = Draft(*size), high
    for n, note in enumerate(notes):
        top = trial.paragraph(0.0, top - 2.0, wide, note, NOTE)
        if top < 0.0:
            return n
    return len(notes)


def _solid(pier: Pier, beam: BeamSpec) -> Prism:
    solid = pier.part(f"{beam.name}/beam").solid
    assert isinstance(solid, Prism)
    return solid


def _names(beam: BeamSpec, first: Pier, solid: Prism) -> tuple[str, str, str]:
    """The named end, the other one, and the named face: that to the left of the run."""
    axes = first.frame.vectors(solid.motion.vectors(np.eye(3)))
    (ax, ay, _), (lx, ly, _) = axes[0].tolist(), axes[1].tolist()
    level = Motion.identity()
    end = beam.named_end or wind(level, -ax, -ay)
    return f"{end} end", f"{wind(level, ax, ay)} end", f"{wind(level, lx, ly)} face"


def _holes(beam: BeamSpec, piers: list[Pier], box: Box, units: Units) -> tuple[list[_Hole], list[str]]:
    """The beam's holes in order along it, and the rods that come up under it where no hole is."""
    rings = _solid(piers[0], beam).outline.holes
    centers = [
        (*ring.centers[0].tolist(), 2.0 * hypot(*(ring.starts[0] - ring.centers[0]))) for ring in rings
    ]
    taken: dict[int, tuple[str, str, str]] = {}
    bare: list[str] = []
    for pier in piers:
        into = _solid(pier, beam).motion.inverse()
        for part in pier.parts:
            if part.role not in ANCHORS or not isinstance(part.solid, Swept):
                continue
            x, y, _ = into.points(part.solid.knots[0]).tolist()
            near = min(
                range(len(centers)), key=lambda i: hypot(centers[i][0] - x, centers[i][1] - y), default=-1
            )
            if near >= 0 and hypot(centers[near][0] - x, centers[near][1] - y) < centers[near][2] / 2.0:
                taken[near] = pier.mark, part.label, _washer(pier, units)
            elif box.left < x < box.right and box.low < y < box.high:
                bare.append(f"{part.label[0].upper()}{part.label[1:]} of {pier.mark}")
    holes = []
    for i, (x, y, diameter) in enumerate(centers):
        pier_mark, rod, washer = taken.get(i, ("", "none at this place", ""))
        holes.append(_Hole(0, x - box.left, box.high - y, diameter, pier_mark, rod, washer))
    ordered = sorted(holes, key=lambda h: (h.along, h.across))
    return [replace(hole, number=n) for n, hole in enumerate(ordered, start=1)], bare


def _washer(pier: Pier, units: Units) -> str:
    washer = pier.spec.seat.washer
    if washer is None:
        return "none stated"
    size = show_length(washer.size, units)
    return f"{size} {washer.shape}" if washer.shape == "round" else f"{size} x {size}"


def _table(holes: list[_Hole], end: str, face: str, units: Units) -> Table:
    rows = [
        (
            str(hole.number),
            hole.pier,
            hole.rod,
            show_length(hole.along, units),
            show_length(hole.across, units),
            show_length(hole.diameter, units),
            hole.washer,
        )
        for hole in holes
    ]
    titles = ("hole", "pier", "rod", f"along from\n{end}", f"across from\n{face}", "dia.", "washer")
    return Table(titles, tuple(rows), ("center", "left", "left", "right", "right", "right", "left"))


def _strip(
    draft: Draft,
    beam: BeamSpec,
    piers: list[Pier],
    box: Box,
    holes: list[_Hole],
    names: tuple[str, str, str],
    strip: Box,
    units: Units,
) -> None:
    """The beam from above, stretched to the strip (mm of paper): along and across at scales of their own."""
    run = (strip.right - strip.left) / (box.right - box.left)
    wide = (strip.high - strip.low) / (box.high - box.low)
    draft.frame(strip, Layer.OUTLINE)
    for ply in range(1, beam.plies):
        y = strip.low + ply * (strip.high - strip.low) / beam.plies
        draft.rule(strip.left, y, strip.right, y, Layer.CONCRETE)
    end, far, face = names
    draft.write(strip.left, strip.high + 10.0, f"{end} (named)", 2.2, bold=True)
    draft.write(strip.right, strip.high + 10.0, far, 2.2, "right")
    draft.write(
        (strip.left + strip.right) / 2.0, strip.high + 10.0, f"{face} (named)", 2.2, "center", bold=True
    )
    placed = {}
    for hole in holes:
        x, y = strip.left + hole.along * run, strip.high - hole.across * wide
        placed[x] = hole.along
        draft.add(Circle(Layer.HOLES, draft.at(x, y), 1.1))
        draft.add(Line(Layer.CENTER, draft.at(x, strip.low - 1.0), draft.at(x, strip.high + 1.0)))
        draft.write(x, strip.high + 2.0 + 3.6 * (hole.number % 2), str(hole.number), 2.0, "center", bold=True)
    for splice in beam.splices:
        x = strip.left + (splice - box.left) * run
        draft.rule(x, strip.low, x, strip.high, Layer.DIAGONALS)
        placed[x] = splice - box.left
        draft.beside(draft.at(x, (strip.low + strip.high) / 2.0), "splice", 0.6)
    for pier in piers:
        x = strip.left + (_solid(pier, beam).motion.inverse().points(np.zeros(3))[0] - box.left) * run
        draft.beside(draft.at(x, strip.low + 4.0), pier.mark, 0.5)
    placed[strip.left], placed[strip.right] = 0.0, box.right - box.left
    if len(placed) * 1.6 * HEIGHT < strip.right - strip.left + 10.0:
        along_bottom(draft, strip.low, sorted(placed), lambda x: show_length(_nearest(placed, x), units))


def _nearest(placed: dict[float, float], x: float) -> float:
    return placed[min(placed, key=lambda known: abs(known - x))]
