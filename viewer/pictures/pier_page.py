"""A page for a pier: its plan, two elevations, a view in space, and what was found, numbered alike in all."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence

from msgspec import Struct

from models.lengths import Units, show_length
from models.motion import Motion
from models.part import Role
from models.pier import Pier
from models.winds import wind
from viewer.drawing.layers import Layer
from viewer.drawing.letters import PITCH, width, wrapped
from viewer.drawing.marks import Area, Box, Image, Point
from viewer.drawing.page import Draft, Page, scale_for
from viewer.legend.looks import coating_of, part_look
from viewer.legend.spots import Watch
from viewer.paper.title import Title, draw_frame
from viewer.pictures import pier_plan, pier_side
from viewer.pictures.flags import flag_spots, ring_spots
from viewer.pictures.markers import flag, numbered, ring
from viewer.pictures.projection import RIM, View, from_above, from_side, rim
from viewer.scene import cameras

_HEAD = 10.5
_SIDE_WIDTH = 55.0
"""mm: room for each elevation."""
_LIST, _SMALL = 2.1, 1.7


class Solid(Struct, frozen=True, eq=False):
    """The view in space. image: a PNG file, None where it could not be made, then why; spots: where the
    numbers of findings lie in it, in shares of its width and height from its lower left corner."""

    image: bytes | None
    why: str = ""
    spots: tuple[tuple[int, Point], ...] = ()


Space = Callable[[float, float], Solid]


def pier_page(
    pier: Pier, watch: Sequence[Watch], title: Title, size: tuple[float, float], units: Units, space: Space
) -> Page:
    """The page of a pier, upright; space: makes the view in space, mm wide and high."""
    draft = Draft(*size)
    room = draw_frame(draft, title)
    _head(draft, pier, watch, room, units)
    top = room.high - _HEAD
    deep = min(107.0, 0.5 * (top - room.low))
    plan = Box(room.left, top - deep, room.left + 0.54 * (room.right - room.left), top)
    corner = Box(plan.right + 3.0, plan.low, room.right, top)
    lower = Box(room.left, room.low, room.right, plan.low - 1.5)
    first = Box(lower.left, lower.low, lower.left + _SIDE_WIDTH, lower.high)
    second = Box(first.right + 1.0, lower.low, first.right + 1.0 + _SIDE_WIDTH, lower.high)
    words = Box(second.right + 3.0, lower.low, lower.right, lower.high)
    views = [_plan_view(pier, plan, units)]
    pair = pier_side.sides(pier, watch)
    per = max(_side_scale(side, first, units) for side in pair)
    views += [_side_view(side, box, per) for side, box in zip(pair, (first, second), strict=True)]
    draft.add(*pier_plan.plan_parts(pier, views[0], watch))
    for side, view in zip(pair, views[1:], strict=True):
        draft.add(*pier_side.side_parts(pier, view, side))
    both = Box(first.left, first.low, second.right + 1.0, first.high)
    rooms = ((plan, "plan"), (both, "first elevation"), (both, "second elevation"))
    shown = [(view, box, name) for view, (box, name) in zip(views, rooms, strict=True)]
    ring_spots(draft, pier, watch, shown)
    pier_plan.plan_words(draft, pier, views[0], plan, units)
    for side, view, box in zip(pair, views[1:], (first, second), strict=True):
        pier_side.side_words(draft, pier, view, side, box, units)
    pier_side.name_parts(draft, pier, views[1], pair[0])
    unplaced = flag_spots(draft, pier, watch, shown)
    _space(draft, watch, corner, space)
    _told(draft, pier, watch, words, unplaced)
    return draft.page()


def _head(draft: Draft, pier: Pier, watch: Sequence[Watch], room: Box, units: Units) -> None:
    draft.write(room.left, room.high - 7.5, pier.mark, 6.5, bold=True)
    spec = pier.spec
    turned = f", turned {spec.turn:g}\u00b0" if spec.turn else ""
    said = (
        f"{pier.kind}{turned}; top of concrete {show_length(spec.top, units)}, bottom "
        f"{show_length(spec.bottom, units)}"
    )
    x = room.left + width(pier.mark, 6.5, bold=True) + 5.0
    draft.write(x, room.high - 4.0, said, 2.4)
    count = len(watch)
    told = "Nothing found by this check." if not count else f"{count} flagged, numbered as in the report."
    draft.write(x, room.high - 8.2, told, 2.4, bold=bool(count))


def _plan_view(pier: Pier, room: Box, units: Units) -> View:
    extent = pier_plan.plan_extent(pier)
    inner = Box(
        room.left + pier_plan.LEFT,
        room.low + pier_plan.LOW,
        room.right - pier_plan.RIGHT,
        room.high - pier_plan.HIGH,
    )
    wide, high = extent.right - extent.left, extent.high - extent.low
    per = scale_for(wide, high, (inner.right - inner.left, inner.high - inner.low), units)
    x = (inner.left + inner.right) / 2.0 - (extent.left + extent.right) / 2.0 / per
    y = (inner.low + inner.high) / 2.0 - (extent.low + extent.high) / 2.0 / per
    return from_above(per, (x, y))


def _side_scale(side: pier_side.Side, room: Box, units: Units) -> float:
    wide = room.right - room.left - pier_side.LEFT - pier_side.RIGHT
    high = room.high - room.low - pier_side.LOW - pier_side.HIGH
    return scale_for(side.right - side.left, side.high - side.low, (wide, high), units)


def _side_view(side: pier_side.Side, room: Box, per: float) -> View:
    x = (room.left + pier_side.LEFT + room.right - pier_side.RIGHT) / 2.0 - (
        side.left + side.right
    ) / 2.0 / per
    y = room.high - pier_side.HIGH - side.high / per
    return from_side(side.toward, per, (x, y))


def _space(draft: Draft, watch: Sequence[Watch], room: Box, space: Space) -> None:
    """The view in space with its flags, or the sentence in its place."""
    x, y, _ = cameras.toward(cameras.View.FREE).tolist()
    title = f"In space, from the {wind(Motion.identity(), x, y)}"
    draft.write(room.left, room.high - 3.6, title, 2.6, bold=True)
    inner = Box(room.left + 1.0, room.low + 2.0, room.right - 1.0, room.high - 7.0)
    solid = space(inner.right - inner.left, inner.high - inner.low)
    if solid.image is None:
        draft.paragraph(room.left, room.high - 8.0, room.right - room.left, solid.why, 2.2)
        return
    draft.add(Image(Layer.PICTURE, inner, solid.image))
    empty = _empty(solid.image, inner)
    levels = {note.number: note.level for note in watch}
    spots = [
        (n, (inner.left + u * (inner.right - inner.left), inner.low + v * (inner.high - inner.low)))
        for n, (u, v) in solid.spots
    ]
    for number, at in spots:
        ring(draft, levels[number], at)
    for number, at in spots:
        flag(draft, levels[number], number, at, inner, empty)


def _empty(image: bytes, box: Box) -> Callable[[Box], bool]:
    """Whether nothing but white shows in a part of a picture that fills `box`."""
    import numpy as np
    import PIL.Image

    gray = np.asarray(PIL.Image.open(io.BytesIO(image)).convert("L"))
    high, wide = gray.shape
    across, up = wide / (box.right - box.left), high / (box.high - box.low)

    def empty(part: Box) -> bool:
        rows = slice(int((box.high - part.high) * up), int((box.high - part.low) * up) + 1)
        columns = slice(int((part.left - box.left) * across), int((part.right - box.left) * across) + 1)
        return bool(gray[rows, columns].min() == 255)

    return empty


def _told(
    draft: Draft, pier: Pier, watch: Sequence[Watch], room: Box, unplaced: dict[int, list[str]]
) -> None:
    """What was found in sentences, each with its marker, and the key to the colors under it."""
    top = room.high
    low = room.low + _key(draft, pier, room)
    draft.write(room.left, top - 3.6, "What was found", 2.6, bold=True)
    top -= 6.0
    wide = room.right - room.left - 7.0
    if not watch:
        draft.paragraph(
            room.left, top, wide + 7.0, "Nothing by this check. It is no structural design.", _LIST
        )
        return
    told = [_sentence(note, unplaced.get(note.number, ())) for note in watch]
    # Rather than leave one out, all are written smaller.
    heights = (_LIST, 0.85 * _LIST, 0.72 * _LIST)
    needs = {h: [_need(says, h, wide) for says in told] for h in heights}
    height = next((h for h in heights if sum(needs[h]) <= top - low), heights[-1])
    for n, (note, says) in enumerate(zip(watch, told, strict=True)):
        need = needs[height][n]
        if top - need < low + (4.0 if n < len(watch) - 1 else 0.0):
            rest = [note.number for note in watch[n:]]
            said = f"{rest[0]} to {rest[-1]}" if len(rest) > 1 else f"{rest[0]}"
            words = f"{said}: in the report of pierclear check."
            draft.paragraph(room.left, top, wide + 7.0, words, _LIST, True)
            return
        numbered(draft, note.level, note.number, (room.left + 2.8, top - 3.0))
        draft.paragraph(room.left + 7.0, top, wide, says, height)
        top -= need


def _sentence(note: Watch, missing: Sequence[str]) -> str:
    says = f"{note.level}: {note.says}" + (f" Answered: {note.answered}." if note.answered else "")
    return says + (f" (No room for its number in the {' and the '.join(missing)}.)" if missing else "")


def _need(says: str, height: float, wide: float) -> float:
    """mm of paper that a sentence takes, with its marker before it and a little room after it."""
    return max(len(list(wrapped(says, height, wide))) * height * PITCH, 6.4) + 1.2


_NAMES = {Role.HEAD: "foot of a rod", Role.EMBED: "cast in"}


def _key(draft: Draft, pier: Pier, room: Box) -> float:
    """A swatch for each kind of part that the pictures show; answers how high the key is, mm."""
    seen: dict[str, Area] = {}
    order = list(Role)
    for part in sorted(pier.parts, key=lambda part: order.index(part.role)):
        if part.role in (Role.GROUT, Role.STANDING, Role.NUT, Role.LEVELING_NUT, Role.SHIM, Role.WASHER):
            continue
        look = part_look(part, pier)
        coating = coating_of(part, pier)
        name = _NAMES.get(part.role, part.role.value) + ("" if coating == "plain" else f", {coating}")
        if part.role in (Role.PLATE, Role.BEAM):
            continue
        seen.setdefault(name, Area(Layer.STEEL, (), look.color, rim(look), max(RIM, 0.15), look.pattern, 0.9))
    count = len(seen)
    rows = (count + 1) // 2
    left_out = f"Without room in the views: {', '.join(dict.fromkeys(draft.unplaced))}."
    more = list(wrapped(left_out, _SMALL, room.right - room.left)) if draft.unplaced else []
    high = 4.4 * rows + 10.0 + len(more) * _SMALL * PITCH
    y = room.low + high - 4.0
    draft.write(room.left, y, "Key", 2.2, bold=True)
    y -= 4.6
    half = (room.right - room.left) / 2.0
    for n, (name, area) in enumerate(seen.items()):
        x, low = room.left + half * (n % 2), y - 4.4 * (n // 2)
        corners = ((x, low - 0.4), (x + 5.0, low - 0.4), (x + 5.0, low + 2.4), (x, low + 2.4))
        draft.add(Area(area.layer, (corners,), area.fill, area.rim, area.pen, area.pattern, area.pitch))
        draft.write(x + 6.4, low, name, 1.9)
    dashed = "Dashed: comes after the pour, or lies over or under the cut."
    for n, line in enumerate(reversed([dashed, *more])):
        draft.write(room.left, room.low + 0.6 + n * _SMALL * PITCH, line, _SMALL)
    return high
