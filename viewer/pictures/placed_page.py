"""A page for a pier as placed: where its rods, dowels and corners were drawn and where they were measured."""

from __future__ import annotations

from models.lengths import Units
from viewer.brief.after import After
from viewer.brief.placed_picture import beside, draw_placed
from viewer.drawing.letters import PITCH, width, wrapped
from viewer.drawing.marks import Box
from viewer.drawing.page import Draft, Page
from viewer.paper.title import Title, draw_frame
from viewer.pictures.markers import numbered

_TEXT = 2.2
_NOTHING = "Nothing of this pier was measured: NOT CHECKED."


def placed_page(
    mark: str, after: After | None, source: str, title: Title, size: tuple[float, float], units: Units
) -> Page:
    """The page, upright. after: the pier as placed, None where the survey has nothing of it."""
    draft = Draft(*size)
    room = draw_frame(draft, title)
    draft.write(room.left, room.high - 7.5, mark, 6.5, bold=True)
    x = room.left + width(mark, 6.5, bold=True) + 5.0
    draft.write(x, room.high - 3.6, "Placed against drawn", 2.6, bold=True)
    draft.paragraph(x, room.high - 5.0, room.right - x, source, 2.0)
    top = room.high - 15.0
    if after is None or after.marks is None:
        draft.paragraph(room.left, top, room.right - room.left, _NOTHING, 2.8, bold=True)
        return draft.page()
    picture = Box(room.left, top - 118.0, room.right, top)
    draw_placed(draft, after.marks, picture)
    draft.paragraph(room.left, picture.low - 2.0, room.right - room.left, beside(after.marks), 2.8, bold=True)
    _told(draft, after, Box(room.left, room.low, room.right, picture.low - 10.0))
    return draft.page()


def _told(draft: Draft, after: After, room: Box) -> None:
    """How it stands on the left, what was found on the right; what does not fit is named."""
    half = (room.left + room.right) / 2.0
    top = room.high
    draft.write(room.left, top - 3.0, "How it stands", 2.6, bold=True)
    y = top - 5.0
    for n, said in enumerate((*after.says, *after.off)):
        lines = list(wrapped(said, _TEXT, half - room.left - 4.0))
        if y - len(lines) * _TEXT * PITCH < room.low + 5.0:
            rest = len(after.says) + len(after.off) - n
            draft.paragraph(
                room.left, y, half - room.left - 4.0, f"{rest} more: pierclear asbuilt.", _TEXT, True
            )
            break
        y = draft.paragraph(room.left, y, half - room.left - 4.0, said, _TEXT) - 0.4
    draft.write(half, top - 3.0, "What was found", 2.6, bold=True)
    y = top - 6.0
    wide = room.right - half - 7.0
    if not after.watch:
        draft.paragraph(half, y, wide + 7.0, "Nothing by this check. It is no structural design.", _TEXT)
    for n, note in enumerate(after.watch):
        says = f"{note.level}: {note.says}" + (f" Answered: {note.answered}." if note.answered else "")
        need = max(len(list(wrapped(says, _TEXT, wide))) * _TEXT * PITCH, 6.0)
        if y - need < room.low + 5.0:
            said = f"{len(after.watch) - n} more: pierclear asbuilt."
            draft.paragraph(half, y, wide + 7.0, said, _TEXT, True)
            break
        numbered(draft, note.level, note.number, (half + 2.8, y - 3.0))
        draft.paragraph(half + 7.0, y, wide, says, _TEXT)
        y -= need + 1.2
