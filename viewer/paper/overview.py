"""The page that shows a plan to scale, with its tables and notes beside it."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from models.lengths import Units, on_a_sixteenth, show_decimal, show_length
from viewer.drawing.letters import wrapped
from viewer.drawing.page import Draft, Page, scale_for
from viewer.paper.plan import (
    ROOM_HIGH,
    ROOM_LEFT,
    ROOM_LOW,
    ROOM_RIGHT,
    Plan,
    diagonals,
    draw_plan,
    north_arrow,
)
from viewer.paper.table import Table, aligns
from viewer.paper.title import Title, draw_frame
from viewer.paper.welds import TALL, WIDE, Symbol, draw_symbols
from viewer.wording.fold import spans

_COLUMN = 90.0
"""mm: of paper that words and tables get beside a plan."""
_ARROW = 12.0
"""mm: of paper that the arrow to the north takes, beyond the room that a plan has to its right anyway."""


class Words(Struct, frozen=True):
    """What stands beside a plan: lines in bold, then lines, then tables with a heading each, then notes."""

    heads: tuple[str, ...]
    lines: tuple[str, ...]
    tables: tuple[tuple[str, Table], ...]
    notes: tuple[str, ...] = ()


def overview(
    plan: Plan,
    words: Words,
    paper: tuple[float, float],
    title: Title,
    units: Units,
    pages: int = 1,
    welds: Sequence[Symbol] = (),
) -> list[Page]:
    """The plan to scale on paper laid crosswise; tables that are too long go on, on further pages.

    pages: how many pages of the same file follow; welds: whose symbols are drawn beside the plan.
    """
    size = (max(paper), min(paper))
    room = draw_frame(Draft(*size), title.on(1, 1, "1:10"))
    box = plan.extent
    wide = box.right - box.left
    high = box.high - box.low
    strip = WIDE + 4.0 if welds else _ARROW
    left = room.right - room.left - _COLUMN - ROOM_LEFT - ROOM_RIGHT - strip
    up = room.high - room.low - ROOM_LOW - ROOM_HIGH
    per = scale_for(wide, high, (left, up), units)
    x = room.left + ROOM_LEFT + (left - wide / per) / 2.0
    y = room.low + ROOM_LOW + (up - high / per) / 2.0
    draft = Draft(*size, per, (box.left - x * per, box.low - y * per))
    rest = _beside(Draft(*size), words, room.right - _COLUMN, room.high, room.low)
    more = _further(size, rest, title, pages)
    total = 1 + len(more) + pages
    draw_frame(draft, title.on(1, total, f"1:{per:g}"))
    if welds:
        high_end = min(room.high - 20.0, y + (high / per + TALL * len(welds)) / 2.0)
        draw_symbols(draft, welds, room.right - _COLUMN - strip, high_end, units)
    left_out = draw_plan(draft, plan, units)
    if left_out:
        which = spans(left_out) if len(left_out) > 1 else str(left_out[0])
        words_left = f"No room for the numbers of holes {which}: they are numbered as in the table."
        for n, line in enumerate(
            reversed(list(wrapped(words_left, 1.8, room.right - room.left - _COLUMN - 8.0)))
        ):
            draft.write(room.left, room.low + 0.6 + 3.2 * n, line, 1.8)
    north_arrow(draft, room.right - _COLUMN - 11.0, room.high - 11.0, plan.frame)
    _beside(draft, words, room.right - _COLUMN, room.high, room.low)
    return [draft.page(), *more]


def _beside(draft: Draft, words: Words, x: float, top: float, low: float) -> list[tuple[str, Table]]:
    """Write the column; answers what of the tables did not go in."""
    for head in words.heads:
        top = draft.paragraph(x, top, _COLUMN, head, 2.8, bold=True)
    for line in words.lines:
        top = draft.paragraph(x, top, _COLUMN, line)
    rest: list[tuple[str, Table]] = []
    for lead, table in words.tables:
        space = top - low - 7.0
        fits = table.fit(space)
        if fits == len(table.rows):
            top = table.draw(draft, x, top - 1.0, lead)
        else:
            if fits:
                top = table.part(0, fits).draw(draft, x, top - 1.0, f"{lead} (goes on)")
            rest.append((lead, table.part(fits, len(table.rows))))
            top = low
    for note in words.notes:
        mark = len(draft.marks)
        top = draft.paragraph(x, top - 0.6, _COLUMN, note)
        if top < low:
            del draft.marks[mark:]
            rest.append(("", _notes(words.notes[words.notes.index(note) :])))
            break
    return rest


def _notes(notes: Sequence[str]) -> Table:
    return Table(("Notes",), tuple((n,) for n in notes), ("left",), (240.0,))


def _further(
    size: tuple[float, float], rest: list[tuple[str, Table]], title: Title, after: int
) -> list[Page]:
    """Pages of the tables that did not fit beside the plan."""
    if not rest:
        return []
    counted = len(table_pages(size, rest, title, first=2, total=999))
    return table_pages(size, rest, title, first=2, total=1 + counted + after)


def table_pages(
    size: tuple[float, float],
    tables: Sequence[tuple[str, Table]],
    title: Title,
    first: int = 1,
    total: int = 0,
    notes: Sequence[str] = (),
) -> list[Page]:
    """Tables down the page, and on to further pages as needed, notes after them.

    first: the number of the first page; total: how many the file has, 0 to count these.
    """
    every = [*tables, *([("", _notes(notes))] if notes else [])]
    if total == 0:
        total = first - 1 + len(table_pages(size, tables, title, first, 999, notes))
    pages: list[Page] = []
    draft, top, low, left = _blank(size, title, first, total)
    for lead, table in every:
        start = 0
        while start < len(table.rows):
            fits = table.part(start, len(table.rows)).fit(top - low - 9.0)
            if fits == 0 and top < _blank(size, title, 1, 1)[1] - 1.0:
                pages.append(draft.page())
                draft, top, low, left = _blank(size, title, first + len(pages), total)
                continue
            fits = max(fits, 1)
            heading = f"{lead} (continued)" if start and lead else lead
            top = table.part(start, start + fits).draw(draft, left, top - 2.0, heading) - 2.0
            start += fits
    pages.append(draft.page())
    return pages


def _blank(
    size: tuple[float, float], title: Title, page: int, total: int
) -> tuple[Draft, float, float, float]:
    draft = Draft(*size)
    room = draw_frame(draft, title.on(page, total, "none"))
    return draft, room.high, room.low, room.left


def hole_table(plan: Plan, units: Units, edge: bool) -> Table:
    """Every hole from the two reference edges, with its diameter; edge: with its edge distance too.

    Where a place is no whole sixteenth of an inch its decimals stand beside it.
    """
    from models.shapes.rings import ring_distances

    box, (left, low) = plan.box, plan.edge_names()
    places = [(h.x - box.left, h.y - box.low) for h in plan.holes]
    decimals = units is Units.FT_IN and not all(on_a_sixteenth(v) for place in places for v in place)
    titles = ["hole", f"from\n{left} edge", f"from\n{low} edge"]
    titles += [f"{left},\nexact", f"{low},\nexact"] if decimals else []
    titles += ["dia."] + (["edge\ndist."] if edge else [])
    rows = []
    import numpy as np

    centers = np.array([(h.x, h.y) for h in plan.holes]).reshape(-1, 2)
    least = ring_distances(plan.outer, centers) if edge else np.zeros(len(centers))
    for hole, place, near in zip(plan.holes, places, least.tolist(), strict=True):
        row = [str(hole.number), *(show_length(v, units) for v in place)]
        row += [show_decimal(v, units) for v in place] if decimals else []
        row.append(show_length(hole.diameter, units))
        rows.append(tuple(row + ([show_length(near, units)] if edge else [])))
    return Table(tuple(titles), tuple(rows), aligns(titles, "center"))


def diagonal_table(plan: Plan, units: Units) -> Table:
    """The distances between holes to check."""
    rows = [
        (f"{a.number} to {b.number}", show_length(d, units), show_decimal(d, units))
        for a, b, d in diagonals(plan)
    ]
    return Table(("holes", "distance", "exact"), tuple(rows), ("center", "right", "right"))
