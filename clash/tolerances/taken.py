"""What placing tolerances may take of what a rule measured, by the roles of the two things."""

from __future__ import annotations

from collections.abc import Callable
from enum import IntEnum
from functools import lru_cache
from math import inf, sqrt

import numpy as np
from msgspec import Struct

from clash.gap_table import Index
from clash.pier_view import Mask, PierView
from clash.rule import Measured
from clash.tolerances.placed import Figure, Placed, placed
from clash.tolerances.table import From, taken_from
from models.motion import Array
from models.part import ANCHORS, LATERAL, LONGITUDINAL, Role

BUILT = "built"


class Thing(IntEnum):
    """What is placed as one: parts of one of these do not move against each other."""

    OTHER = 0
    ROD = 1  # with all that is on it
    BAR = 2  # the cage
    EMBED = 3
    CARRIED = 4  # by the rods: it goes where they went
    CONCRETE = 5


_THINGS = {
    **dict.fromkeys(ANCHORS | {Role.HEAD, Role.NUT, Role.WASHER, Role.LEVELING_NUT}, Thing.ROD),
    **dict.fromkeys(LONGITUDINAL | LATERAL, Thing.BAR),
    **dict.fromkeys((Role.PLATE, Role.STANDING, Role.BEAM), Thing.CARRIED),
    Role.EMBED: Thing.EMBED,
}
_FIELDS = {
    Thing.ROD: "rod_in_plan", Thing.CARRIED: "rod_in_plan", Thing.BAR: "cage_in_plan",
    Thing.EMBED: "embed_in_plan",
}  # fmt: skip
_LEVELED = frozenset({Role.LEVELING_NUT, Role.PLATE})
"""What is leveled after the pour, so that the height of the concrete below it matters."""


class Taken(Struct, frozen=True, eq=False):
    """What placing may take of each row.

    one: (n,) mm along one axis; both: (n,) mm along both axes of the plan at once, the same where only one
    direction matters; why: who says so, by row why[which[i]].
    """

    one: Array
    both: Array
    why: tuple[str, ...]
    which: Index


def takes(view: PierView, rule: str, m: Measured) -> bool:
    """Whether placing may take anything of a rule's measurements."""
    way = taken_from().get(rule)
    if way is None or m.unit is not None or not len(m.measured):
        return False
    return way.met == BUILT or way.met in view.site.placing.met_as_built


def taken(view: PierView, rule: str, m: Measured, value: Array) -> Taken | None:
    """What placing takes of a rule's measurements; None where nothing is taken.

    value: (n,) what each row needs.
    """
    if not takes(view, rule, m):
        return None
    way = taken_from()[rule]
    return _WAYS[way.along](placed(view), view, m, way, value)


