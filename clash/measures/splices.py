"""The laps of a pier's dowels with its verticals, measured on their straight runs."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from msgspec import Struct

from clash.gap_table import Index
from clash.measures.levels import levels
from clash.measures.straight import runs
from clash.needs.laps import Splice
from clash.pier_view import Mask, PierView
from models.catalogue import bar
from models.motion import Array
from models.part import Role
from models.shapes.rings import ring_distances


class Laps(Struct, frozen=True, eq=False):
    """Dowels with the verticals that they lap: the touching one, else the nearest at the dowel's top.

    dowels, partners: (n,) indices; laps: (n,) mm, how far they stand beside each other along z; apart: (n,)
    mm, between their centers at the top of the lap; touching: (n,) whether they lap in contact; at: (n, 3)
    the dowel at the top of the lap; beside: (n, 2) the vertical there; room: (n,) mm, the longest lap that
    the pier leaves room for.
    """

    dowels: Index
    partners: Index
    laps: Array
    apart: Array
    touching: Mask
    at: Array
    beside: Array
    room: Array


@lru_cache(maxsize=2)
def laps(view: PierView) -> Laps | None:
    """The laps of a pier; None where it lacks dowels or verticals."""
    dowels, verticals = (np.flatnonzero(view.roles(role)) for role in (Role.DOWEL, Role.VERTICAL))
    if not len(dowels) or not len(verticals):
        return None
    short, tall = runs([view.parts[i] for i in dowels]), runs([view.parts[i] for i in verticals])
    tops = short.high[:, 2].tolist()
    level = {z: tall.at(z) for z in set(tops)}  # dowels mostly end at one height
    foot = np.stack([level[z] for z in tops])
    away = np.linalg.norm(foot - short.at(short.high[:, 2])[:, None], axis=2)
    meant = view.touching[np.ix_(dowels, verticals)]
    partner = np.argmin(np.where(meant, -1.0, away), axis=1)
    low = np.maximum(short.low[:, 2], tall.low[partner, 2])
    high = np.minimum(short.high[:, 2], tall.high[partner, 2])
    row = np.arange(len(dowels))
    bottom = np.maximum(view.pier.concrete.bottom, tall.low[partner, 2])
    return Laps(
        dowels,
        verticals[partner],
        np.maximum(high - low, 0.0),
        away[row, partner],
        meant[row, partner],
        np.column_stack([short.at(high), high]),
        tall.take(partner).at(high),
        np.maximum(tall.high[partner, 2] - bottom, 0.0),
    )


def splice(view: PierView, found: Laps) -> Splice:
    """What the length of these laps depends on, at the least of each."""
    spec = view.pier.spec
    cage = spec.cage
    dowels = None if cage is None else cage.dowels
    epoxy = cage is not None and "epoxy" in (
        cage.verticals.coating,
        "plain" if dowels is None else dowels.coating,
    )
    pairs = np.column_stack([found.dowels, found.partners])
    ends = np.stack([found.at[:, :2], found.beside], axis=1)
    radius = view.nominal[pairs] / 2.0
    ring = view.pier.concrete.outline.outer
    cover = ring_distances(ring, ends.reshape(-1, 2)) - radius.reshape(-1)
    tie, spacing = _ties(view, found)
    return Splice(
        dowel=float(np.max(view.nominal[found.dowels])),
        vertical=float(np.max(view.nominal[found.partners])),
        epoxy=epoxy,
        yield_strength=None if cage is None else cage.yield_strength,
        strength=spec.concrete.strength,
        compression=dowels is not None and dowels.lap_in == "compression",
        cover=float(np.min(cover)),
        clear=_clear(pairs, ends, radius),
        legs=2.0 * tie,
        tie_spacing=spacing,
        count=len(pairs),
    )


def _clear(pairs: Index, ends: Array, radius: Array) -> float:
    """The least clear distance from a bar of one lap to a bar of another, mm; infinite for one lap.

    Two dowels at one vertical are one splice: the bars that they share are not another lap's.
    """
    n = len(pairs)
    bars, places, thick = pairs.reshape(-1), ends.reshape(-1, 2), radius.reshape(-1)
    lap = np.repeat(np.arange(n), 2)
    partner = pairs[lap, 1]
    other = (partner[:, None] != partner[None]) & (bars[:, None] != bars[None])
    away = np.linalg.norm(places[:, None] - places[None], axis=2) - thick[:, None] - thick[None]
    return float(np.min(np.where(other, away, np.inf)))


def _ties(view: PierView, found: Laps) -> tuple[float, float]:
    """Area of one leg of a tie, mm2, and the widest spacing of the ties along the laps, mm.

    0 and 1 where no closed ties cross the laps twice. Hoops are not counted: which plane splits a round cage
    is not said.
    """
    stacks = [level for level in levels(view) if view.parts[level.tie].role is Role.TIE]
    top = float(np.min(found.at[:, 2]))
    along = [level for level in stacks if level.center < top]
    if len(along) < 2:
        return 0.0, 1.0
    part = view.parts[along[0].tie]
    heights = [level.center for level in along]
    spacing = max(a - b for a, b in zip([min(top, stacks[0].center), *heights], heights, strict=False))
    spacing = max(spacing, heights[-1] - view.pier.concrete.bottom)
    area = bar(part.size).area if part.size else np.pi * (part.nominal or 0.0) ** 2 / 4.0
    return float(area), float(spacing)
