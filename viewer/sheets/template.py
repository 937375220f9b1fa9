"""The carpenter's sheet: the plywood that holds the rods during the pour."""

from __future__ import annotations

from collections.abc import Iterator

from models.lengths import show_length
from models.pier import Pier
from viewer.drawing.page import Page
from viewer.paper.cut import flat_part, plan_of, rod_words, shape_key, turn_key
from viewer.paper.job import Job, SheetFile, alike
from viewer.paper.overview import Words, diagonal_table, hole_table, overview
from viewer.paper.plan import Plan
from viewer.paper.tiles import tiled
from viewer.paper.title import in_words, short

ABOUT = (
    "the plywood that holds the rods during the pour: holes, pour opening, north corner; DXF and PDF at 1:1"
)


def files(job: Job) -> Iterator[SheetFile]:
    """One for each distinct template, with the marks of the piers that share it."""
    for piers in alike(job.site.piers, _key):
        plan = plan_of(piers[0], "template")
        marks = [pier.mark for pier in piers]
        stem = f"template-{marks[0]}"
        title = job.title(f"Template for {short(marks)}", stem, marks)
        big = tiled(plan, job.paper, title, job.units)
        first: list[Page] = overview(plan, _words(job, piers, plan), job.desk, title, job.units, len(big))
        yield SheetFile(stem, (*first, *big), first[0])


def _key(pier: Pier) -> object:
    template = pier.spec.seat.template
    if template is None or flat_part(pier, "template") is None:
        return None
    return (
        shape_key(plan_of(pier, "template")),
        turn_key(plan_of(pier, "template")),
        template.thickness,
        template.above,
        rod_words(pier),
        template.nuts,
    )


def _words(job: Job, piers: list[Pier], plan: Plan) -> Words:
    template = piers[0].spec.seat.template
    rods = piers[0].spec.seat.rods
    assert template is not None
    u = job.units
    lines = [
        f"Make {len(piers)}, for {in_words([p.mark for p in piers])}.",
        f"Plywood {show_length(template.thickness, u)} thick; its underside {_height(template.above, job)}.",
        f"Drill {show_length(template.holes.diameter, u)} for {rod_words(piers[0])}.",
    ]
    if rods is not None:
        lines.append(f"Rods stand {show_length(rods.projection, u)} above the concrete.")
    nuts = {"both": "a nut above and one below, on each rod", "above": "a nut above, on each rod"}
    if template.nuts in nuts and rods is not None and rods.bar is None:
        lines.append(f"Held by {nuts[template.nuts]}.")
    tables = [("Holes, to their centers", hole_table(plan, u, edge=False))]
    if len(plan.holes) > 1:
        tables.append(("Diagonals to check, center to center", diagonal_table(plan, u)))
    notes = [
        "Measure every figure from the reference edges alone. A round sheet is cut from a square one whose "
        "edges they are."
        if len(plan.outer.starts) == 1
        else "Measure every figure from the two reference edges, never from hole to hole.",
        "Stamp the top side and the north corner before it leaves the bench.",
    ]
    return Words(("VIEWED FROM ABOVE",), tuple(lines), tuple(tables), tuple(notes))


def _height(above: float, job: Job) -> str:
    return "on the concrete" if above == 0.0 else f"{show_length(above, job.units)} above the concrete"