def _plan(of: Placed, view: PierView, m: Measured, way: From, value: Array) -> Taken | None:
    """Things that are placed apart from each other, each with its own figure."""
    a, b = _things(view, m.a), _things(view, m.b)
    one, which, why = np.zeros(len(a)), np.zeros(len(a), dtype=np.intp), list[str]()
    apart = ~_touching(view, m)
    for code in np.unique(a * 10 + b).tolist():
        pair = Thing(code // 10), Thing(code % 10)
        found = _of_pair(of, *pair) if way.met != BUILT or pair[0] != pair[1] else None
        if found is not None:
            rows = (a == pair[0]) & (b == pair[1]) & apart
            one[rows], which[rows] = found[0], len(why)
            why.append(found[1])
    return _made(one * _level(view, m), why, which)


def _level(view: PierView, m: Measured) -> Array:
    """(n,) what share of a move in plan goes along each gap: none of it along one that stands upright.

    Where both things are convex, a move s in plan takes at most s . n of the gap, n being its direction.
    """
    rows = np.where(m.b >= 0, view.rows[m.a, np.maximum(m.b, 0)], -1)
    share = np.ones(len(rows))
    known = np.flatnonzero(rows >= 0)
    across = view.gaps.at_b[rows[known]] - view.gaps.at_a[rows[known]]
    length = np.linalg.norm(across, axis=1)
    some = length > 1e-6
    share[known[some]] = np.linalg.norm(across[some, :2], axis=1) / length[some]
    return share


def _of_pair(of: Placed, a: Thing, b: Thing) -> tuple[float, str] | None:
    """What placing takes of the distance in plan of two things, mm, and who says so."""
    if Thing.OTHER in (a, b) or {a, b} == {Thing.ROD, Thing.CARRIED}:
        return None
    if a == b:
        group = of.figure("rods_in_group") if a is Thing.ROD else None
        alone = of.figure("rod_in_plan") if a is Thing.ROD and group is None else None
        return of.combined(group, alone, alone)
    figures = {thing: of.figure(_FIELDS[thing]) for thing in (a, b) if thing is not Thing.CONCRETE}
    if Thing.EMBED in figures and figures[Thing.EMBED] is None:
        return None  # nobody says how far it may be off
    return of.combined(*figures.values())


def _hole(of: Placed, view: PierView, m: Measured, way: From, value: Array) -> Taken | None:
    """A group of rods, or washers on them, against one plate; a beam only where it is drilled as drawn."""
    plates, beams = view.roles(Role.PLATE), view.roles(Role.BEAM)
    one, which, why = np.zeros(len(m.a)), np.zeros(len(m.a), dtype=np.intp), list[str]()
    cases = [(plates, of.in_hole)]
    if of.placing.beams_drilled == "as drawn":
        cases.append((beams, of.figure("rod_in_plan")))
    for parts, figure in cases:
        found = of.combined(figure)
        if found is not None:
            rows = parts[m.b]
            one[rows], which[rows] = found[0], len(why)
            why.append(found[1])
    return _made(one, why, which, sqrt(2.0))


def _height(of: Placed, view: PierView, m: Measured, way: From, value: Array) -> Taken | None:
    """Rods that stand too high or too low, or concrete under what is leveled."""
    figure = of.figure("rod_height" if way.moves == "rod" else "concrete_height")
    side = way.least if m.limit == "least" else way.most
    if figure is None or not side:
        return None
    rows = np.ones(len(m.a), dtype=bool) if way.moves == "rod" else view.roles(*_LEVELED)[m.a]
    size = figure.minus if side == "minus" else figure.plus
    return _made(np.where(rows, size, 0.0), [figure.source], np.zeros(len(m.a), dtype=np.intp))


def _cover(of: Placed, view: PierView, m: Measured, way: From, value: Array) -> Taken | None:
    return _shared(of.figure("cover"), value)


def _spacing(of: Placed, view: PierView, m: Measured, way: From, value: Array) -> Taken | None:
    return _shared(of.figure("bar_spacing"), m.measured)


def _length(of: Placed, view: PierView, m: Measured, way: From, value: Array) -> Taken | None:
    """Two bars that lap, each end up or down; or a share of the lap."""
    figure = of.figure("bar_end")
    if figure is not None and figure.share is None:
        size, source = of.combined(figure, figure) or (0.0, figure.source)
        figure = Figure(size, size, source)
    return _shared(figure, value)


def _shared(figure: Figure | None, whole: Array) -> Taken | None:
    """A figure that is at most a share of something, mm by row."""
    if figure is None:
        return None
    share = inf if figure.share is None else figure.share
    size = np.full(len(whole), figure.minus)
    if share < inf:
        size = np.minimum(size, share * np.nan_to_num(whole, nan=0.0, posinf=0.0))
    return _made(size, [figure.source], np.zeros(len(whole), dtype=np.intp))


def _made(one: Array, why: list[str], which: Index, diagonal: float = 1.0) -> Taken | None:
    return Taken(one, one * diagonal, tuple(why), which) if why else None


def _things(view: PierView, parts: Index) -> Index:
    kinds = _kinds(view)
    return np.where(parts >= 0, kinds[np.maximum(parts, 0)], int(Thing.CONCRETE))


@lru_cache(maxsize=2)  # the rules of a pier ask one after the other
def _kinds(view: PierView) -> Index:
    return np.array([_THINGS.get(part.role, Thing.OTHER) for part in view.parts], dtype=np.intp)


def _touching(view: PierView, m: Measured) -> Mask:
    """(n,) whether two things are meant to touch; a face touches nothing."""
    touching: Mask = (m.b >= 0) & view.touching[m.a, np.maximum(m.b, 0)]
    return touching


_Way = Callable[[Placed, PierView, Measured, From, Array], Taken | None]
_WAYS: dict[str, _Way] = {
    "plan": _plan, "hole": _hole, "height": _height, "cover": _cover, "spacing": _spacing, "length": _length,
}  # fmt: skip
