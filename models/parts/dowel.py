"""Dowels: bars that stand out of the grade beam into the pier."""

from __future__ import annotations

from collections.abc import Iterator

from models.cage.parts import tie_id
from models.catalogue import bar
from models.part import Exit, Part, Role
from models.setting import Setting


def parts(setting: Setting) -> Iterator[Part]:
    """Every dowel; it leaves the pier through its bottom."""
    cage, spec = setting.cage, setting.spec.cage
    if cage is None or spec is None or spec.dowels is None:
        return
    it = bar(spec.dowels.size)
    top = setting.concrete.bottom + spec.dowels.height
    low = (
        0.0 if cage.ties is None else 1.5 * cage.ties.steel.bar.diameter
    )  # of a tie's lower end, below its level
    ties = frozenset(tie_id(setting, cage, k) for k, level in enumerate(cage.levels) if level - low < top)
    for k, dowel in enumerate(cage.dowels):
        touches = ties if dowel.on_tie else frozenset()
        if dowel.beside is not None:
            touches |= {setting.part_id("vertical", dowel.beside + 1)}
        yield Part(
            id=setting.part_id("dowel", k + 1),
            role=Role.DOWEL,
            label=f"dowel {dowel.where}",
            solid=dowel.solid,
            size=it.size,
            nominal=it.diameter,
            overall=it.overall,
            inside=True,
            exits=frozenset({Exit.BOTTOM}),
            touches=touches,
        )
