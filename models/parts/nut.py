"""The nuts above a plate or a beam, and the leveling nuts under a plate."""

from __future__ import annotations

from collections.abc import Iterator

from models.part import Part, Role, Stage
from models.seat import hardware
from models.seat.rods import nut_size, rods_of
from models.seat.tightened import bearings
from models.setting import Setting
from models.solids import Prism


def parts(setting: Setting) -> Iterator[Part]:
    """A nut on each washer (or on the plate or beam), and one under the plate where it levels."""
    yield from _above(setting)
    yield from _leveling(setting)


def _above(setting: Setting) -> Iterator[Part]:
    seat = setting.spec.seat
    if not seat.nuts or seat.rods is None:
        return
    for bearing in bearings(setting):
        rod = bearing.rod
        flats, height = nut_size(seat.rods)
        level = bearing.level + (0.0 if seat.washer is None else seat.washer.thickness)
        washer_id = setting.part_id("washer", rod.number)
        yield Part(
            id=setting.part_id("nut", rod.number),
            role=Role.NUT,
            label=f"nut on {rod.label}",
            solid=Prism(hardware.nut(flats, rod.diameter, rod.x, rod.y, bearing.turn), level, level + height),
            size=rod.size,
            stage=Stage.SET,
            touches=frozenset(
                {
                    setting.part_id(rod.name, rod.number),
                    bearing.under if seat.washer is None else washer_id,
                }
            ),
        )


def _leveling(setting: Setting) -> Iterator[Part]:
    seat = setting.spec.seat
    if seat.level_on != "nuts" or seat.plate is None or seat.rods is None:
        return
    for rod in rods_of(setting):
        if not rod.threaded:
            continue
        flats, height = nut_size(seat.rods)
        washer = seat.leveling_washer
        under = seat.plate.above - (0.0 if washer is None else washer.thickness)
        on = setting.part_id("plate", 1) if washer is None else setting.part_id("leveling-washer", rod.number)
        yield Part(
            id=setting.part_id("leveling-nut", rod.number),
            role=Role.LEVELING_NUT,
            label=f"leveling nut on {rod.label}",
            solid=Prism(hardware.nut(flats, rod.diameter, rod.x, rod.y), under - height, under),
            size=rod.size,
            stage=Stage.SET,
            touches=frozenset({setting.part_id(rod.name, rod.number), on}),
        )
