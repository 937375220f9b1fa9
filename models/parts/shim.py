"""The shim stack that levels a plate."""

from __future__ import annotations

from collections.abc import Iterator

from models.outline import Outline
from models.part import Part, Role, Stage
from models.setting import Setting
from models.shapes.outline_from import loop_of
from models.solids import Prism


def parts(setting: Setting) -> Iterator[Part]:
    """One stack, from the top of concrete to the plate; none where the plate lies on the concrete."""
    seat = setting.spec.seat
    if seat.level_on != "shims" or seat.shim is None or seat.plate is None or seat.plate.above == 0.0:
        return
    yield Part(
        id=setting.part_id("shim", 1),
        role=Role.SHIM,
        label="shims under the plate",
        solid=Prism(Outline(loop_of(seat.shim)), 0.0, seat.plate.above),
        stage=Stage.SET,
        touches=frozenset({setting.part_id("plate", 1)}),
    )
