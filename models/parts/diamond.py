"""Diamond ties through the middle bars of the faces."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from models.cage.parts import laterals, tie_id
from models.part import Part, Role
from models.setting import Setting


def parts(setting: Setting) -> Iterator[Part]:
    """A diamond on top of every tie, and of its crossties where there are any."""
    cage = setting.cage
    if cage is None or cage.diamond is None:
        return
    name = "hoop" if cage.round else "tie"
    label = f"diamond tie on {name} {{}} from top"
    for k, part in enumerate(laterals(setting, cage, cage.diamond, "diamond", Role.TIE, label)):
        under = {setting.part_id("crosstie", f"{k + 1}-{j + 1}") for j in range(len(cage.crossties))}
        yield replace(part, touches=part.touches | {tie_id(setting, cage, k)} | under)
