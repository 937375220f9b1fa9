"""A plate and its grout on the flat top of the concrete, and the grout as thick as specified."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.gap_table import Face
from clash.measures.on_rods import levels, prism
from clash.measures.plan_fit import in_pier, inside_by, nearest_to
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Limit, Measured, rule
from models.part import Role
from models.shapes.chamfer import set_back

_SUPPORTED = Need(0.0, "geometry: it bears on the flat top, inside the chamfer")


@rule(
    id="plate on concrete",
    title="plate, grout and shims on the flat top of the concrete",
    source="geometry: they bear on the flat top, inside the chamfer",
)
def plate_on_concrete(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """How far the edges of plate, grout and shims keep inside the top of the concrete less its chamfer.

    Grout and shims under a plate that hangs over are told with it, unless they reach out farther.
    """
    parts = np.flatnonzero(view.roles(Role.PLATE, Role.GROUT, Role.SHIM))
    if not len(parts):
        yield DoesNotApply("no plate")
        return
    concrete = view.pier.concrete
    leg = concrete.top_chamfer
    flat = set_back(concrete.outline.outer, leg) if leg > 0.0 else concrete.outline.outer
    rings = [in_pier(prism(view.parts[i]), prism(view.parts[i]).outline.outer) for i in parts.tolist()]
    inside = np.array([inside_by(ring, flat) for ring in rings])
    plates = view.roles(Role.PLATE)[parts]
    out = float(np.min(inside[plates], initial=0.0))
    told = plates | (inside >= 0.0) | (inside < out - 1e-3)
    at = np.column_stack(
        [
            [nearest_to(ring, flat, far) for ring, far in zip(rings, inside, strict=True)],
            levels(view)[parts, 0],
        ]
    )
    yield Measured(
        parts[told],
        np.full(int(np.count_nonzero(told)), int(Face.TOP), dtype=np.intp),
        inside[told],
        (_SUPPORTED,),
        at[told],
        says="{a}: {measured} inside the edge of {b} {plan}, {required} needed ({source}).",
        says_below_zero="{a} hangs {past} over the flat of {b} {plan} ({source}).",
    )


@rule(
    id="grout bed",
    title="thickness of the grout under a plate",
    source="as specified: the site's seat: grout: least, most",
)
def grout_bed(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Height of the plate's underside above the concrete, against the least and the most of its grout."""
    grout = view.pier.spec.seat.grout
    plates = np.flatnonzero(view.roles(Role.PLATE))
    if grout is None or not len(plates):
        yield DoesNotApply("no grout under a plate")
        return
    height = levels(view)[plates, 0]
    at = np.column_stack([np.zeros((len(plates), 2)), height / 2.0])
    limits: tuple[tuple[str, float | None, Limit], ...] = (
        ("least", grout.least, "least"),
        ("most", grout.most, "most"),
    )
    for name, figure, limit in limits:
        if figure is not None:
            word = "needed" if limit == "least" else "allowed at most"
            yield Measured(
                plates,
                plates,
                height,
                (Need(figure, f"as specified, seat: grout: {name}", what=f"{name} thickness"),),
                at,
                says="{a} leaves {measured} for the grout under it, {required} " + word + " ({source}).",
                limit=limit,
            )
