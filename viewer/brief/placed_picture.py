"""The picture of a pier as placed: arrows from where things were drawn, larger by a factor that it names."""

from __future__ import annotations

from collections.abc import Callable
from math import hypot

import numpy as np

from models.motion import Array
from models.solids import Swept
from models.winds import wind
from viewer.drawing.layers import Layer
from viewer.drawing.marks import Box, Circle, Fill, Line, Path, Point
from viewer.drawing.page import Draft
from viewer.legend.placed_marks import PlacedMark, PlacedMarks, What
from viewer.paper.plan import north_arrow

_BARS = (What.ROD, What.DOWEL)
_HEAD = 2.6
"""mm of paper: length of an arrow's head, or of the arrow where that is shorter."""
_ON = Callable[[Array], list[Point]]


def draw_placed(draft: Draft, one: PlacedMarks, room: Box) -> None:
    """From above (left) and from the side on which it leans most (right), to fit `room`, mm; not to scale.

    What `beside` says has to be written beside it.
    """
    middle = room.left + 0.58 * (room.right - room.left)
    _from_above(draft, one, Box(room.left + 8.0, room.low, middle - 2.0, room.high))
    _from_a_side(draft, one, Box(middle + 2.0, room.low, room.right, room.high))
    north_arrow(draft, room.left + 7.0, room.high - 9.0, one.pier.frame, 4.5)


def beside(one: PlacedMarks) -> str:
    """How to read the picture."""
    return f"{one.beside} Dashed: as drawn."


def _from_above(draft: Draft, one: PlacedMarks, room: Box) -> None:
    ring = one.pier.concrete.outline.outer.polyline(1.0)
    drawn = np.column_stack([np.vstack([ring, ring[:1]]), np.zeros(len(ring) + 1)])
    placed = one.enlarged(drawn)
    bars = one.of(*_BARS)
    tips = [one.tip(mark)[None] for mark in bars]
    on = _fitted(draft, np.concatenate([drawn, placed, *tips])[:, :2], room)
    draft.write((room.left + room.right) / 2.0, room.low, "From above", 2.2, "center")
    draft.add(Path(Layer.CONCRETE, tuple(on(drawn[:, :2]))))
    if one.moved is not None:
        draft.add(Path(Layer.OUTLINE, tuple(on(placed[:, :2]))))
    _bars_from_above(draft, one, on)
    for mark in one.of(What.CORNER):
        _arrow(draft, on, mark.drawn[:2], one.tip(mark)[:2], mark.told)


def _bars_from_above(draft: Draft, one: PlacedMarks, on: _ON) -> None:
    bars = one.of(*_BARS)
    for mark in bars:
        radius = _radius(one, mark)
        (center,), (side,) = on(mark.drawn[None, :2]), on(mark.drawn[None, :2] + np.array([radius, 0.0]))
        size = max(side[0] - center[0], 0.6 * draft.per)
        draft.add(Circle(Layer.CONCRETE, center, size))
        _arrow(draft, on, mark.drawn[:2], one.tip(mark)[:2], mark.told)
    for mark in bars:
        (at,) = on(one.tip(mark)[None, :2])
        letter = "" if mark.what is What.ROD else "d"
        draft.beside(at, f"{letter}{mark.number}", 1.2 * draft.per, 2.6, bold=mark.told)


