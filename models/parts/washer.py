"""The washer under each nut, and the one on each leveling nut."""

from __future__ import annotations

from collections.abc import Iterator

from models.catalogue import INCH
from models.outline import Outline
from models.part import Part, Role, Stage
from models.seat import hardware
from models.seat.rods import Rod, rods_of
from models.seat.tightened import bearings
from models.setting import Setting
from models.solids import Prism
from models.spec.seat import Washer

_OVER = INCH / 16.0
"""mm: how much wider than the rod a washer's hole is when nobody says."""


def parts(setting: Setting) -> Iterator[Part]:
    """The washers above plate or beam at each rod, then those below the plate."""
    yield from _above(setting)
    yield from _leveling(setting)


def _above(setting: Setting) -> Iterator[Part]:
    """One washer on the plate or the beam at each rod; a square one lies square to what it bears on."""
    spec = setting.spec.seat.washer
    if spec is None:
        return
    for bearing in bearings(setting):
        rod = bearing.rod
        outline = _outline(spec, rod, bearing.turn)
        yield Part(
            id=setting.part_id("washer", rod.number),
            role=Role.WASHER,
            label=f"washer on {rod.label}",
            solid=Prism(outline, bearing.level, bearing.level + spec.thickness),
            size=rod.size,
            stage=Stage.SET,
            touches=frozenset({setting.part_id(rod.name, rod.number), bearing.under}),
        )


def _leveling(setting: Setting) -> Iterator[Part]:
    seat = setting.spec.seat
    spec, plate = seat.leveling_washer, seat.plate
    if spec is None or plate is None or seat.level_on != "nuts":
        return
    for rod in rods_of(setting):
        if not rod.threaded:
            continue
        yield Part(
            id=setting.part_id("leveling-washer", rod.number),
            role=Role.WASHER,
            label=f"leveling washer on {rod.label}",
            solid=Prism(_outline(spec, rod, 0.0), plate.above - spec.thickness, plate.above),
            size=rod.size,
            stage=Stage.SET,
            touches=frozenset({setting.part_id(rod.name, rod.number), setting.part_id("plate", 1)}),
        )


def _outline(spec: Washer, rod: Rod, turn: float) -> Outline:
    bore = rod.diameter + _OVER if spec.hole is None else spec.hole
    return hardware.washer(spec.size, bore, spec.shape, rod.x, rod.y, turn)
