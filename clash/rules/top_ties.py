"""The group of ties around the rods at the top."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace

from clash.gap_table import Face, Index
from clash.measures.hoops import lap_of
from clash.measures.levels import Level, levels, swept
from clash.measures.straight import runs
from clash.needs.need import Need
from clash.needs.ties import TopTies
from clash.pier_view import PierView
from clash.rule import EPSILON, DoesNotApply, Measured, rule
from models.lengths import Units, show_gap
from models.outline import Loop, circle
from models.part import ANCHORS, Role
from models.shapes.rings import encloses


@rule(
    id="top ties",
    title="ties around the rods at the top",
    source="the rule book (ACI 318-19 10.7.6.1.5)",
)
def top_ties(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Whether enough ties near the top go round the rods and enough verticals, and how deep the last lies.

    The depth is that of the tie's upper end, to its underside or, where the site says so, to its center.
    Where the two disagree about the limit the finding tells both.
    """
    stacks, rods = levels(view), np.flatnonzero(view.roles(*ANCHORS))
    if not stacks or not len(rods):
        yield DoesNotApply("no rods within ties")
        return
    group = view.book.top_ties(float(view.nominal[stacks[0].tie]))
    if view.book.top_ties(1e3) is None:
        yield DoesNotApply(f"{view.book.title} has no figure for it")
        return
    if group is None:
        group = view.book.top_ties(1e3)
        assert group is not None
        yield _counted(stacks[0].tie, 0, "ties thick enough to count", group.count)
        return
    yield from _around(view, stacks[0], rods, group)
    count = round(group.count.value or 0.0)
    if len(stacks) < count:
        yield _counted(stacks[0].tie, len(stacks), "ties", group.count)
    else:
        yield _depth(view, stacks[count - 1], group)


def _around(view: PierView, top: Level, rods: Index, group: TopTies) -> Iterator[Measured]:
    """Rods and verticals inside the highest tie, seen from above."""
    ring = _ring(view, top.tie)
    centers = runs([view.parts[i] for i in rods]).at(top.center)
    out = np.flatnonzero(~encloses(ring, centers))
    first = int(rods[out[0]] if len(out) else rods[0])
    inside = "must go round all rods"
    at = np.append(centers[out[0] if len(out) else 0], top.center)[None]
    yield Measured(
        np.array([first], dtype=np.intp),
        np.array([top.tie], dtype=np.intp),
        np.array([float(len(out))]),
        (Need(0.0, f"{group.within.source}: ties {inside}"),),
        at,
        says="{a} stands outside of {b} ({measured} in all): the ties at the top must go round the rods "
        "({source}).",
        limit="most",
        unit="rods",
        tags=("outside",),
    )
    verticals = np.flatnonzero(view.roles(Role.VERTICAL))
    count = 0
    if len(verticals):
        tall = runs([view.parts[i] for i in verticals])
        reach = tall.high[:, 2] >= top.under - EPSILON
        count = int(np.count_nonzero(encloses(ring, tall.at(top.center)) & reach))
    yield Measured(
        np.array([top.tie], dtype=np.intp),
        np.array([top.tie], dtype=np.intp),
        np.array([float(count)]),
        (group.verticals,),
        at,
        says="{a} goes round {measured}, {required} needed where rods are cast ({source}).",
        unit="verticals",
        tags=("verticals",),
    )


def _depth(view: PierView, last: Level, group: TopTies) -> Measured:
    to_center = view.pier.spec.required.top_ties_to == "center"
    depth = -(last.center if to_center else last.under)
    says = "{a}, the last that counts around the rods, lies {measured} below the top of concrete"
    says += " to its center" if to_center else " to its underside"
    says += ", at most {required} allowed ({source})."
    if not to_center and -last.center <= (group.within.value or 0.0) + EPSILON < depth:
        center = show_gap(-last.center, Units(view.site.site.units), "measured most")
        says += f" To its center it is {center}, which would do; ask the engineer which is meant, and say so "
        says += "(required: top ties to: center)."
    return Measured(
        np.array([last.tie], dtype=np.intp),
        np.array([int(Face.TOP)], dtype=np.intp),
        np.array([depth]),
        (replace(group.within, source=f"{group.within.source}: {round(group.count.value or 0)} such ties"),),
        np.array([[0.0, 0.0, last.center]]),
        says=says,
        limit="most",
    )


def _counted(tie: int, count: int, what: str, need: Need) -> Measured:
    return Measured(
        np.array([tie], dtype=np.intp),
        np.array([tie], dtype=np.intp),
        np.array([float(count)]),
        (need,),
        np.full((1, 3), np.nan),
        says="There are {measured} around the rods, {required} needed near the top ({source}).",
        unit=what,
        tags=("count",),
    )


def _ring(view: PierView, tie: int) -> Loop:
    """The centerline of a tie or hoop as a ring of the plan, closed round the corner of its hooks."""
    solid = swept(view, tie)
    if view.parts[tie].role is Role.HOOP:
        lap = lap_of(solid)
        return circle(2.0 * lap.radius, (float(lap.center[0]), float(lap.center[1])))
    hooks = np.flatnonzero(solid.angles > 0.0)[[0, -1]]
    run = slice(int(hooks[0]) + 1, int(hooks[1]))
    center, end, begin = solid.centers[hooks[0], :2], solid.knots[hooks[1], :2], solid.knots[hooks[0] + 1, :2]
    (ax, ay), (bx, by) = end - center, begin - center
    return Loop(
        np.vstack([solid.knots[run, :2], end]),
        np.append(
            np.where(solid.angles[run] > 0.0, solid.angles[run], 0.0),
            np.arctan2(ax * by - ay * bx, ax * bx + ay * by),
        ),
        np.vstack([solid.centers[run, :2], center]),
    )
