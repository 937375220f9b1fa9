"""The bed of grout under a plate."""

from __future__ import annotations

from collections.abc import Iterator

from models.outline import Outline
from models.part import Part, Role, Stage
from models.setting import Setting
from models.shapes.outline_from import loop_of
from models.solids import Prism


def parts(setting: Setting) -> Iterator[Part]:
    """The bed between the top of concrete and the plate, as if nothing stood in it: grout flows."""
    seat = setting.spec.seat
    if seat.grout is None or seat.plate is None or seat.plate.above == 0.0:
        return
    outline = loop_of(seat.grout.outline or seat.plate.outline)
    yield Part(
        id=setting.part_id("grout", 1),
        role=Role.GROUT,
        label="grout under the plate",
        solid=Prism(Outline(outline), 0.0, seat.plate.above),
        stage=Stage.SET,
        fluid=True,
        touches=frozenset({setting.part_id("plate", 1)}),
    )
