"""What is welded on top of a plate: the foot of a post, a stiffener."""

from __future__ import annotations

from collections.abc import Iterator

from models.outline import Outline
from models.part import Part, Role, Stage
from models.setting import Setting
from models.shapes.outline_from import loop_of
from models.solids import Prism


def parts(setting: Setting) -> Iterator[Part]:
    """Everything that the plate carries, from the top of the plate up."""
    plate = setting.spec.seat.plate
    if plate is None:
        return
    top = plate.above + plate.thickness
    for thing in plate.carries:
        yield Part(
            id=setting.part_id("standing", thing.name),
            role=Role.STANDING,
            label=thing.name,
            solid=Prism(Outline(loop_of(thing.outline)), top, top + thing.height),
            stage=Stage.SET,
            touches=frozenset({setting.part_id("plate", 1)}),
        )
