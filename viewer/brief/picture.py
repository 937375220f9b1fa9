"""The picture of a pier: from above and from the side, with the findings numbered where they are."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from models.motion import Array
from models.part import ANCHORS, Part, Role
from models.pier import Pier
from models.shapes.mesh import stations
from models.solids import Prism, Swept
from viewer.drawing.layers import Layer
from viewer.drawing.marks import Box, Circle, Path
from viewer.drawing.page import Draft
from viewer.paper.plan import north_arrow
from viewer.spots import Watch

_LAYERS = {Role.TIE: Layer.DIMENSIONS, Role.HOOP: Layer.DIMENSIONS, Role.CROSSTIE: Layer.DIMENSIONS}
_SHOWN = frozenset(
    {
        Role.VERTICAL,
        Role.DOWEL,
        Role.TIE,
        Role.HOOP,
        Role.CROSSTIE,
        Role.EMBED,
        Role.PLATE,
        Role.TEMPLATE,
        *ANCHORS,
    }
)
View = Callable[[Array], Array]


def draw_picture(draft: Draft, pier: Pier, watch: Sequence[Watch], room: Box) -> None:
    """The pier from above (left) and from its low y side (right), to fit `room`, mm; not to scale."""
    middle = room.left + 0.5 * (room.right - room.left)
    _view(draft, pier, watch, Box(room.left, room.low, middle - 4.0, room.high), _plan, "From above")
    _view(draft, pier, watch, Box(middle + 4.0, room.low, room.right, room.high), _side, "From the side")
    north_arrow(draft, room.left + 8.0, room.high - 9.0, pier.frame, 4.5)


def _plan(points: Array) -> Array:
    flat: Array = points[..., :2]
    return flat


def _side(points: Array) -> Array:
    flat: Array = points[..., [0, 2]]
    return flat


def _view(draft: Draft, pier: Pier, watch: Sequence[Watch], room: Box, view: View, title: str) -> None:
    lines = [(part, line) for part in pier.parts if part.role in _SHOWN for line in _lines(part, view)]
    edges = _concrete(pier, view)
    every = np.concatenate([*edges, *(line for _, line in lines)])
    low, high = every.min(axis=0), every.max(axis=0)
    space = Box(room.left + 10.0, room.low + 6.0, room.right - 10.0, room.high - 8.0)
    size = np.maximum(high - low, 1.0)
    per = float(max(size[0] / (space.right - space.left), size[1] / (space.high - space.low)))
    center = np.array([(space.left + space.right) / 2.0, (space.low + space.high) / 2.0])

    def on(points: Array) -> list[tuple[float, float]]:
        placed = (points - (low + high) / 2.0) / per + center
        return [draft.at(x, y) for x, y in placed.tolist()]

    draft.write((room.left + room.right) / 2.0, room.low, title, 2.2, "center")
    for edge in edges:
        draft.add(Path(Layer.OUTLINE, tuple(on(edge))))
    for part, line in lines:
        draft.add(Path(_LAYERS.get(part.role, Layer.BARS), tuple(on(line))))
    for note in watch:
        if note.at is not None:
            local = pier.frame.inverse().points(np.array(note.at))
            (at,) = on(view(local[None]))
            draft.add(Circle(Layer.HOLD, at, 1.6 * draft.per))
            draft.beside(at, str(note.number), 1.8 * draft.per, 3.0, bold=True)


def _concrete(pier: Pier, view: View) -> list[Array]:
    ring = pier.concrete.outline.outer.polyline(1.0)
    ring = np.vstack([ring, ring[:1]])
    if view is _plan:
        return [ring]
    left, right = float(ring[:, 0].min()), float(ring[:, 0].max())
    bottom = pier.concrete.bottom
    return [np.array([[left, bottom], [right, bottom], [right, 0.0], [left, 0.0], [left, bottom]])]


def _lines(part: Part, view: View) -> list[Array]:
    """What of a part is drawn, in the view's plane: center lines of bars, outlines of plates."""
    solid = part.solid
    if isinstance(solid, Swept):
        points, _ = stations(solid, 2.0)
        line = view(points)
        if view is _plan and float(np.ptp(line, axis=0).max()) < 1.0:  # a plumb bar from above is a circle
            turn = np.linspace(0.0, 2.0 * np.pi, 17)
            return [line[0] + solid.radius * np.column_stack([np.cos(turn), np.sin(turn)])]
        return [line]
    assert isinstance(solid, Prism)
    ring = solid.outline.outer.polyline(1.0)
    if view is _plan:
        closed = np.vstack([ring, ring[:1]])
        level = np.column_stack([closed, np.full(len(closed), solid.top)])
        return [view(solid.motion.points(level))]
    corners = solid.motion.points(np.column_stack([ring, np.full(len(ring), solid.top)]))
    left, right = float(corners[:, 0].min()), float(corners[:, 0].max())
    low = float(solid.motion.points(np.array([0.0, 0.0, solid.bottom]))[2])
    high = float(corners[0, 2])
    return [np.array([[left, low], [right, low], [right, high], [left, high], [left, low]])]
