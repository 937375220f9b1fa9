"""Washers that cover the holes that they lie over."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.holes import undrilled
from clash.measures.on_rods import Bearing, bearings, levels, prism, worst
from clash.measures.plan_fit import depth_in, in_pier
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import Role

_COVERED = Need(0.0, "geometry: a washer bears all round its hole")


@rule(
    id="washer over hole",
    title="washers that cover their holes",
    source="geometry: a washer, or a nut without one, bears all round its hole",
)
def washer_over_hole(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """How far each washer reaches beyond the rim of the hole below it, where it reaches least.

    A nut without a washer counts by its flats; a leveling nut without one, which only carries the plate until
    the grout does, by its corners. Like things on one plate or beam are one measurement, the one that covers
    least.
    """
    # Where nobody said how large the holes of a beam are, the rule on play in holes tells it.
    found = [bearing for bearing in bearings(view) if not undrilled(view, bearing.on.part)]
    if not found:
        yield DoesNotApply("no washers over holes")
        return
    alike: dict[tuple[int, Role], list[Bearing]] = {}
    for bearing in found:
        alike.setdefault((bearing.on.part, view.parts[bearing.part].role), []).append(bearing)
    a, b, over, at = [], [], [], []
    for (on, _), group in alike.items():
        reach = np.array([_beyond(view, bearing) for bearing in group])
        least = worst(reach)
        a.append(group[least].part)
        b.append(on)
        over.append(float(reach[least]))
        center = group[least].on.centers[group[least].hole]
        at.append([center[0], center[1], levels(view)[group[least].part, 0]])
    yield Measured(
        np.array(a, dtype=np.intp),
        np.array(b, dtype=np.intp),
        np.array(over),
        (_COVERED,),
        np.array(at, dtype=float),
        says="{a} reaches {measured} beyond the rim of its hole in {b}, {required} needed ({source}).",
        says_below_zero="{a} leaves {past} of its hole in {b} open at the rim ({source}).",
    )


def _beyond(view: PierView, bearing: Bearing) -> float:
    """mm from the rim of the hole to the edge of what covers it; negative where it leaves the hole open."""
    part = view.parts[bearing.part]
    ring = in_pier(prism(part), prism(part).outline.outer)
    center = bearing.on.centers[bearing.hole, :2]
    if part.role is Role.LEVELING_NUT:
        middle = ring.starts.mean(axis=0)
        corners = float(np.max(np.linalg.norm(ring.starts - middle, axis=1)))
        return corners - float(np.linalg.norm(center - middle) + bearing.on.radii[bearing.hole])
    return float(depth_in(ring, center[None, :])[0] - bearing.on.radii[bearing.hole])