def _from_a_side(draft: Draft, one: PlacedMarks, room: Box) -> None:
    across = _most_seen(one)
    axes = [across, 2]
    ring = one.pier.concrete.outline.outer.polyline(1.0)[:, across]
    left, right, bottom = float(ring.min()), float(ring.max()), one.pier.concrete.bottom
    top_off, foot_off = _shift(one, What.CENTER, across), _shift(one, What.FOOT, across)
    known = np.isfinite([top_off, foot_off]).all()
    rise = _rise(one)
    drawn = np.array([[left, bottom], [right, bottom], [right, 0.0], [left, 0.0], [left, bottom]])
    sway = np.array([foot_off, foot_off, top_off, top_off, foot_off]) if known else np.full(5, 0.0)
    lift = np.array([0.0, 0.0, rise, rise, 0.0])
    placed = drawn + np.column_stack([sway, lift])
    rods = one.of(What.ROD)
    lines = [np.array([one.tip(m)[axes], _lower(one, m)[axes]]) for m in rods]
    on = _fitted(draft, np.concatenate([drawn, placed, *lines, *(m.drawn[None, axes] for m in rods)]), room)
    facing = wind(one.pier.frame, *((0.0, -1.0) if across == 0 else (1.0, 0.0)))
    title = f"From the {facing}" if known else f"From the {facing}: plumb NOT CHECKED"
    draft.write((room.left + room.right) / 2.0, room.low, title, 2.2, "center")
    draft.add(Path(Layer.CONCRETE, tuple(on(drawn))))
    if known:
        draft.add(Path(Layer.OUTLINE, tuple(on(placed))))
    for mark, line in zip(rods, lines, strict=True):
        foot = np.array([mark.drawn[across], 0.0])
        draft.add(Path(Layer.CONCRETE, tuple(on(np.array([foot, mark.drawn[axes]])))))
        draft.add(Path(Layer.BARS, tuple(on(line))))
        _arrow(draft, on, mark.drawn[axes], one.tip(mark)[axes], mark.told)
    for mark, line in zip(rods, lines, strict=True):
        if mark.told:
            draft.beside(on(line[:1])[0], str(mark.number), 1.2 * draft.per, 2.6, bold=True)


def _most_seen(one: PlacedMarks) -> int:
    """The axis of the pier's plan, 0 or 1, along which it or a rod of it stands off or leans most."""
    marks = one.of(What.CENTER, What.FOOT, What.ROD)
    offs = [mark.placed - mark.drawn for mark in marks]
    offs += [mark.placed - mark.lower for mark in marks if mark.lower is not None]
    most = np.array([[0.0, 0.0], *(np.abs(np.nan_to_num(off[:2])) for off in offs)]).max(axis=0)
    return int(most[1] > most[0] + 1e-9)


def _shift(one: PlacedMarks, what: What, axis: int) -> float:
    """mm, enlarged: how far the concrete stands off along an axis at its top or foot; NaN where not known."""
    for mark in one.of(what):
        return one.factor * float(mark.placed[axis] - mark.drawn[axis])
    return float("nan")


def _rise(one: PlacedMarks) -> float:
    for mark in one.of(What.TOP):
        return one.factor * float(mark.placed[2])
    return 0.0


def _lower(one: PlacedMarks, mark: PlacedMark) -> Array:
    """A lower point of a rod, enlarged as its top is: in line with its two shots, else straight below."""
    tip = one.tip(mark)
    if mark.lower is None:
        return np.array([tip[0], tip[1], 0.0])
    plan = mark.drawn[:2] + one.factor * (mark.lower[:2] - mark.drawn[:2])
    return np.array([*plan, mark.lower[2]])


def _radius(one: PlacedMarks, mark: PlacedMark) -> float:
    solid = one.pier.part(mark.part).solid
    assert isinstance(solid, Swept)
    return solid.radius


def _arrow(draft: Draft, on: _ON, start: Array, end: Array, told: bool) -> None:
    """Nothing where it would say no more than the measuring is sure to."""
    if not told:
        return
    a, b = on(np.array([start, end]))
    length = hypot(b[0] - a[0], b[1] - a[1])
    if length < 0.3 * draft.per:
        return
    head = min(_HEAD * draft.per, length)
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    foot = (b[0] - head * ux, b[1] - head * uy)
    wide = 0.32 * head
    draft.add(Line(Layer.PLACED, a, foot))
    sides = ((foot[0] - wide * uy, foot[1] + wide * ux), (foot[0] + wide * uy, foot[1] - wide * ux))
    draft.add(Fill(Layer.PLACED, (b, *sides)))


def _fitted(draft: Draft, every: Array, room: Box) -> _ON:
    """What brings points (n, 2) of the pier onto the paper so that all of `every` lies in the room."""
    low, high = every.min(axis=0), every.max(axis=0)
    space = Box(room.left + 8.0, room.low + 6.0, room.right - 8.0, room.high - 6.0)
    size = np.maximum(high - low, 1.0)
    per = float(max(size[0] / (space.right - space.left), size[1] / (space.high - space.low)))
    center = np.array([(space.left + space.right) / 2.0, (space.low + space.high) / 2.0])

    def on(points: Array) -> list[Point]:
        placed = (points - (low + high) / 2.0) / per + center
        return [draft.at(x, y) for x, y in placed.tolist()]

    return on
