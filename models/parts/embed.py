"""Other things cast in: conduits, sleeves, straps."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from models.outline import Outline
from models.part import Exit, Part, Role
from models.seat.drilled import drilled
from models.setting import Setting
from models.shapes.outline_from import loop_of
from models.shapes.spine import swept, turns
from models.solids import Prism, Swept
from models.spec.pier import PrismEmbed, SweptEmbed


def parts(setting: Setting) -> Iterator[Part]:
    """Each embed of the pier, as it is listed."""
    for embed in setting.spec.embeds:
        diameter = embed.diameter if isinstance(embed, SweptEmbed) else None
        yield Part(
            id=setting.part_id("embed", embed.name),
            role=Role.EMBED,
            label=embed.name,
            solid=_bent(embed) if isinstance(embed, SweptEmbed) else _block(embed),
            nominal=diameter,
            overall=diameter,
            inside=True,
            exits=frozenset(Exit(face) for face in embed.exits),
        )


def _bent(embed: SweptEmbed) -> Swept:
    """A round bar or pipe along its points; a pipe is solid to whatever would run through it."""
    radius = embed.diameter / 2.0
    if embed.bend is None and turns(embed.points):
        raise ValueError(f"{embed.name} turns, so it needs its inside bend diameter (bend)")
    points = np.array(embed.points, dtype=float)
    if embed.bend is None:
        points = points[[0, -1]]  # no corner turns: one straight line
    return swept(points, (embed.bend or 0.0) / 2.0 + radius, radius)


def _block(embed: PrismEmbed) -> Prism:
    if embed.bottom >= embed.top:
        raise ValueError(f"the bottom of {embed.name} must be lower than its top")
    loop = loop_of(embed.outline)
    if embed.bore is None:
        return Prism(Outline(loop), embed.bottom, embed.top)
    center = np.array([embed.outline.center])
    return Prism(drilled(loop, center, embed.bore, (), embed.name), embed.bottom, embed.top)
