"""Room to turn a nut."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

import numpy as np

from clash.gap_table import Index
from clash.measures.on_rods import levels, prism
from clash.measures.plan_fit import depth_in, in_pier
from clash.needs.need import Need, site_first
from clash.pier_view import Mask, PierView
from clash.rule import EPSILON, DoesNotApply, Measured, rule
from models.catalogue import INCH
from models.motion import Array
from models.part import ANCHORS, Part, Role, Stage
from models.shapes.spine import cross
from models.solids import Swept

_WRENCH = Need(INCH / 4.0, "practice: 1/4 in round the corners of a nut, for a wrench")
_NUTS = (Role.NUT, Role.LEVELING_NUT)


@rule(
    id="nut room",
    title="room to turn the nuts on the rods",
    source="the site's required: nut room, else practice: 1/4 in round the corners of a nut, for a wrench",
)
def nut_room(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """From the circle of a nut's corners to whatever stands beside it at its height, in plan.

    Another nut counts by the circle of its corners too, so that no position of either matters. Nuts of the
    template are left out: they are run by hand before anything else is there. What overlaps a nut is told by
    the rule on overlaps.
    """
    nuts = np.flatnonzero(view.roles(*_NUTS) & view.which(lambda part: part.stage is Stage.SET))
    if not len(nuts):
        yield DoesNotApply("no nuts on rods")
        return
    need = site_first(view.pier.spec.required.nut_room, "required: nut room", _WRENCH)
    assert need is not None
    beside = view.which(lambda part: not part.fluid and part.stage is not Stage.POUR)
    beside &= ~view.roles(Role.CONCRETE, Role.GRADE_BEAM)
    turning = {i: _turning(view.parts[i]) for i in nuts.tolist()}
    tops = np.array([_highest(part, top) for part, top in zip(view.parts, levels(view)[:, 1], strict=True)])
    a, b, room, at = [], [], [], []
    for i, (center, corners) in turning.items():
        low, high = levels(view)[i].tolist()
        for j in _beside(view, i, beside, tops).tolist():
            if j in turning:
                if j < i:
                    continue
                point, other = turning[j]
                apart = hypot(*(point - center).tolist()) - other
            else:
                found = _apart(view.parts[j], center, low, high)
                if found is None:
                    continue
                apart, point = found
            a.append(i)
            b.append(j)
            room.append(apart - corners)
            at.append([*((center + point) / 2.0).tolist(), (low + high) / 2.0])
    yield Measured(
        np.array(a, dtype=np.intp),
        np.array(b, dtype=np.intp),
        np.array(room, dtype=float),
        (need,),
        np.array(at, dtype=float).reshape(-1, 3),
        says="{a}: {measured} between its turning corners and {b} {where}, {required} needed ({source}).",
        says_below_zero="{a} cannot be turned: its corners run {past} into {b} {where}, {required} of room "
        "needed ({source}).",
    )


def _beside(view: PierView, nut: int, beside: Mask, tops: Array) -> Index:
    """What stands at a nut's height: not its rod, nor what it bears on, nor what overlaps it."""
    low, high = levels(view)[nut]
    row = view.rows[nut, : len(view.parts)]
    overlaps = (row >= 0) & (view.gaps.gap[row] < -EPSILON) if len(view.gaps) else np.zeros(len(row), bool)
    there = beside & (levels(view)[:, 0] < high - EPSILON) & (tops > low + EPSILON)
    there[nut] = False
    # A rod that has a nut there is inside of that nut.
    within = view.roles(*ANCHORS) & np.any(view.touching[there & view.roles(*_NUTS)], axis=0)
    keep = there & ~view.touching[nut] & ~overlaps & ~within
    return np.flatnonzero(keep)


def _highest(part: Part, top: float) -> float:
    """mm: an elevation that nothing of a part lies above; top: of its axis' knots, or of its faces."""
    solid = part.solid
    if top > 0.0 and isinstance(solid, Swept) and solid.angles.any():
        rise = np.linalg.norm(solid.knots[:-1] - solid.centers, axis=1) + solid.centers[:, 2]
        return max(top, float(np.nanmax(rise)))
    return top


def _turning(nut: Part) -> tuple[Array, float]:
    """Center (2,) and radius of the circle that a nut's corners run on, mm."""
    corners = in_pier(prism(nut), prism(nut).outline.outer).starts
    center: Array = corners.mean(axis=0)
    return center, float(np.max(np.linalg.norm(corners - center, axis=1)))


def _apart(other: Part, center: Array, low: float, high: float) -> tuple[float, Array] | None:
    """mm in plan from a nut's center to a part between two elevations, and a point (2,) of that part."""
    if not isinstance(other.solid, Swept):
        ring = in_pier(other.solid, other.solid.outline.outer)
        corner: Array = ring.starts[int(np.argmin(np.linalg.norm(ring.starts - center, axis=1)))]
        return -float(depth_in(ring, center[None, :])[0]), corner
    bar, found = other.solid, None
    for k, length in enumerate(bar.lengths.tolist()):
        point = _on_bend(bar, k, length, center, low, high) if bar.angles[k] else _on_straight(
            bar.knots[k], bar.knots[k + 1], center, low, high
        )  # fmt: skip
        if point is not None:
            apart = hypot(*(point - center).tolist()) - bar.radius
            if found is None or apart < found[0]:
                found = apart, point
    return found


def _on_straight(start: Array, end: Array, center: Array, low: float, high: float) -> Array | None:
    """(2,) mm: the point of a straight piece, between two elevations, that is nearest to a point in plan."""
    run = end - start
    first, last = 0.0, 1.0
    if abs(run[2]) > 1e-9:
        cuts = sorted(((low - start[2]) / run[2], (high - start[2]) / run[2]))
        first, last = max(0.0, cuts[0]), min(1.0, cuts[1])
    elif not low <= start[2] <= high:
        return None
    if first > last:
        return None
    length2 = float(run[:2] @ run[:2])
    share = float((center - start[:2]) @ run[:2]) / length2 if length2 > 1e-18 else first
    nearest: Array = start[:2] + min(max(share, first), last) * run[:2]
    return nearest


def _on_bend(bar: Swept, k: int, length: float, center: Array, low: float, high: float) -> Array | None:
    """(2,) mm: the like of a bend, by points on it half a millimeter apart."""
    arm = bar.knots[k] - bar.centers[k]
    turn = np.linspace(0.0, float(bar.angles[k]), int(2.0 * length) + 2)[:, None]
    ahead = cross(bar.axes[k : k + 1], arm[None, :])
    points = bar.centers[k] + np.cos(turn) * arm + np.sin(turn) * ahead
    points = points[(points[:, 2] >= low) & (points[:, 2] <= high), :2]
    if not len(points):
        return None
    nearest: Array = points[int(np.argmin(np.linalg.norm(points - center, axis=1)))]
    return nearest
