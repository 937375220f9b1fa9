"""The picture of a pier on its card: plan and elevation as in its page, numbered alike, without figures."""

from __future__ import annotations

from collections.abc import Sequence

from models.pier import Pier
from models.winds import wind
from viewer.drawing.marks import Box
from viewer.drawing.page import Draft
from viewer.legend.spots import Watch
from viewer.paper.plan import north_arrow
from viewer.pictures.flags import flag_spots, ring_spots
from viewer.pictures.pier_plan import plan_extent, plan_parts
from viewer.pictures.pier_side import side_parts, sides
from viewer.pictures.projection import from_above, from_side

_AROUND, _FOOT, _NORTH = 9.0, 6.0, 8.0
"""mm of paper round a view, for its flags; under it, for its title; at its left, for the north arrow."""


def draw_picture(draft: Draft, pier: Pier, watch: Sequence[Watch], room: Box) -> None:
    """The pier from above (left) and from the side that shows its flagged spots (right); not to scale.

    draft: a page at 1:1; room: mm on paper.
    """
    middle = room.left + 0.55 * (room.right - room.left)
    left = Box(room.left + _NORTH, room.low, middle - 2.0, room.high)
    right = Box(middle + 2.0, room.low, room.right, room.high)
    extent = plan_extent(pier)
    across, up = extent.right - extent.left, extent.high - extent.low
    per, (x, y) = _fitted(across, up, left)
    plan = from_above(
        per, (x - (extent.left + extent.right) / 2.0 / per, y - (extent.low + extent.high) / 2.0 / per)
    )
    side, _ = sides(pier, watch)
    per, (x, y) = _fitted(side.right - side.left, side.high - side.low, right)
    level = from_side(
        side.toward, per, (x - (side.left + side.right) / 2.0 / per, y - (side.low + side.high) / 2.0 / per)
    )
    draft.add(*plan_parts(pier, plan, watch), *side_parts(pier, level, side))
    for box, words in ((left, "From above"), (right, f"From the {wind(pier.frame, *side.toward)}")):
        draft.write((box.left + box.right) / 2.0, box.low + 0.8, words, 3.2, "center")
    north_arrow(draft, room.left + 7.5, room.high - 9.0, pier.frame, 4.5)
    views = [(plan, left, ""), (level, right, "")]
    ring_spots(draft, pier, watch, views)
    flag_spots(draft, pier, watch, views)


def _fitted(across: float, up: float, room: Box) -> tuple[float, tuple[float, float]]:
    """mm of the pier in a mm of paper, and the middle of what is drawn."""
    space = Box(room.left + _AROUND, room.low + _FOOT, room.right - _AROUND, room.high - 2.0)
    per = max(across / (space.right - space.left), up / (space.high - space.low))
    return per, ((space.left + space.right) / 2.0, (space.low + space.high) / 2.0)
