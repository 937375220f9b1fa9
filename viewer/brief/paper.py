"""The briefing on paper: the site plan, then a page for each pier."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec.structs import replace

from models.motion import Motion
from viewer.brief.after import After
from viewer.brief.cards import Card, cards, states
from viewer.brief.picture import draw_picture
from viewer.brief.placed_picture import beside, draw_placed
from viewer.console import Progress
from viewer.drawing.layers import Layer
from viewer.drawing.letters import wrapped
from viewer.drawing.marks import Box, Circle, Text, box_of
from viewer.drawing.page import Draft, Page
from viewer.legend.rows import usual_spacing
from viewer.legend.spots import Watch
from viewer.paper.job import Job
from viewer.paper.plan import north_arrow
from viewer.paper.title import Title, draw_frame, in_words

_WORDS = 2.6
"""mm: height of the capitals of what is told of a pier."""
_HEADINGS = 22.0
"""mm: what the headings and the words beside the picture of a pier as placed take."""
_LEAST_PICTURE = 36.0
_NAMED = 9.0
"""mm of paper: piers nearer to each other than this have no names beside them."""
_MOST = 6
"""How many findings of the whole site its page words; the report has them all."""


def pages(
    job: Job, after: Mapping[str, After] | None = None, source: str = "", file: str = "brief"
) -> list[Page]:
    """Upright pages of the size that office printers take.

    after: how each pier was placed, by its mark; source: what was measured, in words; file: the
    name that stands in the title blocks.
    """
    made = cards(job.site, job.report, after)
    title = job.title("Crew briefing", file, [])
    total = 1 + len(made)
    whole = after[""].watch if after and "" in after else ()
    out = [_site(job, made, title.on(1, total, "none"), source, whole)]
    with Progress("piers drawn", len(made)) as progress:
        for n, card in enumerate(made, start=2):
            one = _title(job, card, file)
            out.append(_card(job, card, one.on(n, total, "none")))
            progress.at(n - 1)
    return out


def _title(job: Job, card: Card, file: str) -> Title:
    """The title of a pier's page; what is on HOLD as placed stands on it before what was as drawn."""
    title = job.title(f"Pier {card.pier.mark}", file, [card.pier.mark])
    if card.after is None:
        return title
    placed = (
        f"{card.pier.mark}, as placed: {w.says}"
        for w in card.after.watch
        if w.level == "HOLD" and not w.answered
    )
    return replace(title, holds=(*placed, *title.holds))


def _site(job: Job, made: list[Card], title: Title, source: str, whole: Sequence[Watch]) -> Page:
    draft = Draft(min(job.desk), max(job.desk))
    room = draw_frame(draft, title)
    wide = room.right - room.left
    top = draft.paragraph(
        room.left, room.high, wide, f"{states(made)} A thick ring: on HOLD.", 3.0, bold=True
    )
    if source:
        top = draft.paragraph(room.left, top, wide, f"As placed: {source}.", 2.6)
    for watch in whole[:_MOST]:
        top = draft.paragraph(room.left, top, wide, f"{watch.level}: {watch.says}", 2.6)
    space = Box(room.left + 14.0, room.low + 40.0, room.right - 14.0, top - 15.0)
    north_arrow(draft, room.right - 8.0, top - 10.0, Motion.identity())
    places = [draft.at(*at) for at in placed(made, space)]
    apart = spacing(made) / _per(made, space)
    ring = min(2.5, 0.3 * apart) if apart > 0.0 else 2.5
    for card, at in zip(made, places, strict=True):
        draft.add(Circle(Layer.HOLD if card.held else Layer.TABLE, at, ring))
    if 0.0 < apart < _NAMED:
        _names(draft, room, made)
        return draft.page()
    for card, at in zip(made, places, strict=True):
        draft.beside(at, card.pier.mark, ring + 0.5, 2.6, bold=card.held)
        word = Text(Layer.TEXT, (at[0], at[1] - ring - 2.7), card.state, 1.7, "center", 0.0, True)
        if card.state and draft.clear(box_of(word, 1.0)):
            draft.add(word)
    return draft.page()


def _names(draft: Draft, room: Box, made: Sequence[Card]) -> None:
    """Where piers lie too near each other for names beside them: who is on HOLD and NOT CHECKED, in words."""
    wide = room.right - room.left
    top = room.low + 34.0
    top = draft.paragraph(
        room.left, top, wide, "Too many piers for their names here; each has its page.", 2.4
    )
    for state in ("HOLD", "NOT CHECKED"):
        marks = [card.pier.mark for card in made if card.state == state]
        if marks:
            lines = list(wrapped(f"{state}: {in_words(marks)}.", 2.0, wide))
            more = lines[3:] and [f"and more: {len(marks)} piers in all, each says so on its page."]
            for line in (*lines[:3], *more):
                top = draft.paragraph(room.left, top, wide, line, 2.0)


