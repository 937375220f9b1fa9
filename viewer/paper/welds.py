"""Welding symbols on a plate: the parts of AWS A2.4 that a plate over rods needs (from memory).

A reference line with an arrow to the joint at one end and a tail at the other. The symbol of the weld hangs
under the line for the side that the arrow points to, stands on it for the other side, its upright leg to the
left; the size is to its left. At the junction of arrow and line: a circle for a weld all around, a flag for
one that is made on the site. A line along the symbol's face asks for a contour, and the letter beyond it says
how that is made. The tail names the note.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import atan2, cos, hypot, pi, sin

import numpy as np
from msgspec import Struct

from models.lengths import Units, show_length
from models.outline import Loop
from models.part import Role
from models.pier import Pier
from models.solids import Prism
from models.spec.weld import BARS, Weld
from viewer.drawing.layers import Layer
from viewer.drawing.marks import Arc, Circle, Fill, Line, Path, Point, path_of
from viewer.drawing.page import Draft

WIDE = 44.0
"""mm of paper: what a symbol takes to the right of its junction."""
TALL = 21.0
"""mm of paper: from one symbol's line to the next."""
_LINE = 32.0
_SYMBOL = 17.0
"""mm: from the junction to the upright leg of the symbol, the size between them."""
_LEG = 4.0
_TEXT = 2.2
_LETTERS = {"grinding": "G", "chipping": "C", "hammering": "H", "machining": "M", "rolling": "R"}


class Symbol(Struct, frozen=True, eq=False):
    """A weld's symbol. number: of its note; at: mm, pier's frame, where its arrow points, None where the site
    does not say; joint: what is welded to the plate, in plan, where that is to be drawn; typical: whether it
    stands for several alike."""

    number: int
    weld: Weld
    at: Point | None
    joint: Loop | None = None
    typical: bool = False

    @property
    def tail(self) -> str:
        """What its tail says."""
        return f"W{self.number}" + (" TYP" if self.typical else "")


def symbols(pier: Pier) -> list[Symbol]:
    """The symbol of every weld of a pier's plate whose type is said, numbered as they are listed."""
    plate = pier.spec.seat.plate
    assert plate is not None
    return [
        _symbol(pier, number, weld)
        for number, weld in enumerate(plate.welds, start=1)
        if weld.type is not None
    ]


def _symbol(pier: Pier, number: int, weld: Weld) -> Symbol:
    anchors = [part for part in pier.parts if part.role is Role.BAR_ANCHOR]
    carried = {
        part.label: part.solid.outline.outer
        for part in pier.parts
        if part.role is Role.STANDING and isinstance(part.solid, Prism)
    }
    seat = pier.spec.seat
    name = weld.at or _only(([BARS] if anchors else []) + list(carried))
    if name == BARS and anchors and seat.plate is not None:
        plate = next(part.solid for part in pier.parts if part.role is Role.PLATE)
        assert isinstance(plate, Prism)
        # The hole that lies most to the upper right is nearest to the symbols.
        ring = max(plate.outline.holes[: len(anchors)], key=lambda hole: float(hole.centers[0].sum()))
        x, y = ring.centers[0].tolist()
        radius = hypot(*(ring.starts[0] - ring.centers[0]))
        edge = (x + radius * cos(pi / 4), y + radius * sin(pi / 4))
        return Symbol(number, weld, edge, None, len(anchors) > 1)
    if name in carried:
        loop = carried[name]
        points = loop.polyline(0.5)
        x, y = points[int(np.argmax(points[:, 0] + 0.5 * points[:, 1]))].tolist()
        return Symbol(number, weld, (x, y), loop)
    return Symbol(number, weld, None)


def _only(names: Sequence[str]) -> str:
    """The one thing that can be meant; empty where there are several, or none."""
    return names[0] if len(names) == 1 else ""


