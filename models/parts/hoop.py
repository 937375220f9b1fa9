"""Round hoops around the verticals."""

from __future__ import annotations

from collections.abc import Iterator

from models.cage.parts import laterals
from models.cage.plan import Ring
from models.part import Part, Role
from models.setting import Setting


def parts(setting: Setting) -> Iterator[Part]:
    """Every hoop of a round cage, the highest first; laps move on round the cage from hoop to hoop."""
    cage = setting.cage
    if cage is None or cage.ties is None or not isinstance(cage.plan, Ring):
        return
    yield from laterals(setting, cage, cage.ties, "hoop", Role.HOOP, "hoop {} from top")
