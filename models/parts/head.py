"""What holds the foot of a headed rod: a nut, or a nut under a plate."""

from __future__ import annotations

from collections.abc import Iterator

from models.part import Part, Role
from models.seat import hardware
from models.seat.rods import nut_size, rods_of
from models.setting import Setting
from models.solids import Prism


def parts(setting: Setting) -> Iterator[Part]:
    """The plate and the nut at the foot of each headed rod; the bearing side lies at the embedment."""
    spec = setting.spec.seat.rods
    if spec is None or spec.end not in ("nut", "plate"):
        return
    bearing = -spec.embedment
    for rod in rods_of(setting):
        level, rod_id = bearing, setting.part_id(rod.name, rod.number)
        plate_id = setting.part_id("head-plate", rod.number)
        if spec.end == "plate" and spec.head_plate is not None:
            plate = spec.head_plate
            outline = hardware.washer(plate.size, rod.overall or rod.diameter, plate.shape, rod.x, rod.y)
            level -= plate.thickness
            yield Part(
                id=plate_id,
                role=Role.HEAD,
                label=f"plate at the foot of {rod.label}",
                solid=Prism(outline, level, bearing),
                size=rod.size,
                inside=True,
                touches=frozenset({rod_id}),
            )
        if rod.threaded:
            flats, height = nut_size(spec)
            yield Part(
                id=setting.part_id("head", rod.number),
                role=Role.HEAD,
                label=f"nut at the foot of {rod.label}",
                solid=Prism(hardware.nut(flats, rod.diameter, rod.x, rod.y), level - height, level),
                size=rod.size,
                inside=True,
                touches=frozenset({rod_id, plate_id}),
            )
