"""Whether the hose and the vibrator go down past the template, the rods and the top ties."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.measures.levels import levels
from clash.measures.pour_opening import pour_opening
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import EPSILON, DoesNotApply, Measured, rule
from models.part import Role


@rule(
    id="pour opening",
    title="room for the hose and the vibrator to go down past the top ties",
    source="as specified: the site's placing: hose, vibrator",
)
def pour_opening_rule(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Diameter of the largest circle that passes straight down between template, rods and top ties."""
    placing, stacks, cage = view.site.placing, levels(view), view.pier.spec.cage
    asked = [(name, size) for name in ("hose", "vibrator") if (size := getattr(placing, name)) is not None]
    if not asked:
        yield DoesNotApply("the site file names no hose and no vibrator (placing: hose, vibrator)")
        return
    if not stacks or cage is None or cage.ties is None:
        yield DoesNotApply("no ties")
        return
    count = 1 if cage.ties.top_group is None else min(cage.ties.top_group.count, len(stacks))
    opening = pour_opening(view, stacks[count - 1])
    # Of a hose and a vibrator that do not pass, one is told: the one that needs more.
    fails = [one for one in asked if one[1] > opening.diameter + EPSILON]
    told = [max(fails, key=lambda one: one[1])] if fails else asked
    template = np.flatnonzero(view.roles(Role.TEMPLATE))
    first = int(template[0]) if len(template) else stacks[0].tie
    last = stacks[count - 1].tie
    n = len(told)
    yield Measured(
        np.full(n, first, dtype=np.intp),
        np.full(n, last, dtype=np.intp),
        np.full(n, opening.diameter),
        tuple(Need(size, f"as specified, placing: {name}", what=name) for name, size in told),
        np.tile(np.append(opening.center, 0.0), (n, 1)),
        says="The largest circle that passes straight down through {a} and {b} is {measured} across, {plan}; "
        "{required} needed ({source}).",
        which=np.arange(n, dtype=np.intp),
        tags=tuple(name for name, _ in told),
    )
