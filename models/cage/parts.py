"""What the builders of lateral steel share: a bar at every level, and the verticals that it touches."""

from __future__ import annotations

from collections.abc import Iterator

from models.cage.layout import CageLayout
from models.cage.ties import Lateral
from models.part import Part, Role
from models.setting import Setting
from models.shapes.spine import shifted


def laterals(
    setting: Setting, cage: CageLayout, lateral: Lateral, name: str, role: Role, label: str
) -> Iterator[Part]:
    """A bar at each level, the highest first; name: of its ids; label: with {} for its number."""
    touches = frozenset(setting.part_id("vertical", k + 1) for k in lateral.held)
    for k, level in enumerate(cage.levels):
        shape = lateral.shapes[k % len(lateral.shapes)]
        yield Part(
            id=setting.part_id(name, k + 1),
            role=role,
            label=label.format(k + 1),
            solid=shifted(shape, (0.0, 0.0, level + lateral.lift)),
            size=lateral.steel.bar.size,
            nominal=lateral.steel.bar.diameter,
            overall=lateral.steel.bar.overall,
            inside=True,
            touches=touches,
        )


def tie_id(setting: Setting, cage: CageLayout, level: int) -> str:
    """The id of the tie or hoop at a level, counted from 0 at the top."""
    return setting.part_id("hoop" if cage.round else "tie", level + 1)
