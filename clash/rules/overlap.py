"""Parts that share one space: a tie through a vertical, a rod through a hook."""

from __future__ import annotations

from collections.abc import Iterator

from clash.measures.holes import HOLED
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import Measured, rule
from models.part import ANCHORS, Role, Stage
from models.shapes.fitting import FITTING

_CONTAINERS = (Role.CONCRETE, Role.GRADE_BEAM)
_APART = Need(0.0, "geometry: two things cannot be in one place")
_FITTED = Need(-FITTING, f"geometry: contact is wanted here, and at most {FITTING:g} mm of fitting")


@rule(
    id="overlap",
    title="no two parts in one place",
    source=f"geometry: two things cannot be in one place; {FITTING:g} mm of fitting where they should touch",
)
def overlap(view: PierView) -> Iterator[Measured]:
    """The gap of any two solid parts that are ever there together; rods in holes have a rule of their own."""
    solid = view.which(lambda part: not part.fluid and part.role not in _CONTAINERS)
    pour = view.which(lambda part: part.stage is Stage.POUR)
    later = view.which(lambda part: part.stage is Stage.SET)
    holed, rods = view.roles(*HOLED), view.roles(*ANCHORS)
    rows, a, b = view.pairs(solid, solid)
    never = (pour[a] & later[b]) | (later[a] & pour[b])
    through = (holed[a] & rods[b]) | (rods[a] & holed[b])
    keep = ~never & ~through
    rows, a, b = rows[keep], a[keep], b[keep]
    yield Measured(
        a,
        b,
        view.gaps.gap[rows],
        (_APART, _FITTED),
        view.middles[rows],
        says="{a} and {b}: {measured} apart {where} ({source}).",
        says_below_zero="{a} and {b} run into each other {where}: they overlap by {past} ({source}).",
        which=view.touching[a, b].astype(int),
    )
