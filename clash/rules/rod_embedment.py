"""Embedment of rods and bar anchors."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, cos, sin, tau

import numpy as np

from clash.measures.on_rods import levels, worst
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.motion import Array
from models.part import ANCHORS, Role
from models.solids import Swept


@rule(
    id="rod embedment",
    title="embedment of rods, in the pier's own concrete",
    source="as specified: the site's required: rod embedment, else seat: rods: embedment",
)
def rod_embedment(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """How deep the bearing side of each rod's foot lies below the top of concrete, and not below the bottom.

    The bearing side is the upper side of the nut or plate at its foot; without one, the lowest point of a
    hook or of the rod. What reaches out of the pier's bottom holds nothing of it. A pier's rods are one
    measurement, the shallowest: they are of one length.
    """
    rods = np.flatnonzero(view.roles(*ANCHORS))
    spec = view.pier.spec.seat.rods
    if not len(rods) or spec is None:
        yield DoesNotApply("no rods")
        return
    own = view.pier.spec.required.rod_embedment
    field = "seat: rods: embedment" if own is None else "required: rod embedment"
    foot = np.array([_foot(view, int(i)) for i in rods])
    depth = np.minimum(-foot[:, 2], -view.pier.concrete.bottom)
    least = [worst(depth)]
    yield Measured(
        rods[least],
        rods[least],
        depth[least],
        (Need(spec.embedment if own is None else own, f"as specified, {field}"),),
        foot[least],
        says="{a} is embedded {measured} in the concrete of the pier, {required} needed ({source}).",
    )


def _foot(view: PierView, rod: int) -> Array:
    """(3,) mm, where a rod bears at its foot."""
    heads = np.flatnonzero(view.touching[rod] & view.roles(Role.HEAD))
    solid = view.parts[rod].solid
    assert isinstance(solid, Swept)
    low = _lowest(solid)
    if len(heads):
        low[2] = float(np.max(levels(view)[heads, 1]))
    return low


def _lowest(bar: Swept) -> Array:
    """(3,) mm, the lowest point of a bar: of its flat end where it is straight, else of its skin."""
    end: Array = bar.knots[int(np.argmin(bar.knots[:, 2]))].copy()
    if not bar.angles.any():
        return end
    lowest: Array = end - np.array([0.0, 0.0, bar.radius])
    for k in np.flatnonzero(bar.angles):
        arm = bar.knots[k] - bar.centers[k]
        ahead = np.cross(bar.axes[k], arm)
        turn = (atan2(ahead[2], arm[2]) + tau / 2.0) % tau
        if turn <= bar.angles[k]:
            point = bar.centers[k] + cos(turn) * arm + sin(turn) * ahead
            point[2] -= bar.radius
            lowest = point if point[2] < lowest[2] else lowest
    return lowest