def spacing(made: Sequence[Card]) -> float:
    """mm from a pier to its nearest neighbor, the usual one; 0 where there is one pier only."""
    return usual_spacing(np.array([(card.pier.spec.x, card.pier.spec.y) for card in made]))


def placed(made: Sequence[Card], space: Box) -> list[tuple[float, float]]:
    """Where each pier lies in a box, north up, all at one scale."""
    xs, ys = [card.pier.spec.x for card in made], [card.pier.spec.y for card in made]
    x, y = (max(xs) + min(xs)) / 2.0, (max(ys) + min(ys)) / 2.0
    x0, y0, per = (space.left + space.right) / 2.0, (space.low + space.high) / 2.0, _per(made, space)
    return [(x0 + (a - x) / per, y0 + (b - y) / per) for a, b in zip(xs, ys, strict=True)]


def _per(made: Sequence[Card], space: Box) -> float:
    """mm of the site in one of the box, so that every pier lies in it."""
    xs, ys = [card.pier.spec.x for card in made], [card.pier.spec.y for card in made]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    return max(wide / (space.right - space.left), high / (space.high - space.low), 1.0)


def _card(job: Job, card: Card, title: Title) -> Page:
    draft = Draft(min(job.desk), max(job.desk))
    room = draw_frame(draft, title)
    wide = room.right - room.left
    draft.write(room.left, room.high - 9.0, card.pier.mark, 7.0, bold=True)
    top = room.high - 12.0
    for line in card.lines:
        top = draft.paragraph(room.left, top, wide, line, 3.0)
    low = room.low + _tall(draft, card, wide)
    shown = [w for w in card.watch if w.level != "NOT CHECKED" or w.at is not None]
    said = [f"{w.number}. {_worded(w)}" for w in shown]
    tall, after = 92.0, 0.0
    if card.after is not None and card.after.marks is not None:
        text = sum(_deep(words, wide) for words in (*said, *_after_words(card.after)))
        space = max(top - low - text - _HEADINGS, 2.0 * _LEAST_PICTURE)
        tall, after = min(0.46 * space, 60.0), min(0.54 * space, 70.0)
    picture = Box(room.left, top - tall, room.right, top - 3.0)
    draw_picture(draft, card.pier, card.watch, picture)
    top = _told(draft, room, picture.low - 3.0, said, low + (0.0 if card.after is None else after + 15.0))
    if card.after is not None:
        top = _after(draft, room, top, card.after, after, low)
    name, checks = card.walk
    top = draft.paragraph(room.left, top - 1.0, wide, name, 3.2, bold=True)
    for check in checks:
        draft.frame(Box(room.left + 1.0, top - 5.2, room.left + 5.0, top - 1.2), Layer.SHEET)
        top = draft.paragraph(room.left + 8.0, top, wide - 8.0, check, 2.8)
    return draft.page()


def _tall(draft: Draft, card: Card, wide: float) -> float:
    """mm that the boxes to tick take, with their title."""
    trial = Draft(draft.width, draft.height)
    top = trial.paragraph(0.0, 0.0, wide, card.walk[0], 3.2, bold=True) - 1.0
    for check in card.walk[1]:
        top = trial.paragraph(0.0, top, wide - 8.0, check, 2.8)
    return -top


def _after(draft: Draft, room: Box, top: float, after: After, tall: float, low: float) -> float:
    """Placed against drawn, its picture `tall` mm high, down to no lower than `low`; answers where the next
    may begin."""
    wide = room.right - room.left
    top = draft.paragraph(room.left, top - 1.0, wide, "Placed against drawn", 3.2, bold=True)
    if after.marks is not None:
        draw_placed(draft, after.marks, Box(room.left, top - tall + 1.0, room.right, top - 1.0))
        top = draft.paragraph(room.left, top - tall, wide, beside(after.marks), _WORDS, bold=True)
    return _told(draft, room, top, _after_words(after), low)


def _after_words(after: After) -> list[str]:
    """What is on HOLD stands at the head of the page already; what was not measured is told in its place."""
    found = [_worded(w) for w in after.watch if w.level == "TIGHT" or w.answered]
    return [words for words in (*found, " ".join(after.says), " ".join(after.off)) if words]


def _told(draft: Draft, room: Box, top: float, said: Sequence[str], low: float) -> float:
    """Words down the page, as many as stay above `low`; what is left out is told."""
    wide, more = room.right - room.left, "More: see the report."
    for n, words in enumerate(said):
        last = n == len(said) - 1
        if top - _deep(words, wide) - (0.0 if last else _deep(more, wide)) < low:
            return draft.paragraph(room.left, top, wide, more, _WORDS, bold=True)
        top = draft.paragraph(room.left, top, wide, words, _WORDS)
    return top


def _deep(words: str, wide: float) -> float:
    """mm that a paragraph takes."""
    return -Draft(wide, 1.0).paragraph(0.0, 0.0, wide, words, _WORDS)


def _worded(watch: Watch) -> str:
    answer = f" ANSWERED: {watch.answered}" if watch.answered else ""
    return f"{watch.level}: {watch.says}{answer}"
