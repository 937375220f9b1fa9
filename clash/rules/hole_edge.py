"""Edge distance and spacing of the holes of a plate."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.holes import Holes, for_rods, holes
from clash.measures.on_rods import prism, worst
from clash.measures.plan_fit import depth_in, in_pier
from clash.needs.need import Need, site_first
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.motion import Array
from models.part import ANCHORS, Role


@rule(
    id="hole edge",
    title="distance from the holes of a plate to its edges",
    source="the site's required: hole edge, else the rule book (practice: AISC 360-16 Table J3.4)",
)
def hole_edge(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """From the center of each hole of a plate to its outline and to its other openings.

    A plate is one measurement, its hole that is nearest to an edge.
    """
    groups = _plates(view)
    need = _need(view, "hole_edge")
    if not groups or need is None:
        yield DoesNotApply("no plate with holes" if not groups else _nothing(view, "hole edge"))
        return
    for group in groups:
        edge = _to_edges(view, group)
        least = [worst(edge)]
        part = np.full(1, group.part, dtype=np.intp)
        yield Measured(
            part,
            part,
            edge[least],
            (need,),
            group.centers[least],
            says="{a}: {measured} from the center of a hole to its edge {plan}, {required} needed "
            "({source}).",
        )


@rule(
    id="hole spacing",
    title="spacing of the holes of a plate, center to center",
    source="the site's required: hole spacing, else the rule book (practice: AISC 360-16 J3.3)",
)
def hole_spacing(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Distance between the centers of the two holes of a plate that are nearest to each other."""
    groups = [group for group in _plates(view) if len(group.centers) > 1]
    need = _need(view, "hole_spacing")
    if not groups or need is None:
        yield DoesNotApply("no plate with two holes" if not groups else _nothing(view, "hole spacing"))
        return
    for group in groups:
        i, j = np.triu_indices(len(group.centers), 1)
        apart = np.linalg.norm(group.centers[i] - group.centers[j], axis=1)
        least = worst(apart)
        part = np.full(1, group.part, dtype=np.intp)
        yield Measured(
            part,
            part,
            apart[[least]],
            (need,),
            ((group.centers[i] + group.centers[j]) / 2.0)[[least]],
            says="{a}: {measured} between the centers of two holes {plan}, {required} needed ({source}).",
        )


def _plates(view: PierView) -> list[Holes]:
    return [g for g in holes(view) if view.parts[g.part].role is Role.PLATE and len(g.centers)]


def _need(view: PierView, field: str) -> Need | None:
    """What the site asks, else the book for the thickest rod; None without rods, or where neither has any."""
    rods = view.roles(*ANCHORS)
    own: float | None = getattr(view.pier.spec.required, field)
    published: Need | None = None
    if rods.any():
        published = getattr(view.book, field)(float(np.max(view.nominal[rods])))
    return site_first(own, f"required: {field.replace('_', ' ')}", published)


def _nothing(view: PierView, field: str) -> str:
    return f"{view.book.title} has no figure for it, and the site file gives none (required: {field})"


def _to_edges(view: PierView, group: Holes) -> Array:
    """(m,) mm from the center of each hole to the nearest edge of its plate or of another opening."""
    part = view.parts[group.part]
    solid = prism(part)
    centers = group.centers[:, :2]
    near = depth_in(in_pier(solid, solid.outline.outer), centers)
    for ring in solid.outline.holes:
        if not for_rods(view, part, ring):
            near = np.minimum(near, -depth_in(in_pier(solid, ring), centers))
    return near
