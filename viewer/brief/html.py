"""The briefing as one HTML file that opens without a network: plan to tap, a card a pier, boxes that stay."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from html import escape
from importlib.resources import files

from viewer.brief.after import After
from viewer.brief.cards import Card, cards, states
from viewer.brief.paper import placed, spacing
from viewer.brief.picture import draw_picture
from viewer.brief.placed_picture import beside, draw_placed
from viewer.brief.solids3d import SOLID, solids, viewer_page
from viewer.console import Progress
from viewer.drawing.marks import Box
from viewer.drawing.page import Draft
from viewer.drawing.svg import svg
from viewer.legend.spots import Watch
from viewer.paper.job import Job
from viewer.paper.title import CAUTION

_PLAN = (1000.0, 700.0)
_BESIDE, _TAPPED, _LARGEST = 90.0, 150.0, 12000.0
"""Units of the plan: beside its outermost piers, from pier to pier, and the most that it may grow to."""
_NOTHING_ELSE = (
    "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; "
    "img-src data: blob:; connect-src data: blob:"
)
"""What the browser lets the page do: run and show what is in the file, and ask nobody for anything."""


_WITHOUT = "This browser shows no view in 3D. The picture shows the same pier."


def html(job: Job, after: Mapping[str, After] | None = None, source: str = "") -> str:
    """The whole file. after: how each pier was placed, by its mark; source: what was measured, in words."""
    made = cards(job.site, job.report, after)
    name = escape(job.site.spec.site.name)
    sha = job.site.sha256[:12]
    here = files("viewer") / "brief"
    style = (here / "brief.css").read_text(encoding="utf-8")
    script = (here / "brief.js").read_text(encoding="utf-8")
    shapes = solids([card.pier for card in made])
    turning = {"stands": SOLID, "which": shapes.which, "blobs": shapes.blobs}
    articles = []
    with Progress("piers drawn", len(made)) as progress:
        for n, card in enumerate(made, start=1):
            articles.append(_card(card))
            progress.at(n)
    count = states(made)
    return "\n".join(
        [
            f'<!doctype html>\n<html lang="en" data-sheet="{sha}"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f'<meta http-equiv="Content-Security-Policy" content="{_NOTHING_ELSE}">',
            f"<title>{name}: crew briefing</title><style>{style}</style></head><body>",
            f'<header id="top"><h1>{name}</h1><p>Crew briefing. {job.date}. Input {sha}.</p>',
            f"<p>As placed: {escape(source)}.</p>" if source else "",
            _found("Of the whole site, as placed", after[""].watch) if after and "" in after else "",
            f"<p><b>{count}</b> Tap a pier.</p>",
            _site(made),
            f'<p class="caution">{escape(CAUTION)}</p></header>',
            *articles,
            _data("viewer", viewer_page()),
            _data("solids", turning),
            f"<script>{script}</script></body></html>\n",
        ]
    )


def _data(name: str, value: object) -> str:
    """Data that the script reads; nothing in it can end the element that holds it."""
    text = json.dumps(value, separators=(",", ":")).replace("<", "\\u003c")
    return f'<script type="application/json" id="{name}">{text}</script>'


def _site(made: Sequence[Card]) -> str:
    """The site plan, north up, each pier a link to its card; a thick ring where it is on HOLD, and a word
    there and where something of it is NOT CHECKED."""
    wide, high = _plan_size(made)
    places = placed(made, Box(_BESIDE, 70.0, wide - _BESIDE, high - 90.0))
    out = [f'<svg class="plan" viewBox="0 0 {wide:g} {high:g}" role="img" aria-label="site plan">']
    out.append(f'<text x="{wide - 40:g}" y="46" class="north">N \u2191</text>')
    for card, (x, y) in zip(made, places, strict=True):
        mark, kind = escape(card.pier.mark), "pier held" if card.held else "pier"
        word = (
            f'<text x="{x:.1f}" y="{high - y + 58:.1f}" class="hold">{card.state}</text>'
            if card.state
            else ""
        )
        out.append(
            f'<a href="#{mark}"><circle class="{kind}" cx="{x:.1f}" cy="{high - y:.1f}" r="30"/>'
            f'<text x="{x:.1f}" y="{high - y + 8:.1f}">{mark}</text>{word}</a>'
        )
    return "\n".join([*out, "</svg>"])


def _plan_size(made: Sequence[Card]) -> tuple[float, float]:
    """Width and height of the plan: as wide as usual, larger where piers would lie too near to be tapped."""
    wide, high = _PLAN
    apart = spacing(made)
    if apart <= 0.0:
        return _PLAN
    xs, ys = [card.pier.spec.x for card in made], [card.pier.spec.y for card in made]
    per = _TAPPED / apart
    across, up = (max(xs) - min(xs)) * per, (max(ys) - min(ys)) * per
    return max(wide, min(across + 2.0 * _BESIDE, _LARGEST)), max(high, min(up + 160.0, _LARGEST))


def _card(card: Card) -> str:
    mark = escape(card.pier.mark)
    state = "ON HOLD" if card.held else card.state
    head = f"<h2>{mark}{f' <span>{state}</span>' if state else ''}</h2>"
    placed = ' class="placed"' if card.after is not None and card.after.marks is not None else ""
    draft = Draft(180.0, 100.0)
    draw_picture(draft, card.pier, card.watch, Box(1.0, 2.0, 179.0, 99.0))
    boxes = "".join(
        f'<li><label><input type="checkbox" id="{mark}-{n}"> <span>{escape(check)}</span></label></li>'
        for n, check in enumerate(card.walk[1])
    )
    return "\n".join(
        [
            f'<article id="{mark}"{placed}>{head}',
            *(f"<p>{escape(line)}</p>" for line in card.lines),
            f'<div class="views"><div class="picture">{svg(draft.page())}</div>',
            f'<div class="turning" data-pier="{mark}"><button type="button">Turn {mark} in 3D</button>',
            f"<p>{_WITHOUT}</p></div>",
            '<p class="hint">Drag with one finger to turn, spread two to come nearer.</p></div>',
            _watch(card),
            "" if card.after is None else _after(mark, card.after),
            f'<h3>{card.walk[0]}</h3><ul class="checks">{boxes}</ul>',
            f'<p class="caution">{escape(CAUTION)}</p>',
            '<p class="back"><a href="#top">All piers</a></p></article>',
        ]
    )


def _after(mark: str, after: After) -> str:
    """Placed against drawn: the picture, how it stands, what comes onto it, what was found."""
    picture = ""
    if after.marks is not None:
        draft = Draft(112.0, 62.0)
        draw_placed(draft, after.marks, Box(1.0, 1.0, 111.0, 61.0))
        drawn = f'<div class="picture" role="img" aria-label="{mark} as placed">{svg(draft.page())}</div>'
        picture = f"{drawn}<p><b>{escape(beside(after.marks))}</b></p>"
    lines = " ".join(f"<p>{escape(said)}</p>" for said in after.says)
    off = "".join(f"<li>{escape(said)}</li>" for said in after.off)
    rods = f"<ul>{off}</ul>" if off else ""
    found = _found("Found as placed", after.watch)
    return f'<h3>Placed against drawn</h3>{picture}{found}<div class="says">{lines}</div>{rods}'


def _found(title: str, watch: Sequence[Watch]) -> str:
    """Findings that no picture numbers."""
    if not watch:
        return ""
    items = "".join(f"<li>{_told(w)}</li>" for w in watch)
    return f"<h4>{title}</h4><ul>{items}</ul>"


def _watch(card: Card) -> str:
    if not card.watch:
        # After the pour the pier may be on HOLD for what was placed: that is said further down.
        nothing = "Nothing found by this check." if card.after is None else "Nothing found as drawn."
        return f"<h3>What to watch</h3><p>{nothing}</p>"
    items = "".join(f'<li value="{w.number}">{_told(w)}</li>' for w in card.watch)
    return f"<h3>What to watch</h3><ol>{items}</ol>"


def _told(w: Watch) -> str:
    """One finding: its level, its sentence, and the answer that it got."""
    answer = f" <i>Answered: {escape(w.answered)}</i>" if w.answered else ""
    return f"<b>{w.level}</b> {escape(w.says)}{answer}"
