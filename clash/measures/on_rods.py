"""What stands on each rod: its nuts and washers, and what those bear on."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from msgspec import Struct

from clash.gap_table import Index
from clash.measures.holes import Holes, holes
from clash.pier_view import PierView
from clash.rule import EPSILON
from models.motion import Array
from models.part import ANCHORS, Part, Role, Stage
from models.solids import Prism, Swept


@lru_cache(maxsize=2)  # the rules of a pier ask one after the other
def levels(view: PierView) -> Array:
    """(parts, 2) lowest and highest elevation of each part's axis or faces, mm above the top of concrete."""
    return np.array([_levels(part) for part in view.parts], dtype=float).reshape(-1, 2)


def _levels(part: Part) -> tuple[float, float]:
    solid = part.solid
    if isinstance(solid, Swept):
        z = solid.knots[:, 2]
        return float(z.min()), float(z.max())
    shift, rise = float(solid.motion.shift[2]), float(solid.motion.rotation[2, 2])
    return shift + rise * solid.bottom, shift + rise * solid.top


def prism(part: Part) -> Prism:
    """A part's solid. Raises TypeError for a bar."""
    if not isinstance(part.solid, Prism):
        raise TypeError(f"{part.id} is no prism")
    return part.solid


def worst(values: Array) -> int:
    """Which is the least, the first of equals: a thousandth of a millimeter decides nothing."""
    return int(np.argmin(np.round(values, 3)))


def on_each_rod(view: PierView, *roles: Role) -> list[tuple[int, Index]]:
    """Every rod that carries anything of these roles, with what it carries."""
    wanted = view.roles(*roles)
    found = [(int(rod), np.flatnonzero(view.touching[rod] & wanted)) for rod in _rods(view)]
    return [(rod, things) for rod, things in found if len(things)]


class Bearing(Struct, frozen=True, eq=False):
    """A washer, or a nut without one, on what it bears on.

    part: its index; rod: the rod's; hole: the hole of `on` that the rod comes through.
    """

    part: int
    rod: int
    on: Holes
    hole: int


@lru_cache(maxsize=2)
def bearings(view: PierView) -> tuple[Bearing, ...]:
    """Every washer, nut without a washer and leveling nut that bears on a plate or a beam round a hole.

    A rod that has no hole there, or fouls it, is told by the rules that know those, and left out here.
    """
    found: list[Bearing] = []
    for group in holes(view):
        if view.parts[group.part].role not in (Role.PLATE, Role.BEAM):
            continue
        for row, rod in enumerate(group.rods.tolist()):
            hole = int(group.hole[row])
            if hole < 0 or _fouls(view, group, row, hole):
                continue
            wanted = view.roles(Role.WASHER, Role.NUT, Role.LEVELING_NUT)
            on_both = np.flatnonzero(view.touching[rod] & view.touching[group.part] & wanted).tolist()
            found += [
                Bearing(part, rod, group, hole) for part in on_both if view.parts[part].stage is Stage.SET
            ]
    return tuple(found)


def _rods(view: PierView) -> Index:
    return np.flatnonzero(view.roles(*ANCHORS))


def _fouls(view: PierView, group: Holes, row: int, hole: int) -> bool:
    off = float(np.linalg.norm(group.rod_at[row, :2] - group.centers[hole, :2]))
    radius = float(view.nominal[group.rods[row]]) / 2.0
    return off + radius > float(group.radii[hole]) + EPSILON
