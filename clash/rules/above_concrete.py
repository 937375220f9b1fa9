"""What stands on the concrete stays out of it."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.gap_table import Face
from clash.measures.on_rods import levels, prism
from clash.measures.plan_fit import depth_in, in_pier
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import EPSILON, DoesNotApply, Measured, rule
from models.motion import Array
from models.part import Part, Role
from models.solids import Prism

_NOT_ON_IT = (Role.CONCRETE, Role.GRADE_BEAM)
_APART = Need(0.0, "geometry: two things cannot be in one place")


@rule(
    id="above concrete",
    title="nuts, template and plate clear of the top of concrete",
    source="geometry: two things cannot be in one place",
)
def above_concrete(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """How high the underside of everything that concrete does not cover lies above the top of concrete.

    Leveling nuts need their height between plate and concrete, nuts below a template between it and the
    concrete. Like things (all leveling nuts of a pier) are one measurement, the lowest of them.
    """
    kinds: dict[tuple[Role, object], list[int]] = {}
    for i, part in enumerate(view.parts):
        if part.inside or part.fluid or part.role in _NOT_ON_IT or not isinstance(part.solid, Prism):
            continue
        kinds.setdefault((part.role, part.stage), []).append(i)
    if not kinds:
        yield DoesNotApply("nothing stands on the concrete")
        return
    a, above, at = [], [], []
    for alike in kinds.values():
        low = np.round(levels(view)[alike, 0], 3)
        # What lies above the concrete is clear of it, over it or beside it.
        order = [alike[k] for k in np.argsort(low, kind="stable")]
        over = (i for i in order if levels(view)[i, 0] >= -EPSILON or _over(view, view.parts[i]))
        lowest = next(over, None)
        if lowest is None:
            continue
        a.append(lowest)
        above.append(float(levels(view)[lowest, 0]))
        at.append([*_middle(view.parts[lowest])[0], min(0.0, above[-1])])
    yield Measured(
        np.array(a, dtype=np.intp),
        np.full(len(a), int(Face.TOP), dtype=np.intp),
        np.array(above),
        (_APART,),
        np.array(at, dtype=float).reshape(-1, 3),
        says="{a}: {measured} above {b}, {required} needed ({source}).",
        says_below_zero="{a} reaches {past} down into the concrete {plan}: it has no room above {b} "
        "({source}).",
    )


def _over(view: PierView, part: Part) -> bool:
    """Whether some of a part lies over the pier; a beam runs over every pier that has it."""
    if part.role is Role.BEAM:
        return True
    ring = in_pier(prism(part), prism(part).outline.outer)
    points = np.concatenate([ring.starts, _middle(part)])
    concrete = view.pier.concrete.outline.outer
    return bool(np.any(depth_in(concrete, points) > 0.0) or np.any(depth_in(ring, concrete.starts) > 0.0))


def _middle(part: Part) -> Array:
    """(1, 2) mm: the middle of a part's plan."""
    ring = in_pier(prism(part), prism(part).outline.outer)
    return ring.centers if len(ring.sweeps) == 1 else np.asarray(ring.starts.mean(axis=0))[None, :]
