"""The sheet for whoever drills the timber beams."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import hypot

import numpy as np

from models.lengths import Units, show_length
from models.motion import Motion
from models.part import ANCHORS
from models.pier import Pier
from models.solids import Prism, Swept
from models.spec.site import BeamSpec
from models.winds import wind
from viewer.drawing.layers import Layer
from viewer.drawing.marks import Box, Circle, Line
from viewer.drawing.page import Draft
from viewer.paper.job import Job, SheetFile, unlike
from viewer.paper.overview import table_pages
from viewer.paper.plan import bounds
from viewer.paper.running import HEIGHT, along_bottom
from viewer.paper.table import Table
from viewer.paper.title import draw_frame, in_words

ABOUT = "each timber beam: holes along from its named end and across from its named face, with washers; PDF"
AS_DRAWN = "AS DRAWN: MEASURE BEFORE DRILLING"


@dataclass(frozen=True, slots=True)
class _Hole:
    """along: from the named end, across: from the left face, mm; pier, rod, washer: in words."""

    along: float
    across: float
    diameter: float
    pier: str
    rod: str
    washer: str


def files(job: Job) -> Iterator[SheetFile]:
    """One for each beam."""
    by_mark = {pier.mark: pier for pier in job.site.piers}
    taken: set[str] = set()
    for beam in job.site.spec.beams:
        stem = unlike(f"drilling-{beam.name}".replace(" ", "-"), taken)
        yield _file(job, beam, [by_mark[mark] for mark in beam.piers], stem)


def _file(job: Job, beam: BeamSpec, piers: list[Pier], stem: str) -> SheetFile:
    u = job.units
    title = job.title(f"Drilling of beam {beam.name}", stem, beam.piers)
    solid = _solid(piers[0], beam)
    box = bounds(solid.outline.outer)
    holes, bare = _holes(beam, piers, box, u)
    end, far, face = _names(beam, piers[0], solid)
    size = (max(job.desk), min(job.desk))
    table = _table(holes, end, face, u)
    notes = [
        f"Holes go through all {beam.plies} plies, square to the top of the beam."
        if beam.plies > 1
        else "Holes go square to the top of the beam.",
        "Every figure along is from the named end, every figure across from the named face; none is from "
        "hole to hole. Positions are of the drawing: measure the rods as cast before drilling.",
        *(f"{rod} comes up under the beam where no hole is: see the report." for rod in bare),
    ]
    blank = Draft(*size)
    room = draw_frame(blank, title.on(1, 1, "none"))
    top = room.high - 90.0
    fits = min(table.fit(top - room.low - 8.0), len(table.rows))
    rest = table.part(fits, len(table.rows))
    more = table_pages(size, [("Holes (continued)", rest)], title, 2) if rest.rows else []
    draft = Draft(*size)
    draw_frame(draft, title.on(1, 1 + len(more), "none"))
    head = f"BEAM {beam.name}, VIEWED FROM ABOVE. {AS_DRAWN}"
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
    x = room.left + table.width + 10.0
    for note in notes:
        top = draft.paragraph(x, top - 2.0, room.right - x, note, 2.4)
    return SheetFile(stem, (draft.page(), *more))


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
        holes.append(_Hole(x - box.left, box.high - y, diameter, pier_mark, rod, washer))
    return sorted(holes, key=lambda h: (h.along, h.across)), bare


def _washer(pier: Pier, units: Units) -> str:
    washer = pier.spec.seat.washer
    if washer is None:
        return "none stated"
    size = show_length(washer.size, units)
    return f"{size} {washer.shape}" if washer.shape == "round" else f"{size} x {size}"


def _table(holes: list[_Hole], end: str, face: str, units: Units) -> Table:
    rows = [
        (
            str(n),
            hole.pier,
            hole.rod,
            show_length(hole.along, units),
            show_length(hole.across, units),
            show_length(hole.diameter, units),
            hole.washer,
        )
        for n, hole in enumerate(holes, start=1)
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
    for n, hole in enumerate(holes, start=1):
        x, y = strip.left + hole.along * run, strip.high - hole.across * wide
        placed[x] = hole.along
        draft.add(Circle(Layer.HOLES, draft.at(x, y), 1.1))
        draft.add(Line(Layer.CENTER, draft.at(x, strip.low - 1.0), draft.at(x, strip.high + 1.0)))
        draft.write(x, strip.high + 2.0 + 3.6 * (n % 2), str(n), 2.0, "center", bold=True)
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
