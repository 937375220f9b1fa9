"""No two piers in one place: a row of a schedule copied and not changed."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians

import numpy as np

from clash.gap_table import Face
from clash.kernel.prism_prism import prism_prism
from clash.kernel.prism_table import PrismTable
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import Measured, rule
from models.build import concrete_of
from models.motion import Motion
from models.spec.pier import PierSpec

_APART = Need(0.0, "geometry: two things cannot be in one place")
_SIDE = np.array([int(Face.SIDE)], dtype=np.intp)


@rule(
    id="pier to pier",
    title="no two piers in one place",
    source="geometry: two things cannot be in one place",
)
def pier_to_pier(view: PierView) -> Iterator[Measured]:
    """Distance of a pier's concrete to that of every pier listed after it that comes near.

    Each pair is told once, at the pier that stands first in the site file; a pier with no other near it is
    clear of them all.
    """
    near = view.neighbors.get(view.pier.mark, ())
    if not near:
        yield Measured(_SIDE, _SIDE, np.array([np.inf]), (_APART,), np.full((1, 3), np.nan), says="")
        return
    own = view.pier.concrete.prism
    solids = [own, *(concrete_of(s).prism.moved(_seen_from(view.pier.spec, s)) for s in near)]
    others = np.arange(1, len(solids), dtype=np.intp)
    found = prism_prism(PrismTable.of(solids), np.zeros(len(near), dtype=np.intp), others)
    for k, spec in enumerate(near):
        pair = f"The concrete of {view.pier.mark} runs into that of {spec.mark}"
        yield Measured(
            _SIDE,
            _SIDE,
            found.gap[[k]],
            (_APART,),
            found.at_a[[k]],
            says=pair + " by {past} {where} ({source}).",
            tags=(spec.mark,),
        )


def _seen_from(own: PierSpec, other: PierSpec) -> Motion:
    """The other pier's frame seen from this one's; differences first: far coordinates cost no digit."""
    there = Motion.turned(radians(other.turn), (other.x - own.x, other.y - own.y, other.top - own.top))
    return Motion.turned(radians(own.turn)).inverse().after(there)