def draw_symbols(draft: Draft, some: Sequence[Symbol], x: float, top: float, units: Units) -> None:
    """Draw symbols one under the other, their junctions at `x`, down from `top`, mm of paper; arrows into the
    plan, those that have no place end free."""
    ordered = sorted(some, key=lambda one: -(one.at[1] if one.at is not None else -np.inf))
    for one in some:
        if one.joint is not None:
            draft.add(path_of(Layer.WELDS, one.joint))
    for n, one in enumerate(ordered):
        y = top - TALL * (n + 0.5)
        _arrow(draft, (x, y), one.at)
        draw_symbol(draft, one, x, y, units)


def draw_symbol(draft: Draft, one: Symbol, x: float, y: float, units: Units) -> None:
    """One symbol without its arrow, its junction at (x, y), mm of paper."""
    end = x + _LINE
    draft.rule(x, y, end, y, Layer.WELDS)
    for way in (1.0, -1.0):
        draft.rule(end, y, end + 2.5, y + 2.5 * way, Layer.WELDS)
    draft.write(end + 2.0, y - 0.5 * _TEXT, one.tail, _TEXT, bold=True)
    if one.weld.where == "field":
        draft.rule(x, y, x, y + 7.5, Layer.WELDS)
        flag = ((x, y + 7.5), (x + 4.0, y + 6.0), (x, y + 4.5))
        draft.add(Fill(Layer.WELDS, tuple(draft.at(*p) for p in flag)))
    if one.weld.all_around:
        draft.add(Circle(Layer.WELDS, draft.at(x, y), 1.5 * draft.per))
    ways = {"arrow": (-1.0,), "other": (1.0,), "both": (-1.0, 1.0)}[one.weld.side]
    for way in ways:
        _side(draft, one.weld, (x + _SYMBOL, y), way, units)


def _side(draft: Draft, weld: Weld, at: Point, way: float, units: Units) -> None:
    """The weld's symbol at one side of the line; way: -1 under it, 1 above."""
    x, y = at

    def on(dx: float, dy: float) -> Point:
        return draft.at(x + dx, y + way * dy)

    for start, end in _strokes(str(weld.type)):
        draft.add(Line(Layer.WELDS, on(*start), on(*end)))
    for (cx, cy), radius, first, sweep in _curves(str(weld.type)):
        low = first if way > 0 else -first - sweep
        draft.add(Arc(Layer.WELDS, on(cx, cy), radius * draft.per, low, sweep))
    if weld.size is not None:
        low = y + 1.2 if way > 0 else y - 1.2 - _TEXT
        draft.write(x - 1.0, low, show_length(weld.size, units), _TEXT, "right")
    if weld.shape is not None:
        _contour(draft, weld, at, way)


def _strokes(kind: str) -> Iterator[tuple[Point, Point]]:
    """The straight strokes of a symbol over a line along y = 0; its upright leg at x = 0."""
    leg = _LEG
    if kind == "fillet":
        yield from (((0.0, 0.0), (0.0, leg)), ((0.0, leg), (leg, 0.0)))
    elif kind == "plug":
        yield from (((0.0, 0.0), (0.0, 3.0)), ((0.0, 3.0), (5.5, 3.0)), ((5.5, 3.0), (5.5, 0.0)))
    elif kind == "square groove":
        yield from (((0.0, 0.0), (0.0, leg)), ((1.6, 0.0), (1.6, leg)))
    elif kind == "V groove":
        yield from (((2.3, 0.0), (0.0, leg)), ((2.3, 0.0), (4.6, leg)))
    elif kind == "bevel groove":
        yield from (((0.0, 0.0), (0.0, leg)), ((0.0, 0.0), (3.5, leg)))
    elif kind == "U groove":
        yield (2.5, 0.0), (2.5, 1.5)
    elif kind == "J groove":
        yield (0.0, 0.0), (0.0, leg)


def _curves(kind: str) -> Iterator[tuple[Point, float, float, float]]:
    """The round strokes: center, radius, start and sweep (rad), of a symbol that stands on the line."""
    if kind == "U groove":
        yield (2.5, _LEG), 2.5, pi, pi
    elif kind == "J groove":
        yield (0.0, _LEG), 2.5, 1.5 * pi, 0.5 * pi


