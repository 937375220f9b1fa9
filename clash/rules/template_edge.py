"""Plywood left round the holes of a template."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.holes import for_rods, holes
from clash.measures.on_rods import prism, worst
from clash.measures.plan_fit import depth_in, in_pier
from clash.needs.need import Need, site_first
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.catalogue import INCH
from models.part import Role

_HOLDS = Need(INCH, "practice: 1 in of plywood round a hole")


@rule(
    id="template edge",
    title="plywood between the holes of a template and its edges",
    source="the site's required: template edge, else practice: 1 in of plywood round a hole",
)
def template_edge(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """From the rim of each hole to the outline of the template and to its pour opening.

    A template is one measurement, its hole that is nearest to an edge.
    """
    groups = [g for g in holes(view) if view.parts[g.part].role is Role.TEMPLATE and len(g.centers)]
    if not groups:
        yield DoesNotApply("no template with holes")
        return
    need = site_first(view.pier.spec.required.template_edge, "required: template edge", _HOLDS)
    assert need is not None
    for group in groups:
        part, solid = view.parts[group.part], prism(view.parts[group.part])
        centers = group.centers[:, :2]
        wood = depth_in(in_pier(solid, solid.outline.outer), centers)
        for ring in solid.outline.holes:
            if not for_rods(view, part, ring):
                wood = np.minimum(wood, -depth_in(in_pier(solid, ring), centers))
        wood = wood - group.radii
        least = [worst(wood)]
        index = np.full(1, group.part, dtype=np.intp)
        yield Measured(
            index,
            index,
            wood[least],
            (need,),
            group.centers[least],
            says="{a}: {measured} of plywood between a hole and its edge {plan}, {required} needed "
            "({source}).",
        )
