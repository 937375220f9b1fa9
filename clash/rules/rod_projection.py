"""How far rods stand out of their nuts, and bar anchors out of the plate that they are welded in."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.on_rods import levels, on_each_rod, worst
from clash.needs.need import Need, site_first
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Limit, Measured, rule
from models.motion import Array
from models.part import Role
from models.solids import Swept

_FLUSH = Need(0.0, "geometry: the whole nut on the rod")
_WELDED = Need(0.0, "practice: a bar welded in its hole and ground flush")


@rule(
    id="rod projection",
    title="rods long enough for what stands on them",
    source="the site's required: thread showing (bars: bar recess), else geometry: the whole nut on the rod; "
    "practice: a bar reaches the top of its plate",
)
def rod_projection(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Rods: from the top of the highest nut to the top of the rod. Bars: from their end to the plate's top.

    Whatever lies under the nut (shims or grout, plate or beam, washer) has raised it. A pier's rods are one
    measurement, the one that is shortest of what it needs.
    """
    required = view.pier.spec.required
    nuts = [item for item in on_each_rod(view, Role.NUT) if view.parts[item[0]].role is Role.ROD]
    plates = [item for item in on_each_rod(view, Role.PLATE) if view.parts[item[0]].role is Role.BAR_ANCHOR]
    if nuts:
        showing = site_first(required.thread_showing, "required: thread showing", _FLUSH)
        yield _worst(
            view,
            [(rod, int(things[np.argmax(levels(view)[things, 1])])) for rod, things in nuts],
            showing,
            "least",
            "{a} stands {measured} out of {b}, {required} needed ({source}).",
            "{a} ends {past} below the top of {b} ({source}).",
        )
    if plates:
        recess = site_first(required.bar_recess, "required: bar recess", _WELDED)
        yield _worst(
            view,
            [(rod, int(things[0])) for rod, things in plates],
            recess,
            "most",
            "{a} ends {measured} below the top of {b}, at most {required} allowed ({source}).",
            "{a} stands {past} out of {b}, and may end {required} below its top at most ({source}).",
        )
    if not nuts and not plates:
        yield DoesNotApply("no nuts on rods, and no plate on bar anchors")


def _worst(
    view: PierView, pairs: list[tuple[int, int]], need: Need | None, limit: Limit, says: str, below: str
) -> Measured:
    assert need is not None
    a, b = (np.array(side, dtype=np.intp) for side in zip(*pairs, strict=True))
    tops = np.stack([_top(view, int(rod)) for rod in a])
    out = tops[:, 2] - levels(view)[b, 1]
    least = [worst(out)]
    measured = out if limit == "least" else -out
    return Measured(
        a[least], b[least], measured[least], (need,), tops[least], says, says_below_zero=below, limit=limit
    )


def _top(view: PierView, rod: int) -> Array:
    """(3,) mm, the top end of a rod."""
    solid = view.parts[rod].solid
    assert isinstance(solid, Swept)
    top: Array = solid.knots[int(np.argmax(solid.knots[:, 2]))]
    return top
