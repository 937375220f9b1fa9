"""Verticals: the longitudinal bars of the cage."""

from __future__ import annotations

from collections.abc import Iterator

from models.part import Part, Role
from models.setting import Setting
from models.shapes.spine import straight


def parts(setting: Setting) -> Iterator[Part]:
    """Every vertical, straight from its bottom to its top."""
    cage = setting.cage
    if cage is None:
        return
    bar = cage.vertical
    for k, stand in enumerate(cage.stands):
        yield Part(
            id=setting.part_id("vertical", k + 1),
            role=Role.VERTICAL,
            label=f"vertical {stand.where}",
            solid=straight((stand.x, stand.y, cage.bottom), (stand.x, stand.y, cage.top), bar.diameter / 2.0),
            size=bar.size,
            nominal=bar.diameter,
            overall=bar.overall,
            inside=True,
        )
