"""Thread below the nuts on a rod."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.on_rods import levels, on_each_rod, worst
from clash.needs.need import Missing, Need, site_first
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, NotChecked, rule
from models.part import Role
from models.solids import Swept

_ON_THREAD = Need(0.0, "geometry: a nut runs on thread only")
_UNKNOWN = Missing(
    "seat.rods.thread",
    "the site file does not say how far down the rods are threaded, and a nut goes no farther; add it "
    "(seat: rods: thread)",
)


@rule(
    id="rod thread",
    title="thread down to the lowest nut on a rod",
    source="the site's required: thread spare, else geometry: a nut runs on thread only",
)
def rod_thread(view: PierView) -> Iterator[Measured | NotChecked | DoesNotApply]:
    """How far the thread goes on below the underside of the lowest nut: on the seat, leveling, or template.

    A pier's rods are one measurement, the one with the least thread to spare.
    """
    rods = [item for item in on_each_rod(view, Role.NUT, Role.LEVELING_NUT) if _upright(view, item[0])]
    spec = view.pier.spec.seat.rods
    if not rods or spec is None:
        yield DoesNotApply("no nuts on rods")
        return
    if spec.thread is None:
        parts = [view.parts[rod] for rod, _ in rods]
        yield NotChecked(
            view.pier.mark, _UNKNOWN, tuple(part.id for part in parts), tuple(part.label for part in parts)
        )
        return
    need = site_first(view.pier.spec.required.thread_spare, "required: thread spare", _ON_THREAD)
    assert need is not None
    a, b, spare, at = [], [], [], []
    for rod, nuts in rods:
        undersides = levels(view)[nuts, 0]
        lowest = worst(undersides)
        thread_ends = float(levels(view)[rod, 1]) - spec.thread
        a.append(rod)
        b.append(int(nuts[lowest]))
        spare.append(float(undersides[lowest]) - thread_ends)
        at.append([*_plan(view, rod), thread_ends])
    least = [worst(np.array(spare))]
    yield Measured(
        np.array(a, dtype=np.intp)[least],
        np.array(b, dtype=np.intp)[least],
        np.array(spare)[least],
        (need,),
        np.array(at)[least],
        says="{a} is threaded {measured} on below {b}, {required} needed ({source}).",
        says_below_zero="{a} has no thread where {b} is to run: its thread ends {past} above the nut's "
        "underside, {where} ({source}).",
    )


def _upright(view: PierView, rod: int) -> bool:
    return view.parts[rod].role is Role.ROD


def _plan(view: PierView, rod: int) -> list[float]:
    solid = view.parts[rod].solid
    assert isinstance(solid, Swept)
    top = solid.knots[int(np.argmax(solid.knots[:, 2]))]
    return [float(top[0]), float(top[1])]
