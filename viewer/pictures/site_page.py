"""The key plan on a page: every pier with the worst that was found at it, by shape, pattern and color."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import numpy as np

from models.lengths import Units
from models.motion import Array, Motion
from models.part import Role
from viewer.drawing.layers import PENS, Layer
from viewer.drawing.letters import PITCH, width, wrapped
from viewer.drawing.marks import Align, Area, Box, Line, Point, Stroke, Text, box_of
from viewer.drawing.page import Draft, Page
from viewer.legend.key_plan import KeyPier, KeyPlan
from viewer.legend.looks import CLEAR, LEVELS, Pattern, role_look
from viewer.legend.placed_marks import PlacedMarks, What, beside_arrows
from viewer.legend.rows import usual_spacing
from viewer.paper.plan import north_arrow
from viewer.paper.title import Title, draw_frame
from viewer.pictures.markers import marker
from viewer.pictures.projection import points_of
from viewer.pictures.scale import words_of_scale
from viewer.wording.fold import counted

_SCALES: Mapping[Units, tuple[float, ...]] = {
    Units.FT_IN: (24, 32, 48, 64, 96, 120, 128, 192, 240, 360, 480, 600, 720, 960, 1200, 2400),
    Units.MM: (20, 25, 50, 75, 100, 125, 150, 200, 250, 400, 500, 750, 1000, 2000, 2500),
}
"""Scales of buildings and of sites, mm of the site in a mm of paper."""
_LARGEST, _LEAST = 3.4, 0.9
"""mm on paper: radius of a marker where there is room, and where piers stand close."""
_MEANS = {
    "HOLD": "do not pour: ask the engineer",
    "TIGHT": "set it with care, measure before the pour",
    "NOT CHECKED": "not measured, or the site does not say enough",
    CLEAR: "nothing found by this check",
}
_PLACED = {
    "HOLD": "does not fit as placed: ask the engineer",
    "TIGHT": "fits as placed with little room",
    "NOT CHECKED": "not measured, or the site does not say enough",
}
_ALONE = 40.0
"""mm on paper: room round a pier that has no neighbor."""
_LEGEND = 38.0
"""mm: height of the legend."""
_TEXT = 2.2


def site_page(
    plan: KeyPlan,
    title: Title,
    size: tuple[float, float],
    units: Units,
    placed: Mapping[str, PlacedMarks] | None = None,
    source: str = "",
) -> Page:
    """The page; it lies across where the site is wider than it is deep.

    placed: by mark, to draw how far each pier stands off; source: what was measured, in words.
    """
    rings = [p.outline for p in plan.piers] + [b.outline for b in (*plan.beams, *plan.grade_beams)]
    every = np.concatenate(rings)
    (left, low), (right, high) = every.min(axis=0).tolist(), every.max(axis=0).tolist()
    short, long = min(size), max(size)
    draft = Draft(*((long, short) if right - left > 1.15 * (high - low) else (short, long)))
    room = draw_frame(draft, title)
    inner = Box(room.left + 6.0, room.low + _LEGEND + 8.0, room.right - 6.0, room.high - 20.0)
    least = max((right - left) / (inner.right - inner.left), (high - low) / (inner.high - inner.low))
    per = next((s for s in _SCALES[units] if s >= least), least)
    middle = np.array([(inner.left + inner.right) / 2.0, (inner.low + inner.high) / 2.0])
    zero = middle - np.array([left + right, low + high]) / 2.0 / per
    heading = "Key plan" if placed is None else "Key plan: placed against drawn"
    draft.write(room.left, room.high - 5.0, heading, 4.0, bold=True)
    draft.write(room.left, room.high - 10.5, f"North up, {words_of_scale(per, units)}", _TEXT)
    north_arrow(draft, room.right - 9.0, room.high - 9.5, Motion.identity(), 5.0)
    means = _MEANS if placed is None else _MEANS | _PLACED
    _legend(draft, plan, Box(room.left, room.low, room.right, room.low + _LEGEND), means)
    _beams(draft, plan, per, zero)
    pitch = _piers(draft, plan, per, zero)
    if placed is not None:
        words = f"{_arrows(draft, plan, placed, (per, pitch), zero)} {source}"
        draft.write(room.left + 58.0, room.high - 10.5, words, 1.9, bold=True)
    return draft.page()


_FACTORS = (1, 2, 5, 10, 20, 50, 100, 200, 500)
_REACH = 0.45
"""Of the distance to the next pier: how long the longest arrow may be."""


def _arrows(
    draft: Draft, plan: KeyPlan, placed: Mapping[str, PlacedMarks], scale: tuple[float, float], zero: Array
) -> str:
    """From where each pier was drawn to where it stands, larger by a factor; answers the sentence on it.

    scale: mm of the site in a mm of paper, and the usual distance of piers, mm on paper.
    """
    per, pitch = scale
    offs = {
        mark: center.off[:2]
        for mark, one in placed.items()
        for center in one.of(What.CENTER)
        if float(np.hypot(*center.off[:2])) > center.sure  # never where it is not known (NaN)
    }
    if not offs:
        return "No pier is known to stand off by more than the measuring is sure to."
    most = max(float(np.hypot(*off)) for off in offs.values())
    factor = max((f for f in _FACTORS if f * most / per <= _REACH * pitch), default=1)
    for pier in plan.piers:
        if pier.mark in offs:
            start = np.array([pier.x, pier.y]) / per + zero
            _arrow(draft, start, start + factor * offs[pier.mark] / per)
    return beside_arrows(factor)


def _arrow(draft: Draft, start: Array, end: Array) -> None:
    length = float(np.hypot(*(end - start)))
    if length < 0.3:
        return
    along = (end - start) / length
    foot = end - min(2.2, length) * along
    side = 0.7 * min(2.2, length) / 2.2 * np.array([-along[1], along[0]])
    # White round black reads on markers of every color.
    draft.add(Stroke(Layer.PLACED, (_point(start), _point(foot)), 1.1, "#000000", "#ffffff", 0.3))
    head = (_point(end), _point(foot + side), _point(foot - side))
    draft.add(Area(Layer.PLACED, (head,), "#000000", "#ffffff", 0.3))


def _point(at: Array) -> Point:
    return float(at[0]), float(at[1])


def _beams(draft: Draft, plan: KeyPlan, per: float, zero: Array) -> None:
    """Grade beams in tone, beams over the piers in dashes."""
    tone, pen = role_look(Role.GRADE_BEAM).color, PENS[Layer.LATER]
    for beam in plan.grade_beams:
        ring = points_of(beam.outline / per + zero)
        draft.add(Area(Layer.TONE, (ring,), tone, "#7d8c74", 0.15, Pattern.STONES, 2.5))
    for beam in plan.beams:
        ring = points_of(beam.outline / per + zero)
        draft.add(Area(Layer.LATER, (ring,), "", "#000000", 0.2, dash=pen.dash))


def _piers(draft: Draft, plan: KeyPlan, per: float, zero: Array) -> float:
    """A thin line along each row, so that the eye walks on; then the piers, and their marks beside them.

    Answers the usual distance of piers, mm on paper.
    """
    at = {p.mark: (p.x / per + float(zero[0]), p.y / per + float(zero[1])) for p in plan.piers}
    for row in plan.rows:
        draft.add(*(Line(Layer.CENTER, at[a], at[b]) for a, b in pairwise(row)))
    pitch = usual_spacing(np.array(list(at.values()))) or _ALONE
    radius = max(_LEAST, min(_LARGEST, 0.22 * pitch))
    height = max(1.2, min(2.6, 0.16 * pitch))
    for pier in plan.piers:
        ring = points_of(pier.outline / per + zero)
        draft.add(Area(Layer.TONE, (ring,), role_look(Role.CONCRETE).color, "#000000", 0.25))
    draft.add(*(marker(pier.level, at[pier.mark], radius) for pier in plan.piers))
    for pier in plan.piers:
        half = float(np.abs(pier.outline - np.array([pier.x, pier.y])).max()) / per
        _name(draft, pier, at[pier.mark], max(1.3 * radius, half), height)
    return pitch


def _name(draft: Draft, pier: KeyPier, at: Point, reach: float, height: float) -> None:
    """The mark of a pier beside it; bold where something is open."""
    bold, out = pier.level != CLEAR, reach + 0.5
    said = pier.mark + (" (answered)" if pier.answered and not pier.count else "")
    ways: tuple[tuple[float, float, Align], ...] = (
        (0.8 * out, 0.55 * out, "left"),
        (0.8 * out, -0.55 * out - height, "left"),
        (-0.8 * out, 0.55 * out, "right"),
        (-0.8 * out, -0.55 * out - height, "right"),
        (0.0, out, "center"),
        (0.0, -out - height, "center"),
    )
    for x, y, align in ways:
        text = Text(Layer.TEXT, (at[0] + x, at[1] + y), said, height, align, 0.0, bold)
        if draft.clear(box_of(text, 1.0).grown(0.25), frozenset({Layer.CENTER})):
            draft.add(text)
            return
    draft.beside(at, said, reach, height, bold)


def _legend(draft: Draft, plan: KeyPlan, room: Box, means: Mapping[str, str]) -> None:
    """The levels with their signs and counts, what the lines are, and the walk past what is flagged."""
    draft.rule(room.left, room.high, room.right, room.high)
    said = {
        level: f"{counted(sum(pier.level == level for pier in plan.piers), 'pier')}: {means[level]}"
        for level in LEVELS
    }
    half = room.left + 33.0 + max(width(words, _TEXT) for words in said.values()) + 2.0
    y = room.high - 6.0
    for level, look in LEVELS.items():
        draft.add(marker(level, (room.left + 4.0, y + 1.0), 2.4))
        draft.write(room.left + 9.0, y, look.word, _TEXT, bold=True)
        draft.write(room.left + 33.0, y, said[level], _TEXT)
        y -= 6.4
    draft.add(Line(Layer.CENTER, (room.left + 1.0, y + 1.0), (room.left + 7.0, y + 1.0)))
    draft.write(room.left + 9.0, y, "row", 1.9)
    shown = [("beam, set later", Layer.LATER)] if plan.beams else []
    shown += [("grade beam", Layer.TONE)] if plan.grade_beams else []
    for n, (name, layer) in enumerate(shown):
        x, low, high = room.left + 17.0 + 34.0 * n, y - 0.2, y + 2.2
        ring = ((x, low), (x + 6.0, low), (x + 6.0, high), (x, high))
        if layer is Layer.LATER:
            draft.add(Area(layer, (ring,), "", "#000000", 0.2, dash=PENS[layer].dash))
        else:
            tone = role_look(Role.GRADE_BEAM).color
            draft.add(Area(layer, (ring,), tone, "#7d8c74", 0.15, Pattern.STONES, 1.5))
        draft.write(x + 8.0, y, name, 1.9)
    top = draft.paragraph(
        half + 4.0, room.high - 2.0, room.right - half - 4.0, "Walk, row by row:", _TEXT, True
    )
    _walk(draft, plan, Box(half + 4.0, room.low + 1.0, room.right, top - 0.5))


def _walk(draft: Draft, plan: KeyPlan, room: Box) -> None:
    if not plan.walk:
        words = "nothing is flagged."
    else:
        levels = {pier.mark: pier for pier in plan.piers}
        words = ", ".join(f"{m} ({levels[m].count} {levels[m].level})" for m in plan.walk) + "."
    if plan.elsewhere:
        words += f" {counted(plan.elsewhere, 'finding')} of no pier: see the report."
    wide = room.right - room.left
    for height in (_TEXT, 1.8, 1.5, 1.2):
        lines = list(wrapped(words, height, wide))
        most = int((room.high - room.low) / (height * PITCH))
        if len(lines) <= most or height == 1.2:
            break
    if len(lines) > most:
        lines = [*lines[: most - 1], "and more: see the report of pierclear check."]
    draft.paragraph(room.left, room.high, wide, " ".join(lines), height)
