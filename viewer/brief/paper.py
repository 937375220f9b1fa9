"""The briefing on paper: the site plan, then a page for each pier."""

from __future__ import annotations

from collections.abc import Sequence

from viewer.brief.cards import Card, cards
from viewer.brief.picture import draw_picture
from viewer.drawing.layers import Layer
from viewer.drawing.marks import Box, Circle
from viewer.drawing.page import Draft, Page
from viewer.paper.job import Job
from viewer.paper.title import Title, draw_frame


def pages(job: Job) -> list[Page]:
    """Upright pages of the size that office printers take."""
    made = cards(job.site, job.report)
    title = job.title("Crew briefing", "brief", [])
    total = 1 + len(made)
    out = [_site(job, made, title.on(1, total, "none"))]
    for n, card in enumerate(made, start=2):
        marks = [card.pier.mark]
        out.append(_card(job, card, job.title(f"Pier {card.pier.mark}", "brief", marks).on(n, total, "none")))
    return out


def _site(job: Job, made: list[Card], title: Title) -> Page:
    draft = Draft(min(job.desk), max(job.desk))
    room = draw_frame(draft, title)
    draft.write(room.left, room.high - 6.0, "Piers; a thick ring: on HOLD", 3.0, bold=True)
    space = Box(room.left + 14.0, room.low + 14.0, room.right - 14.0, room.high - 24.0)
    places = [draft.at(*at) for at in placed(made, space)]
    for card, at in zip(made, places, strict=True):
        draft.add(Circle(Layer.HOLD if card.held else Layer.TABLE, at, 2.5))
    for card, at in zip(made, places, strict=True):
        draft.beside(at, card.pier.mark, 3.0, 2.6, bold=card.held)
    return draft.page()


def placed(made: Sequence[Card], space: Box) -> list[tuple[float, float]]:
    """Where each pier lies in a box, north up, all at one scale."""
    xs, ys = [card.pier.spec.x for card in made], [card.pier.spec.y for card in made]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    per = max(wide / (space.right - space.left), high / (space.high - space.low), 1.0)
    x0, y0 = (space.left + space.right) / 2.0, (space.low + space.high) / 2.0
    return [
        (x0 + (x - min(xs) - wide / 2.0) / per, y0 + (y - min(ys) - high / 2.0) / per)
        for x, y in zip(xs, ys, strict=True)
    ]


def _card(job: Job, card: Card, title: Title) -> Page:
    draft = Draft(min(job.desk), max(job.desk))
    room = draw_frame(draft, title)
    wide = room.right - room.left
    draft.write(room.left, room.high - 9.0, card.pier.mark, 7.0, bold=True)
    top = room.high - 12.0
    for line in card.lines:
        top = draft.paragraph(room.left, top, wide, line, 3.0)
    picture = Box(room.left, top - 92.0, room.right, top - 3.0)
    draw_picture(draft, card.pier, card.watch, picture)
    top = picture.low - 3.0
    shown = [w for w in card.watch if w.level != "NOT CHECKED" or w.at is not None]
    for watch in shown:
        if top < room.low + 70.0:
            top = draft.paragraph(room.left, top, wide, "More: see the report.", 2.6, bold=True)
            break
        answer = f" ANSWERED: {watch.answered}" if watch.answered else ""
        top = draft.paragraph(
            room.left, top, wide, f"{watch.number}. {watch.level}: {watch.says}{answer}", 2.6
        )
    top = draft.paragraph(room.left, top - 1.0, wide, "Before the pour", 3.2, bold=True)
    for check in card.checks:
        draft.frame(Box(room.left + 1.0, top - 5.2, room.left + 5.0, top - 1.2), Layer.SHEET)
        top = draft.paragraph(room.left + 8.0, top, wide - 8.0, check, 2.8)
    return draft.page()
