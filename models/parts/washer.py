"""The washer under each nut."""

from __future__ import annotations

from collections.abc import Iterator

from models import hardware
from models.catalogue import INCH
from models.part import Part, Role, Stage
from models.setting import Setting
from models.solids import Prism
from models.tightened import bearings

_OVER = INCH / 16.0
"""mm: how much wider than the rod a washer's hole is when nobody says."""


def parts(setting: Setting) -> Iterator[Part]:
    """One washer on the plate or the beam at each rod; a square one lies square to what it bears on."""
    spec = setting.spec.seat.washer
    if spec is None:
        return
    for bearing in bearings(setting):
        rod = bearing.rod
        bore = rod.diameter + _OVER if spec.hole is None else spec.hole
        outline = hardware.washer(spec.size, bore, spec.shape, rod.x, rod.y, bearing.turn)
        yield Part(
            id=setting.part_id("washer", rod.number),
            role=Role.WASHER,
            label=f"washer on {rod.label}",
            solid=Prism(outline, bearing.level, bearing.level + spec.thickness),
            size=rod.size,
            stage=Stage.SET,
            touches=frozenset({setting.part_id(rod.name, rod.number), bearing.under}),
        )
