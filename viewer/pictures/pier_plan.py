"""The plan of a pier, cut at its top: concrete, cage, dowels, rods, and what comes over them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import atan2, cos, pi, sin

import numpy as np

from models.lengths import Units, show_length
from models.motion import Array
from models.part import ANCHORS, LATERAL, LONGITUDINAL, Part, Role
from models.pier import Pier
from models.solids import Prism, Swept
from models.winds import wind
from viewer.drawing.layers import Layer
from viewer.drawing.marks import Align, Area, Box, Line, Mark, Point, Text, box_of, inside
from viewer.drawing.page import Draft
from viewer.legend.looks import part_look, role_look
from viewer.legend.spots import Watch
from viewer.paper.plan import bounds, north_arrow
from viewer.pictures.chain import STEP, chain
from viewer.pictures.projection import View, cut_bar, dashed, points_of, silhouette, solid_marks
from viewer.pictures.scale import words_of_scale

LEFT, LOW, RIGHT, HIGH = 19.5, 19.5, 5.0, 10.0
"""mm of paper round what is drawn: dimension chains left and below, the title above."""
_DASHED = frozenset({Role.PLATE, Role.TEMPLATE, Role.WASHER, Role.HEAD})
_SAME = 0.3
"""mm of paper: outlines that lie this near to the concrete's are not drawn beside it."""
_FIRST, _OVERALL = 6.0, 6.0 + 2.0 * STEP
"""mm of paper from the concrete to the chain of the rods and to the overall dimension."""


def plan_extent(pier: Pier) -> Box:
    """What the plan shows, mm: the concrete, and plate and template where they reach farther."""
    boxes = [bounds(pier.concrete.outline.outer)]
    for part in pier.parts:
        if part.role in (Role.PLATE, Role.TEMPLATE) and isinstance(part.solid, Prism):
            ring = part.solid.outline.outer.polyline(1.0)
            points = part.solid.motion.points(np.column_stack([ring, np.zeros(len(ring))]))
            boxes.append(Box(*points[:, :2].min(axis=0).tolist(), *points[:, :2].max(axis=0).tolist()))
    return Box(
        min(b.left for b in boxes),
        min(b.low for b in boxes),
        max(b.right for b in boxes),
        max(b.high for b in boxes),
    )


def plan_parts(pier: Pier, view: View, watch: Sequence[Watch]) -> Iterator[Mark]:
    """Everything that shows, lowest first; in dashes what lies over the cut, and the feet of rods."""
    outer = view.on(_level(pier.concrete.outline.outer.polyline(0.2)))
    yield Area(Layer.TONE, (points_of(outer),), role_look(Role.CONCRETE).color, "#000000", 0.5)
    flagged = {part for note in watch for part in note.parts}
    top = top_ties(pier)
    found = [
        at
        for part in pier.parts
        if part.role is Role.EMBED or part.id in top or (part.role in LATERAL and part.id in flagged)
        for at in solid_marks(part, part_look(part, pier), view)
    ]
    yield from (mark for _, mark in sorted(found, key=lambda at: at[0]))
    upright = [part for part in pier.parts if part.role in LONGITUDINAL | ANCHORS]
    yield from (cut_bar(part, part_look(part, pier), view) for part in upright)
    rods = [view.one(*rod_at(part), 0.0) for part in rods_of(pier)]
    for part in pier.parts:
        if part.role in _DASHED and isinstance(part.solid, Prism):
            rings = [r for r in silhouette(part.solid, view) if not _lies_on(r, outer)]
            if part.role is Role.TEMPLATE:  # its holes lie on the rods
                rings = [r for r in rings if not _small_round(r, rods, view)]
            if part.role is Role.WASHER:
                rings = rings[:1]
            for one in rings:
                yield dashed([one], "#555555" if part.role is Role.HEAD else "#000000")


