"""A pier from the side: its cage with near bars over far ones, its rods, what stands over and under it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from models.lengths import Units, show_length
from models.part import ANCHORS, LONGITUDINAL, Role, Stage
from models.pier import Pier
from models.solids import Prism, Swept
from models.winds import wind
from viewer.drawing.layers import Layer
from viewer.drawing.letters import width
from viewer.drawing.marks import Area, Box, Line, Mark, Text
from viewer.drawing.page import Draft
from viewer.legend.looks import Pattern, part_look, role_look
from viewer.legend.spots import Watch
from viewer.paper.plan import bounds
from viewer.pictures.chain import HEIGHT, chain, pooled
from viewer.pictures.pier_plan import rods_of
from viewer.pictures.projection import View, clipped, dashed, points_of, silhouette, solid_marks
from viewer.pictures.scale import words_of_scale

LEFT, RIGHT, LOW, HIGH = 14.2, 15.2, 0.8, 9.5
"""mm of paper beside the concrete for dimensions and levels, and under and over it."""
_SOLID = LONGITUDINAL | ANCHORS | {Role.TIE, Role.HOOP, Role.CROSSTIE, Role.EMBED, Role.HEAD}
_PAST = 2.0
"""mm of paper: how far beams are drawn past the concrete."""


class Side(Struct, frozen=True):
    """What an elevation shows: from where in the pier's plan; mm across and up that it takes."""

    toward: tuple[float, float]
    left: float
    right: float
    low: float
    high: float


def sides(pier: Pier, watch: Sequence[Watch]) -> tuple[Side, Side]:
    """Two elevations at right angles, each from the side to which its flagged spots lie nearer."""
    into = pier.frame.inverse()
    spots = [into.points(np.array(at)) for note in watch for at in (note.at, *note.others) if at is not None]
    lean = np.sum(spots, axis=0) if spots else np.zeros(3)
    # Somebody stands south and east of a pier about which nothing is to be seen.
    from_y = (0.0, 1.0) if lean[1] > 1.0 else (0.0, -1.0)
    from_x = (-1.0, 0.0) if lean[0] < -1.0 else (1.0, 0.0)
    return _side(pier, from_y), _side(pier, from_x)


def _side(pier: Pier, toward: tuple[float, float]) -> Side:
    box = bounds(pier.concrete.outline.outer)
    x, y = toward
    across = sorted(-y * px + x * py for px, py in ((box.left, box.low), (box.right, box.high)))
    low, high = pier.concrete.bottom, 0.0
    for part in pier.parts:
        if part.role is Role.STANDING:
            continue
        z = _reach(part.solid)
        if part.role is Role.GRADE_BEAM:
            low = min(low, z[0])
        else:
            low, high = min(low, z[0] - 20.0), max(high, z[1])
    return Side(toward, across[0], across[1], low, high)


def _reach(solid: Swept | Prism) -> tuple[float, float]:
    if isinstance(solid, Swept):
        zs = solid.knots[:, 2]
        return float(zs.min()) - solid.radius, float(zs.max())
    ends = solid.motion.points(np.array([[0.0, 0.0, solid.bottom], [0.0, 0.0, solid.top]]))[:, 2]
    return float(ends.min()), float(ends.max())


def side_parts(pier: Pier, view: View, side: Side) -> Iterator[Mark]:
    """The concrete, the grade beam under it, all that is in them, far to near; what comes later in dashes."""
    left, right = side.left / view.per + view.zero[0], side.right / view.per + view.zero[0]
    window = Box(left - _PAST, -1e6, right + _PAST, 1e6)
    tone = role_look(Role.CONCRETE).color
    for part in pier.parts:
        if part.role is Role.GRADE_BEAM and isinstance(part.solid, Prism):
            ring = clipped(silhouette(part.solid, view)[0], window)
            if len(ring):
                look = part_look(part, pier)
                yield Area(Layer.TONE, (points_of(ring),), look.color, "#000000", 0.3, Pattern.STONES, 2.2)
    bottom = pier.concrete.bottom
    leg = pier.concrete.top_chamfer
    corners = np.array(
        [
            [side.left, bottom],
            [side.right, bottom],
            [side.right, -leg],
            [side.right - leg, 0.0],
            [side.left + leg, 0.0],
            [side.left, -leg],
        ]
    )
    yield Area(Layer.TONE, (points_of(corners / view.per + np.array(view.zero)),), tone, "#000000", 0.5)
    found = [
        at
        for part in pier.parts
        if part.stage is not Stage.SET and (part.role in _SOLID or part.role in (Role.TEMPLATE, Role.NUT))
        for at in solid_marks(part, part_look(part, pier), view)
    ]
    yield from (mark for _, mark in sorted(found, key=lambda at: at[0]))
    for part in pier.parts:
        if part.stage is Stage.SET and isinstance(part.solid, Prism) and not part.fluid:
            ring = clipped(silhouette(part.solid, view)[0], window)
            if len(ring):
                yield dashed([ring])


