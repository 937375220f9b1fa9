"""Diamond ties through the middle bars of the faces."""

from __future__ import annotations

from collections.abc import Iterator

from models.cage_parts import laterals, tie_id
from models.part import Part, Role
from models.setting import Setting


def parts(setting: Setting) -> Iterator[Part]:
    """A diamond on top of every tie, and of its crossties where there are any."""
    cage = setting.cage
    if cage is None or cage.diamond is None:
        return
    name = "hoop" if cage.round else "tie"
    for k, solid, touches in laterals(setting, cage, cage.diamond):
        under = {setting.part_id("crosstie", f"{k + 1}-{j + 1}") for j in range(len(cage.crossties))}
        yield Part(
            id=setting.part_id("diamond", k + 1),
            role=Role.TIE,
            label=f"diamond tie on {name} {k + 1} from top",
            solid=solid,
            size=cage.diamond.steel.bar.size,
            nominal=cage.diamond.steel.bar.diameter,
            overall=cage.diamond.steel.bar.overall,
            inside=True,
            touches=touches | {tie_id(setting, cage, k)} | under,
        )