def top_ties(pier: Pier) -> frozenset[str]:
    """The highest tie or hoop, and the crossties and diamonds that lie on it."""
    lateral = [p for p in pier.parts if p.role in LATERAL and isinstance(p.solid, Swept)]
    closed = [p for p in lateral if p.role is not Role.CROSSTIE]
    if not closed:
        return frozenset()
    top = max(closed, key=lambda part: _highest(part))
    reach = 3.0 * (top.nominal or 0.0)
    return frozenset(
        p.id
        for p in lateral
        if abs(_highest(p) - _highest(top)) <= reach and (p is top or p.id in top.touches)
    )


def _highest(part: Part) -> float:
    return float(part.solid.knots[:, 2].max()) if isinstance(part.solid, Swept) else 0.0


def rods_of(pier: Pier) -> list[Part]:
    """The rods or bar anchors of a pier, in the order of their numbers."""
    return [part for part in pier.parts if part.role in ANCHORS]


def rod_at(part: Part) -> tuple[float, float]:
    """Where the upper end of a rod stands, mm in the pier's plan."""
    assert isinstance(part.solid, Swept)
    knots = part.solid.knots
    x, y, _ = knots[int(np.argmax(knots[:, 2]))].tolist()
    return x, y


def plan_words(draft: Draft, pier: Pier, view: View, room: Box, units: Units) -> None:
    """The title, the north arrow, the dimensions, the faces and the numbers of rods."""
    per = view.per
    draft.write(room.left, room.high - 3.6, "Plan, cut at the top, seen from above", 2.6, bold=True)
    draft.write(room.left, room.high - 7.4, words_of_scale(per, units), 2.0)
    north_arrow(draft, room.left + 7.5, room.low + 7.0, pier.frame, 4.0)
    box = bounds(pier.concrete.outline.outer)
    (left, low), (right, high) = view.one(box.left, box.low, 0.0), view.one(box.right, box.high, 0.0)
    rods = np.array([rod_at(part) for part in rods_of(pier)]).reshape(-1, 2)
    extent = plan_extent(pier)
    out_low, out_left = view.one(extent.left, extent.low, 0.0)[1], view.one(extent.left, extent.low, 0.0)[0]
    _center_lines(draft, view, rods, box)
    if len(rods):
        _chained(draft, view, rods[:, 0], (box.left, box.right), low, out_low - _FIRST, units, upright=False)
        _chained(draft, view, rods[:, 1], (box.low, box.high), left, out_left - _FIRST, units, upright=True)
    far = _OVERALL if len(rods) else _FIRST
    chain(draft, [left, right], [show_length(box.right - box.left, units)], low, out_low - far)
    chain(draft, [low, high], [show_length(box.high - box.low, units)], left, out_left - far, upright=True)
    for n, part in enumerate(rods_of(pier), start=1):
        at = view.one(*rod_at(part), 0.0)
        word = "rod" if part.role is Role.ROD else "anchor"
        reach = (part.overall or 0.0) / 2.0 / per + 0.6
        _outward(draft, at, view.zero, f"{word} {n}", reach)
    _faces(draft, pier, view)


def _outward(draft: Draft, at: Point, center: Point, words: str, reach: float) -> None:
    """Words beside a rod, on its outer side where there is room, so that they are not read as another's."""
    away = atan2(at[1] - center[1], at[0] - center[0]) if at != center else 0.0
    for out in (reach + 0.6, reach + 2.2, reach + 4.0):
        for turn in (0.0, 0.6, -0.6, 1.2, -1.2):
            x, y = cos(away + turn), sin(away + turn)
            align: Align = "left" if x > 0.3 else "right" if x < -0.3 else "center"
            rise = -0.5 * _ROD if abs(y) < 0.3 else 0.0 if y > 0.0 else -_ROD
            text = Text(Layer.TEXT, (at[0] + out * x, at[1] + out * y + rise), words, _ROD, align, 0.0, True)
            if draft.clear(box_of(text, 1.0).grown(0.35), frozenset({Layer.CENTER})):
                draft.add(text)
                return
    draft.beside(at, words, reach, _ROD, bold=True)


_ROD = 1.9
"""mm: of the numbers of rods."""


