"""The steel plate that drops over the rods."""

from __future__ import annotations

from collections.abc import Iterator

from models.part import Part, Role, Stage
from models.seat.drilled import drilled
from models.seat.pattern import positions, rod_positions
from models.seat.rods import rods_of
from models.setting import Setting
from models.shapes.outline_from import loop_of
from models.solids import Prism


def parts(setting: Setting) -> Iterator[Part]:
    """The plate of the seat, with its holes (at the rods unless it has a pattern of its own) and cutouts."""
    plate = setting.spec.seat.plate
    if plate is None:
        return
    own = plate.holes.pattern
    centers = rod_positions(setting.spec) if own is None else positions(own)
    cutouts = [loop_of(cutout) for cutout in plate.cutouts]
    outline = drilled(loop_of(plate.outline), centers, plate.holes.diameter, cutouts, "the plate")
    yield Part(
        id=setting.part_id("plate", 1),
        role=Role.PLATE,
        label=f"plate {plate.mark}" if plate.mark else "plate",
        solid=Prism(outline, plate.above, plate.above + plate.thickness),
        stage=Stage.SET,
        touches=frozenset(setting.part_id(rod.name, rod.number) for rod in rods_of(setting)),
    )
