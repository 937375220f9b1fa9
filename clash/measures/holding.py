"""Which verticals a cage's ties hold: those that stand in a bend of a tie, a diamond or a crosstie."""

from __future__ import annotations

from functools import lru_cache
from math import degrees, tau

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from clash.gap_table import Index
from clash.measures.levels import Level, levels, shape_of, swept
from clash.pier_view import PierView
from models.motion import Array
from models.part import Role
from models.shapes.fitting import FITTING
from models.solids import Swept

Mask = NDArray[np.bool_]


class Held(Struct, frozen=True, eq=False):
    """The verticals along the ties of a pier, in order around it.

    bars: (n,) their indices, counterclockwise; apart: (n,) mm, clear distance from each to the next; angle:
    (n,) degrees, the sharpest corner of closed steel or hook that each stands in, at the level where that is
    least sharp, 180 where there is none; corner: (n,) whether each stands in a corner of its tie.
    """

    bars: Index
    apart: Array
    angle: Array
    corner: Mask


@lru_cache(maxsize=2)
def held(view: PierView) -> Held | None:
    """How the verticals of a cage of closed ties are held; None for hoops, and where there are no ties."""
    stacks = [level for level in levels(view) if view.parts[level.tie].role is Role.TIE]
    verticals = np.flatnonzero(view.roles(Role.VERTICAL))
    if not stacks or not len(verticals):
        return None
    along = verticals[view.touching[stacks[0].tie, verticals]]
    if not len(along):
        return None
    places = np.stack([swept(view, int(i)).knots[0, :2] for i in along])
    tie = swept(view, stacks[0].tie)
    middle = (tie.knots[:, :2].max(axis=0) + tie.knots[:, :2].min(axis=0)) / 2.0
    rel = places - middle
    order = np.argsort(np.round(np.arctan2(rel[:, 1], rel[:, 0]) % tau, 9))
    along, places = along[order], places[order]
    radius = view.nominal[along] / 2.0
    following = np.roll(np.arange(len(along)), -1)
    apart = np.linalg.norm(places[following] - places, axis=1) - radius - radius[following]
    sharp = _distinct_angles(view, stacks, places, radius)
    corner = _angles(tie, places, radius) < 180.0
    return Held(along, apart, sharp, corner)


def _distinct_angles(view: PierView, stacks: list[Level], places: Array, radius: Array) -> Array:
    """(n,) the sharpest bend at each bar, at the level where that is least sharp."""
    known: dict[tuple[object, ...], Array] = {}
    for level in stacks:
        shapes = tuple(shape_of(view, i) for i in level.parts)
        if shapes not in known:
            each = [_angles(swept(view, i), places, radius) for i in level.parts]
            known[shapes] = np.min(each, axis=0)
    return np.asarray(np.max(list(known.values()), axis=0))


def _angles(bar: Swept, places: Array, radius: Array) -> Array:
    """(n,) degrees inside the sharpest bend of a bar that each vertical stands in; 180 where in none.

    A vertical stands in a bend when it lies against the inside of it: less than the bar's diameter away from
    its arc, on the side of its center.
    """
    bends = np.flatnonzero(bar.angles > 0.0)
    center, start = bar.centers[bends, :2], bar.knots[bends, :2]
    sense = np.sign(bar.axes[bends, 2])
    arm, rel = start - center, places[:, None] - center
    bend = np.hypot(arm[:, 0], arm[:, 1])
    from_center = np.hypot(rel[..., 0], rel[..., 1])
    turn = np.arctan2(
        arm[:, 0] * rel[..., 1] - arm[:, 1] * rel[..., 0], arm[:, 0] * rel[..., 0] + arm[:, 1] * rel[..., 1]
    )
    turn = (turn * sense + 0.5) % tau - 0.5
    # A bar as thick as its bend stands at the center of the arc, which a tie's climb moves by some hundredths
    # of a millimeter: every direction of the arc is as near.
    faces = ((turn > -1e-6) & (turn < bar.angles[bends] + 1e-6)) | (from_center < FITTING)
    clear = bend - bar.radius - from_center - radius[:, None]
    near = faces & (clear < 2.0 * bar.radius) & (clear > -2.0 * bar.radius)
    inside = 180.0 - np.array([degrees(a) for a in bar.angles[bends]])
    return np.asarray(np.min(np.where(near, inside, 180.0), axis=1, initial=180.0))