_FACES = {
    "plug": (0.0, 3.0, 5.5),
    "square groove": (-1.0, _LEG, 2.6),
    "V groove": (0.0, _LEG, 4.6),
    "bevel groove": (-0.5, _LEG, 4.0),
    "U groove": (0.0, _LEG, 5.0),
    "J groove": (-0.5, _LEG, 3.0),
}
"""By groove: where its face begins, how high it is, where it ends, mm."""


def _contour(draft: Draft, weld: Weld, at: Point, way: float) -> None:
    """The line along the face of the weld, straight or bowed, and the letter of how it is made."""
    if weld.type == "fillet":
        off = 1.0 / 2.0**0.5
        a, b = (0.6 + off, _LEG - 0.6 + off), (_LEG - 0.6 + off, 0.6 + off)
        beyond = (0.5 * _LEG + off + 1.6, 0.5 * _LEG + off + 1.6)
    else:
        left, high, right = _FACES[str(weld.type)]
        a, b = (left, high + 1.0), (right, high + 1.0)
        beyond = ((left + right) / 2.0, high + 3.2)
    bow = {"flush": 0.0, "convex": -0.35, "concave": 0.35}[str(weld.shape)]
    start, end = (draft.at(at[0] + p[0], at[1] + way * p[1]) for p in (a, b))
    draft.add(Path(Layer.WELDS, (start, end), (bow * way, 0.0)))
    if weld.by is not None:
        x, y = at[0] + beyond[0], at[1] + way * beyond[1]
        draft.write(x, y - 0.5 * _TEXT, _LETTERS[weld.by], _TEXT, "center")


def _arrow(draft: Draft, junction: Point, to: Point | None) -> None:
    """From the junction (mm of paper) to a point of the plan, or a short one that ends free."""
    start = draft.at(*junction)
    end = draft.at(junction[0] - 7.0, junction[1] - 6.0) if to is None else to
    draft.add(Line(Layer.WELDS, start, end))
    if to is None:
        return
    back = atan2(start[1] - end[1], start[0] - end[0])
    size = 2.6 * draft.per
    sides = tuple((end[0] + size * cos(back + t), end[1] + size * sin(back + t)) for t in (0.24, -0.24))
    draft.add(Fill(Layer.WELDS, (end, *sides)))


def weld_notes(pier: Pier, units: Units) -> Iterator[str]:
    """Every weld in words, numbered as in its symbol, and what holds for all of them."""
    plate = pier.spec.seat.plate
    assert plate is not None
    for number, weld in enumerate(plate.welds, start=1):
        said = " ".join((f"{weld.what.rstrip('.')}.", *_said(weld, units)))
        yield f"W{number} {weld.where.upper()} WELD: {said}"
    if any(weld.type is not None for weld in plate.welds):
        yield "Weld symbols follow AWS A2.4, from memory; the engineer's drawing decides."
    if any(one.at is None for one in symbols(pier)):
        yield "A symbol whose arrow ends free: where it is, the site file does not say; ask the engineer."
    rods = pier.spec.seat.rods
    if rods is None or rods.bar is None:
        return
    if not plate.welds:
        yield "Welds: the site file states none; weld as the engineer draws it, shop and field."
    yield "Bars that are welded have to be of weldable steel: ask the engineer for the grade."
    if (rods.coating != "plain" or plate.finish) and not any(weld.held_back for weld in plate.welds):
        yield "Coating is held back from each weld, and made good afterwards, as the engineer says."


def _said(weld: Weld, units: Units) -> Iterator[str]:
    if weld.type is not None:
        size = "" if weld.size is None else f" {show_length(weld.size, units)}"
        around = ", all around" if weld.all_around else ""
        side = {"arrow": "", "other": ", other side", "both": ", both sides"}[weld.side]
        yield f"{weld.type[0].upper()}{weld.type[1:]}{size}{around}{side}."
    if weld.flush:
        yield "Ground flush."
    elif weld.contour is not None:
        yield f"Face {weld.contour}" + (f", by {weld.finish}." if weld.finish else ".")
    if weld.held_back is not None:
        yield f"Coating held back {show_length(weld.held_back, units)}, and made good afterwards."
