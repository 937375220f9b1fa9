"""The levels of a cage: each closed tie or hoop with the crossties and diamonds that lie on it."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from msgspec import Struct

from clash.gap_table import Index
from clash.pier_view import PierView
from models.part import LATERAL, Role
from models.solids import Swept


class Level(Struct, frozen=True, eq=False):
    """One tie and what lies on it, as one stack.

    tie: its index; parts: of the whole stack; center, under: elevations of the center and the underside of
    the tie's upper end, mm; over: of the highest steel of the stack. The hook at the tie's lower end hangs a
    diameter lower, at one corner, and is not counted, as in the published depths of top ties.
    """

    tie: int
    parts: tuple[int, ...]
    center: float
    under: float
    over: float


@lru_cache(maxsize=2)  # the rules of a pier ask one after the other
def levels(view: PierView) -> tuple[Level, ...]:
    """The levels of a pier, the highest first; none where its site file has no ties."""
    cage = view.pier.spec.cage
    if cage is None or cage.ties is None:
        return ()
    lateral = np.flatnonzero(view.roles(*LATERAL))
    tops = {
        view.parts[i].id: float(np.max(swept(view, i).knots[:, 2]))
        for i in lateral.tolist()
        if view.parts[i].role in (Role.TIE, Role.HOOP)
    }
    stacks: dict[str, list[int]] = {}
    riders: list[tuple[int, list[str]]] = []
    for i in lateral.tolist():
        # A diamond is a tie as well: of two that touch, the higher one rides on the other.
        own = float(np.max(swept(view, i).knots[:, 2]))
        under = [other for other in view.parts[i].touches if tops.get(other, np.inf) < own]
        if view.parts[i].role is not Role.CROSSTIE and not under:
            stacks[view.parts[i].id] = [i]
        else:
            riders.append((i, under))
    for i, under in riders:
        for tie in under:
            if tie in stacks:
                stacks[tie].append(i)
    found = [_level(view, own) for own in stacks.values()]
    return tuple(sorted(found, key=lambda level: -level.center))


def _level(view: PierView, parts: list[int]) -> Level:
    tie = swept(view, parts[0])
    center = float(np.max(tie.knots[:, 2]))
    over = max(float(np.max(s.knots[:, 2])) + s.radius for s in (swept(view, i) for i in parts))
    return Level(parts[0], tuple(parts), center, center - tie.radius, over)


def swept(view: PierView, part: int) -> Swept:
    """The solid of a bar. Raises TypeError for a part that is none."""
    solid = view.parts[part].solid
    if not isinstance(solid, Swept):
        raise TypeError(f"{view.parts[part].id} is no bar")
    return solid


def shape_of(view: PierView, part: int) -> tuple[int, float, float]:
    """What bars of one shape and direction share: they were moved without a turn from one drawing."""
    solid = swept(view, part)
    step = solid.knots[-1] - solid.knots[0]
    return id(solid.angles), float(step[0]), float(step[1])


def distinct(view: PierView, parts: Index) -> list[int]:
    """Of bars that repeat at every level, the first of each role and shape."""
    first: dict[tuple[object, ...], int] = {}
    for i in parts:
        first.setdefault((view.parts[i].role, view.parts[i].nominal, *shape_of(view, int(i))), int(i))
    return list(first.values())