def _chained(
    draft: Draft,
    view: View,
    centers: Array,
    ends: tuple[float, float],
    edge: float,
    line: float,
    units: Units,
    *,
    upright: bool,
) -> None:
    """From the face to the first rod, from rod to rod, and on to the other face."""
    along: list[float] = []
    for place in sorted([*ends, *centers.tolist()]):
        if not along or place - along[-1] > 0.5:
            along.append(place)
    words = [show_length(b - a, units) for a, b in pairwise(along)]
    zero = view.zero[1 if upright else 0]
    chain(draft, [p / view.per + zero for p in along], words, edge, line, upright=upright)


def _center_lines(draft: Draft, view: View, rods: Array, box: Box) -> None:
    for x, y in rods.tolist():
        at = view.one(x, y, 0.0)
        for dx, dy in ((2.6, 0.0), (0.0, 2.6)):
            draft.add(Line(Layer.CENTER, (at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy)))


def _faces(draft: Draft, pier: Pier, view: View) -> None:
    """Which face is which, in the winds of the site, along each face; of a round one its four sides."""
    loop = pier.concrete.outline.outer
    if len(loop.starts) == 1:
        box = bounds(loop)
        x, y = (box.left + box.right) / 2.0, (box.low + box.high) / 2.0
        sides = [
            ((box.right, y), (1.0, 0.0)),
            ((x, box.high), (0.0, 1.0)),
            ((box.left, y), (-1.0, 0.0)),
            ((x, box.low), (0.0, -1.0)),
        ]
        word = "side"
    else:
        along = loop.ends - loop.starts
        length = np.linalg.norm(along, axis=1)
        flat = np.flatnonzero((loop.sweeps == 0.0) & (length > 0.15 * loop.perimeter))
        sides = [
            (
                tuple(((loop.starts[i] + loop.ends[i]) / 2.0).tolist()),
                (float(along[i, 1] / length[i]), float(-along[i, 0] / length[i])),
            )
            for i in flat.tolist()
        ]
        word = "face"
    for (x, y), (ox, oy) in sides:
        _along_face(draft, view.one(x, y, 0.0), (ox, oy), f"{wind(pier.frame, ox, oy)} {word}")


def _along_face(draft: Draft, middle: Point, out: Point, words: str) -> None:
    """Words along a face, inside of it where there is room near its middle, else as near as they go."""
    ox, oy = out
    # Words that run along a face read from below or from the right.
    turn = atan2(ox, -oy)
    turn = turn - pi if turn > pi / 2.0 + 1e-6 else turn + pi if turn <= -pi / 2.0 + 1e-6 else turn
    rise = (-sin(turn), cos(turn))
    for inward in (1.2 + _FACE / 2.0, 3.0 + _FACE / 2.0):
        for aside in (0.0, 12.0, -12.0, 20.0, -20.0):
            x = middle[0] - inward * ox - aside * oy - rise[0] * _FACE / 2.0
            y = middle[1] - inward * oy + aside * ox - rise[1] * _FACE / 2.0
            text = Text(Layer.TEXT, (x, y), words, _FACE, "center", turn)
            if draft.clear(box_of(text, 1.0).grown(0.3), frozenset({Layer.CENTER})):
                draft.add(text)
                return
    draft.beside((middle[0] - 2.5 * ox, middle[1] - 2.5 * oy), words, 0.0, _FACE)


_FACE = 1.9
"""mm: of the names of faces."""


_LARGEST_HOLE = 80.0
"""mm: what is wider than this in a template is an opening, and no hole for a rod."""


def _small_round(ring: Array, rods: Sequence[Point], view: View) -> bool:
    """Whether a ring of a template is the hole of a rod."""
    wide = float(np.ptp(ring[:, 0])) * view.per
    return wide < _LARGEST_HOLE and any(inside(at, [points_of(ring)]) for at in rods)


def _level(ring: Array) -> Array:
    return np.column_stack([ring, np.zeros(len(ring))])


def _lies_on(ring: Array, other: Array) -> bool:
    """Whether two rings take the same room, as far as one can see."""
    corners = [f(r, axis=0) for r in (ring, other) for f in (np.min, np.max)]
    return bool(
        np.abs(corners[0] - corners[2]).max() < _SAME and np.abs(corners[1] - corners[3]).max() < _SAME
    )