def side_words(draft: Draft, pier: Pier, view: View, side: Side, room: Box, units: Units) -> None:
    """The title, the levels of concrete and ties, the rods' embedment and projection."""
    x, y = side.toward
    name = wind(pier.frame, x, y)
    draft.write(room.left, room.high - 3.4, f"Seen from the {name}", 2.6, bold=True)
    x = room.left + width(f"Seen from the {name}", 2.6, bold=True) + 2.5
    draft.write(x, room.high - 3.4, words_of_scale(view.per, units).partition(" ")[0], 2.0)
    left, right = side.left / view.per + view.zero[0], side.right / view.per + view.zero[0]
    _levels(draft, pier, view, right, room, units)
    _chain(draft, pier, view, left, units)


def name_parts(draft: Draft, pier: Pier, view: View, side: Side) -> None:
    """What stands over the concrete by its name, and whether it comes after the pour."""
    right = side.right / view.per + view.zero[0]
    for part in pier.parts:
        if part.role in (Role.BEAM, Role.PLATE, Role.TEMPLATE) and isinstance(part.solid, Prism):
            ring = silhouette(part.solid, view)[0]
            at = (min(float(ring[:, 0].max()), right + _PAST), float(ring[:, 1].max()))
            later = ", set later" if part.stage is Stage.SET else ""
            draft.beside(at, f"{part.label}{later}", 0.4, 1.8)


def _levels(draft: Draft, pier: Pier, view: View, right: float, room: Box, units: Units) -> None:
    """On the right: elevations of top and bottom, and how far each tie lies below the top of concrete."""
    spec = pier.spec
    bottom = pier.concrete.bottom
    # The figure under its word: the longest would reach into what stands beside.
    rows = [(0.0, "top", True), (-1e-6, show_length(spec.top, units), True)]
    rows += [(bottom, "bottom", True), (bottom - 1e-6, show_length(spec.bottom, units), True)]
    ties = sorted((level for level in _tie_levels(pier)), reverse=True)
    room_for = -bottom / view.per / (1.5 * HEIGHT)
    if len(ties) > room_for - 3:
        ties = ties[: max(2, int(room_for / 3))] + ties[-1:]
    rows += [(level, show_length(-level, units), False) for level in ties]
    rows.sort()
    places = [level / view.per + view.zero[1] for level, _, _ in rows]
    pitch = 1.5 * HEIGHT
    middles = pooled(places, [pitch] * len(rows))
    for i in range(len(rows)):  # never up into the title
        middles[-1 - i] = min(middles[-1 - i], room.high - HIGH + 0.5 - i * pitch)
    for place, aside, (_, words, bold) in zip(places, middles, rows, strict=True):
        draft.add(Line(Layer.DIMENSIONS, (right + 0.6, place), (right + 1.8, place)))
        draft.add(Line(Layer.DIMENSIONS, (right + 1.8, place), (right + 3.4, aside)))
        draft.add(
            Text(
                Layer.DIMENSIONS, (right + 3.9, aside - HEIGHT / 2.0), words, HEIGHT * 0.95, "left", 0.0, bold
            )
        )


def _tie_levels(pier: Pier) -> list[float]:
    """z of the center of each closed tie's upper end, mm."""
    found: list[float] = []
    for part in pier.parts:
        if part.role in (Role.TIE, Role.HOOP) and isinstance(part.solid, Swept):
            level = float(part.solid.knots[:, 2].max())
            if all(abs(level - other) > part.solid.radius for other in found):
                found.append(level)
    return found


def _chain(draft: Draft, pier: Pier, view: View, left: float, units: Units) -> None:
    """On the left: from the bearing of the rods up to the top of concrete, and on to the rods' ends."""
    rods, spec = rods_of(pier), pier.spec.seat.rods
    zero = view.zero[1]
    bottom = pier.concrete.bottom
    if rods and spec is not None:
        levels = [-spec.embedment, 0.0, spec.projection]
        words = [show_length(spec.embedment, units), show_length(spec.projection, units)]
        chain(draft, [z / view.per + zero for z in levels], words, left, left - 3.4, upright=True)
    chain(
        draft,
        [bottom / view.per + zero, zero],
        [show_length(-bottom, units)],
        left,
        left - 12.5,
        upright=True,
    )
