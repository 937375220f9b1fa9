"""A plan at 1:1 on the paper that there is: one sheet, or tiles that overlap and join by crosses."""

from __future__ import annotations

from math import ceil

from msgspec import Struct

from models.lengths import Units, show_length
from viewer.drawing.layers import Layer
from viewer.drawing.letters import width, wrapped
from viewer.drawing.marks import Box, Fill, Line, Text, box_of, segments
from viewer.drawing.page import Draft, Page
from viewer.paper.plan import ROOM_HIGH, ROOM_LEFT, ROOM_LOW, ROOM_RIGHT, Plan, draw_plan
from viewer.paper.title import CAUTION, MARGIN, Title

OVERLAP = 15.0
"""mm that neighboring tiles share."""
_STEP = {Units.FT_IN: 12.7, Units.MM: 10.0}
"""mm: the frame of a tile measures whole steps of this, so that a tape can prove the print's scale."""
SQUARE = {Units.FT_IN: 25.4, Units.MM: 25.0}
"""mm: the side of the square beside it."""
_ARM = 4.0


class Grid(Struct, frozen=True):
    """How a plan is cut into tiles.

    wide, high: of each tile's frame, mm; left, low: of the first; across, up: how many.
    """

    wide: float
    high: float
    left: float
    low: float
    across: int
    up: int

    def window(self, i: int, j: int) -> Box:
        """The part of the thing that tile i from the left, j from below shows."""
        left = self.left + i * (self.wide - OVERLAP)
        low = self.low + j * (self.high - OVERLAP)
        return Box(left, low, left + self.wide, low + self.high)


def grid(extent: Box, paper: tuple[float, float], units: Units) -> Grid:
    """The fewest tiles on this paper, mm, centered on the plan."""
    step = _STEP[units]
    foot = SQUARE[units] + 4.0
    wide = (paper[0] - 2.0 * MARGIN) // step * step
    high = (paper[1] - 2.0 * MARGIN - foot) // step * step
    w, h = extent.right - extent.left, extent.high - extent.low
    across = max(1, ceil((w - OVERLAP) / (wide - OVERLAP) - 1e-9))
    up = max(1, ceil((h - OVERLAP) / (high - OVERLAP) - 1e-9))
    all_wide, all_high = across * (wide - OVERLAP) + OVERLAP, up * (high - OVERLAP) + OVERLAP
    left = (extent.left + extent.right - all_wide) / 2.0
    low = (extent.low + extent.high - all_high) / 2.0
    return Grid(wide, high, left, low, across, up)


def tiled(plan: Plan, paper: tuple[float, float], title: Title, units: Units) -> list[Page]:
    """The plan at 1:1, on as few pages of this paper as will do, whichever way it is turned.

    Tiles on which nothing is drawn are left out.
    """
    box = plan.extent
    extent = Box(box.left - ROOM_LEFT, box.low - ROOM_LOW, box.right + ROOM_RIGHT, box.high + ROOM_HIGH)
    ways = [(paper, grid(extent, paper, units)) for paper in (paper, (paper[1], paper[0]))]
    paper, cut = min(ways, key=lambda way: way[1].across * way[1].up)
    draft = Draft(extent.right - extent.left, extent.high - extent.low, 1.0, (extent.left, extent.low))
    draw_plan(draft, plan, units)
    _crosses(draft, cut)
    shown = [
        (i, j)
        for j in reversed(range(cut.up))
        for i in range(cut.across)
        if _anything(draft, cut.window(i, j))
    ]
    pages = []
    for n, (i, j) in enumerate(shown, start=1):
        window = cut.window(i, j)
        side = (paper[0] - cut.wide) / 2.0
        head = MARGIN
        origin = (window.left - side, window.high + head - paper[1])
        frame = Draft(*paper, 1.0, origin)
        _tile(frame, cut, (i, j), shown, title.on(n, len(shown), "1:1"), units)
        pages.append(Page(*paper, 1.0, origin, tuple(draft.marks), tuple(frame.marks), window))
    return pages


