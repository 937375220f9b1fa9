"""What the builders of lateral steel share: a shape at every level, and the verticals that it touches."""

from __future__ import annotations

from collections.abc import Iterator

from models.cage_layout import CageLayout
from models.cage_ties import Lateral
from models.setting import Setting
from models.solids import Swept
from models.spine import shifted


def laterals(
    setting: Setting, cage: CageLayout, lateral: Lateral
) -> Iterator[tuple[int, Swept, frozenset[str]]]:
    """For each level from the highest: its number from 0, its solid, the ids of the verticals it touches."""
    touches = frozenset(setting.part_id("vertical", k + 1) for k in lateral.held)
    for k, level in enumerate(cage.levels):
        shape = lateral.shapes[k % len(lateral.shapes)]
        yield k, shifted(shape, (0.0, 0.0, level + lateral.lift)), touches


def tie_id(setting: Setting, cage: CageLayout, level: int) -> str:
    """The id of the tie or hoop at a level, counted from 0 at the top."""
    return setting.part_id("hoop" if cage.round else "tie", level + 1)
