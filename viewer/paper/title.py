"""The frame of a sheet: its border, what is on hold, the title block, the caution."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from viewer.drawing.layers import Layer
from viewer.drawing.letters import PITCH, width, wrapped
from viewer.drawing.marks import Box
from viewer.drawing.page import Draft
from viewer.wording.fold import spans

if TYPE_CHECKING:
    from clash.report.findings import Report

MARGIN = 9.0
"""mm of paper outside of the border: more than the 6 mm that office printers leave white."""
CAUTION = (
    "A geometry check on the data given, no structural design. The engineer of record, the local code and "
    "the building official decide. Never bend, cut or heat steel to make it fit: ask the engineer, with the "
    "figure in hand."
)
MOST_HOLDS = 5
"""How many findings on hold a sheet words; the marks of further piers are named, and all are counted."""


class Title(Struct, frozen=True):
    """What every page of a sheet says of itself.

    sha: of the input, shortened as in the report; holds: lines on what is on HOLD, empty when nothing is.
    """

    site: str
    sheet: str
    file: str
    date: str
    sha: str
    holds: tuple[str, ...] = ()
    scale: str = ""
    page: str = ""

    def on(self, page: int, pages: int, scale: str) -> Title:
        """The title of one of its pages."""
        return replace(self, page=f"{page} of {pages}", scale=scale)


def draw_frame(draft: Draft, title: Title) -> Box:
    """Draw the border, the holds and the title block; answers the room that is left, mm of paper."""
    border = Box(MARGIN, MARGIN, draft.width - MARGIN, draft.height - MARGIN)
    draft.frame(border)
    top = _holds(draft, title.holds, border)
    low = _block(draft, title, border)
    return Box(border.left + 2.0, low + 2.0, border.right - 2.0, top - 2.0)


def _holds(draft: Draft, holds: Sequence[str], border: Box) -> float:
    if not holds:
        return border.high
    height, room = 2.1, border.right - border.left - 6.0
    lines = [line for hold in holds for line in wrapped(hold, height, room)]
    low = border.high - 7.0 - len(lines) * height * PITCH - 1.5
    draft.frame(Box(border.left + 1.0, low, border.right - 1.0, border.high - 1.0), Layer.HOLD)
    y = border.high - 5.5
    draft.write(
        border.left + 3.0, y, "ON HOLD: the engineer has to answer first.", 2.8, bold=True, layer=Layer.HOLD
    )
    for line in lines:
        y -= height * PITCH
        draft.write(border.left + 3.0, y, line, height, layer=Layer.HOLD)
    return low


def _block(draft: Draft, title: Title, border: Box) -> float:
    """The title block across the foot of the page: a row of cells, and the caution under it."""
    lines = list(wrapped(CAUTION, 1.9, border.right - border.left - 4.0))
    foot = border.low + 1.6 + len(lines) * 1.9 * 1.6
    top = foot + 11.0
    draft.rule(border.left, foot, border.right, foot)
    draft.rule(border.left, top, border.right, top)
    for n, line in enumerate(reversed(lines)):
        draft.write(border.left + 2.0, border.low + 1.5 + n * 1.9 * 1.6, line, 1.9)
    cells = [
        ("SITE", title.site),
        ("SHEET", title.sheet),
        ("FILE", title.file),
        ("DATE", title.date),
        ("INPUT", title.sha),
        ("SCALE", title.scale),
        ("PAGE", title.page),
    ]
    room = border.right - border.left
    height, wide = _fitted(cells, room)
    x = border.left
    for (name, words), w in zip(cells, wide, strict=True):
        draft.write(x + 1.5, top - 3.4, name, 1.5)
        draft.write(x + 1.5, foot + 2.2, words, height, bold=True)
        x += w
        if x < border.right - 1e-6:
            draft.rule(x, foot, x, top)
    return top


def _fitted(cells: Sequence[tuple[str, str]], room: float) -> tuple[float, list[float]]:
    """The height of capitals at which the cells go side by side, and their widths; what is over is shared."""
    height = 2.6
    while True:
        wide = [3.0 + max(width(words, height, bold=True), width(name, 1.5)) for name, words in cells]
        if sum(wide) <= room or height < 0.9:
            break
        height *= 0.95
    more = (room - sum(wide)) / len(wide)
    return height, [w + more for w in wide]


def holds_of(report: Report, marks: Sequence[str]) -> tuple[str, ...]:
    """Lines on what is on HOLD and not answered at these piers, worst pier first as in the report."""
    from clash.report.findings import Level
    from viewer.wording.fold import folded

    wanted = set(marks)
    found = [f for f in report.open if f.level is Level.HOLD and f.pier in wanted]
    folds = folded(found)
    lines = [f"{f.worst.pier}: {f.worst.says}" + (f" ({f.more})" if f.others else "") for f in folds]
    if len(lines) <= MOST_HOLDS:
        return tuple(lines)
    rest = list(dict.fromkeys(f.worst.pier for f in folds[MOST_HOLDS - 1 :]))
    more = f"and {len(lines) - MOST_HOLDS + 1} more at {in_words(rest)}: see the report of pierclear check."
    return (*lines[: MOST_HOLDS - 1], more)


def short(marks: Sequence[str]) -> str:
    """Every mark where that is short; else the first, and how many more there are."""
    every = in_words(marks)
    return every if len(every) <= 40 else f"{marks[0]} and {len(marks) - 1} more"


def in_words(marks: Sequence[str]) -> str:
    """Every mark, runs drawn together: `P1 to P6, P9, GATE`."""
    import re

    runs: dict[str, list[int]] = {}
    alone: list[str] = []
    for mark in marks:
        numbered = re.fullmatch(r"(.*\D)([1-9]\d*)", mark)
        if numbered is None:
            alone.append(mark)
        else:
            runs.setdefault(numbered[1], []).append(int(numbered[2]))
    return ", ".join([*(spans(numbers, before) for before, numbers in runs.items()), *alone])
