"""The plywood that holds the rods while concrete is placed, and the nuts that hold it on the rods."""

from __future__ import annotations

from collections.abc import Iterator

from models.part import Part, Role, Stage
from models.seat import hardware
from models.seat.drilled import drilled
from models.seat.pattern import positions, rod_positions
from models.seat.rods import nut_size, rods_of
from models.setting import Setting
from models.shapes.outline_from import loop_of
from models.solids import Prism

_NOISE = 1e-6
"""mm: a nut that fits exactly under the plywood fits."""


def parts(setting: Setting) -> Iterator[Part]:
    """The plywood with its holes and its pour opening, then the nuts above and below it."""
    spec = setting.spec.seat
    template = spec.template
    if template is None:
        return
    own = template.holes.pattern
    centers = rod_positions(setting.spec) if own is None else positions(own)
    opening = [] if template.opening is None else [loop_of(template.opening)]
    outline = drilled(loop_of(template.outline), centers, template.holes.diameter, opening, "the template")
    under, over = template.above, template.above + template.thickness
    rods = rods_of(setting)
    template_id = setting.part_id("template", 1)
    yield Part(
        id=template_id,
        role=Role.TEMPLATE,
        label="template",
        solid=Prism(outline, under, over),
        stage=Stage.POUR,
        touches=frozenset(setting.part_id(rod.name, rod.number) for rod in rods),
    )
    if template.nuts == "none" or spec.rods is None or spec.rods.bar is not None:
        return
    flats, height = nut_size(spec.rods)
    sides = {"above": (over, over + height), "below": (under - height, under)}
    # Nobody who lays plywood on the concrete means a nut inside of it, unless the file says so.
    below = template.nuts == "both" or (template.nuts is None and height <= under + _NOISE)
    for rod in rods:
        for side, (bottom, top) in sides.items():
            if side == "below" and not below:
                continue
            yield Part(
                id=setting.part_id("template-nut", f"{rod.number}-{side}"),
                role=Role.NUT,
                label=f"nut {side} the template on {rod.label}",
                solid=Prism(hardware.nut(flats, rod.diameter, rod.x, rod.y), bottom, top),
                size=rod.size,
                stage=Stage.POUR,
                touches=frozenset({template_id, setting.part_id(rod.name, rod.number)}),
            )