def _crosses(draft: Draft, cut: Grid) -> None:
    """A cross at each corner where tiles overlap; it shows on every tile that meets there."""
    if cut.across * cut.up == 1:
        return
    for i in range(cut.across + 1):
        for j in range(cut.up + 1):
            x = cut.left + i * (cut.wide - OVERLAP) + OVERLAP / 2.0
            y = cut.low + j * (cut.high - OVERLAP) + OVERLAP / 2.0
            draft.add(Line(Layer.JOIN, (x - _ARM, y), (x + _ARM, y)))
            draft.add(Line(Layer.JOIN, (x, y - _ARM), (x, y + _ARM)))


def _anything(draft: Draft, window: Box) -> bool:
    for mark in draft.marks:
        if isinstance(mark, Text):
            if box_of(mark, 1.0).meets(window):
                return True
        elif mark.layer is not Layer.JOIN and any(window.crossed(a, b) for a, b in segments(mark)):
            return True
    return False


def tile_name(i: int, j: int, up: int) -> str:
    """Columns are letters from the left, rows are numbers from the top: B2."""
    letters = ""
    i += 1
    while i:
        i, rest = divmod(i - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters}{up - j}"


def _tile(
    draft: Draft, cut: Grid, at: tuple[int, int], shown: list[tuple[int, int]], title: Title, units: Units
) -> None:
    """The frame of a tile, and under it the square to measure, the map of all tiles, and what it is."""
    left = (draft.width - cut.wide) / 2.0
    low = draft.height - MARGIN - cut.high
    draft.frame(Box(left, low, left + cut.wide, low + cut.high), Layer.SCALE_CHECK)
    side = SQUARE[units]
    y = low - 2.5 - side
    draft.frame(Box(left, y, left + side, y + side), Layer.SCALE_CHECK)
    for n, words in enumerate(("each side", show_length(side, units))):
        draft.write(left + side / 2.0, y + side / 2.0 + 1.0 - 4.0 * n, words, 2.0, "center")
    x = left + side + 3.0
    if len(shown) > 1:
        x += _map(draft, x, y, side, cut, at, shown) + 3.0
    room = left + cut.wide - x
    name = f"Tile {tile_name(*at, cut.up)}, {title.page} tiles." if len(shown) > 1 else ""
    size = f"{show_length(cut.wide, units)} by {show_length(cut.high, units)}"
    join = " Lay crosses on crosses; check the diagonals after joining." if len(shown) > 1 else ""
    told = [
        (f"{title.sheet}, 1:1. {name}", 2.2, True),
        *(
            [("ON HOLD: see the overview before anything is drilled or cut.", 2.2, True)]
            if title.holds
            else []
        ),
        (f"Print at 100 %. The frame above measures {size}: measure both ways first.{join}", 1.9, False),
        (f"{title.site}. File {title.file}. {title.date}. Input {title.sha}.", 1.9, False),
        (CAUTION, 1.5, False),
    ]
    shrink = 1.0
    while _tall(told, room, shrink) > side and shrink > 0.5:
        shrink *= 0.95
    top = y + side + 0.6
    for words, height, bold in told:
        top = draft.paragraph(x, top, room, words, height * shrink, bold) + 0.25 * height * shrink


def _tall(told: list[tuple[str, float, bool]], room: float, shrink: float) -> float:
    lines = ((h * shrink, len(list(wrapped(w, h * shrink, room, b)))) for w, h, b in told)
    return sum(h * (1.75 * n + 0.4) for h, n in lines)


def _map(
    draft: Draft,
    x: float,
    y: float,
    side: float,
    cut: Grid,
    at: tuple[int, int],
    shown: list[tuple[int, int]],
) -> float:
    """All tiles in small, this one filled; answers how wide the map is, mm."""
    cell = min(side / cut.up, 2.0 * side / cut.across, 9.0)
    high = min(2.3, 0.4 * cell)
    low = y + side - cell * cut.up
    for i, j in shown:
        box = Box(x + i * cell, low + j * cell, x + (i + 1) * cell, low + (j + 1) * cell)
        if (i, j) == at:
            corners = ((box.left, box.low), (box.right, box.low), (box.right, box.high), (box.left, box.high))
            draft.add(Fill(Layer.SHADE, tuple(draft.at(*c) for c in corners)))
        draft.frame(box, Layer.TABLE)
        name = tile_name(i, j, cut.up)
        size = min(high, high * (cell - 1.0) / max(width(name, high), 0.1))
        draft.write(box.left + cell / 2.0, box.low + (cell - size) / 2.0, name, size, "center")
    return cell * cut.across
