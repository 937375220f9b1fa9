"""Crossties: one 135 degree and one 90 degree end, lying on a tie."""

from __future__ import annotations

from collections.abc import Iterator

from models.cage.parts import tie_id
from models.part import Part, Role
from models.setting import Setting
from models.shapes.spine import shifted


def parts(setting: Setting) -> Iterator[Part]:
    """Every crosstie of every level, from the highest; the 135 degree hook changes ends level by level."""
    cage = setting.cage
    if cage is None:
        return
    name = "hoop" if cage.round else "tie"
    for k, level in enumerate(cage.levels):
        for j, line in enumerate(cage.crossties):
            bar = line.steel.bar
            touches = {tie_id(setting, cage, k)}
            touches |= {setting.part_id("vertical", v + 1) for v in line.pair}
            touches |= {setting.part_id("crosstie", f"{k + 1}-{i + 1}") for i in line.below}
            yield Part(
                id=setting.part_id("crosstie", f"{k + 1}-{j + 1}"),
                role=Role.CROSSTIE,
                label=f"crosstie {j + 1} on {name} {k + 1} from top",
                solid=shifted(line.shapes[k % 2], (0.0, 0.0, level + line.lift)),
                size=bar.size,
                nominal=bar.diameter,
                overall=bar.overall,
                inside=True,
                touches=frozenset(touches),
            )
