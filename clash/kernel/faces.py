"""Gaps from parts to the faces of the concrete that covers them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from clash.gap_table import Face, GapTable
from clash.kernel.cover.clip import clipped
from clash.kernel.cover.containers import Container, Containers
from clash.kernel.cover.once import Levels, Sides, once_to_levels, once_to_sides
from clash.kernel.cover.planes import Planes, Reach, bars_to_planes, prisms_to_planes
from clash.kernel.cover.sides import bars_to_sides, prisms_to_sides
from clash.kernel.layout import Layout
from clash.kernel.tables import Index
from models.motion import Array, Motion
from models.part import Role
from models.pier import Pier
from models.solids import Prism

_UP = Planes(np.array([0, 1], dtype=np.intp), np.array([[0.0], [0.0], [1.0]]), np.zeros(1))
_DOWN = Planes(np.array([0, 1], dtype=np.intp), np.array([[0.0], [0.0], [-1.0]]), np.zeros(1))
_STILL = Motion.identity()


class _Rows(Struct, frozen=True, eq=False):
    """What is to be measured: part (n,) of a layout against a face (n,).

    container: (n,) its number, or -1 for a level face; level: (n,) mm, how far it is from height 0, outward.
    """

    part: Index
    face: Index
    container: Index
    level: Array

    def take(self, which: Index) -> _Rows:
        """Some of them."""
        return _Rows(self.part[which], self.face[which], self.container[which], self.level[which])


def face_gaps(piers: Sequence[Pier], parts: Layout, within: float) -> GapTable:
    """Gaps up to `within` mm from every part with `inside` set to the faces of its pier, each face in turn.

    `parts` are those of the piers, laid out.

    SIDE is the formed outline and the chamfers round the top; only what stands between the top and the
    bottom of the pier counts, so that a rod's projection or a dowel's foot does not. TOP and BOTTOM are
    level planes; a part is not measured to a face that it exits. What exits the bottom of a pier on a grade
    beam is measured to GRADE_SIDE (what stands within the grade beam, below the pier) and GRADE_BOTTOM.
    Where grade beams meet under a pier, the one that covers the part best counts, and the highest of their
    bottoms; a part that lies within none of them alone could not be measured.

    Negative: the part reaches out through the face, by that much (sampled where the outline has curved or
    re-entrant edges and the bar leans or bends). NaN: it could not be measured (a prism that leans in such an
    outline). Otherwise exact, chamfers included (but near a re-entrant corner, whose slope is taken as
    rounded about the corner where it is mitered: too much by up to 0.3 of the chamfer's leg); a bar that
    leans across the top or bottom of such an outline is cut square to itself there, which is good to its
    radius times half the square of its lean.
    """
    containers = Containers()
    rows = _rows(piers, parts, containers)
    tables = []
    for swept, measures in ((True, _bars(parts, containers)), (False, _prisms(parts, containers))):
        tables.append(_measured(parts, rows.take(np.flatnonzero(parts.swept[rows.part] == swept)), *measures))
    return _sorted(tables, within)


def _rows(piers: Sequence[Pier], parts: Layout, containers: Containers) -> _Rows:
    """Every part against every face that it is measured to; the concrete of the piers is filed on the way."""
    own, bottom, lowest = [], [], []
    beams: list[list[int]] = []
    for pier in piers:
        concrete = pier.concrete
        own.append(
            containers.add(
                Container(concrete.outline, _STILL, concrete.bottom, 0.0, concrete.top_chamfer),
            )
        )
        grade = _grade_beams(pier)
        beams.append([containers.add(beam) for beam in grade])
        bottom.append(-concrete.bottom)
        lowest.append(min((-beam.low for beam in grade), default=0.0))
    many = np.array([len(some) for some in beams], dtype=np.intp)
    inside = np.flatnonzero(parts.inside)
    through = parts.exits_bottom[inside]
    up = inside[~parts.exits_top[inside]]
    down, on = inside[~through], inside[through]
    on = on[many[parts.pier[on]] > 0]
    each = np.repeat(on, many[parts.pier[on]])
    below = np.array([beam for part in on.tolist() for beam in beams[parts.pier[part]]], dtype=np.intp)
    none, level = np.full(len(parts.pier), -1, dtype=np.intp), np.zeros(len(parts.pier))
    of = parts.pier
    runs = [
        (inside, Face.SIDE, np.array(own, dtype=np.intp)[of[inside]], level[inside]),
        (up, Face.TOP, none[up], level[up]),
        (down, Face.BOTTOM, none[down], np.array(bottom)[of[down]]),
        (each, Face.GRADE_SIDE, below, level[each]),
        (on, Face.GRADE_BOTTOM, none[on], np.array(lowest)[of[on]]),
    ]
    return _Rows(
        np.concatenate([r[0] for r in runs]),
        np.concatenate([np.full(len(r[0]), int(r[1])) for r in runs]),
        np.concatenate([r[2] for r in runs]),
        np.concatenate([r[3] for r in runs]),
    )


def _bars(parts: Layout, containers: Containers) -> tuple[Sides, Levels]:
    """How bars are measured to sides and to levels."""
    swept = parts.bars

    def sides(solid: Index, container: Index) -> Reach:
        return bars_to_sides(swept, solid, containers, container)

    def levels(solid: Index, planes: Planes) -> Reach:
        n = len(solid)
        pieces = clipped(swept, solid, np.full(n, -np.inf), np.full(n, np.inf))
        return bars_to_planes(pieces, n, planes, np.zeros(n, dtype=np.intp))

    return once_to_sides(sides, parts, containers), once_to_levels(levels, parts)


def _prisms(parts: Layout, containers: Containers) -> tuple[Sides, Levels]:
    """How prisms are measured to sides and to levels."""
    table = parts.prisms

    def sides(solid: Index, container: Index) -> Reach:
        return prisms_to_sides(table, solid, containers, container)

    def levels(solid: Index, planes: Planes) -> Reach:
        n = len(solid)
        heights = np.full(n, -np.inf), np.full(n, np.inf)
        return prisms_to_planes(table, solid, *heights, planes, np.zeros(n, dtype=np.intp))

    return once_to_sides(sides, parts, containers), once_to_levels(levels, parts)


def _grade_beams(pier: Pier) -> list[Container]:
    """The grade beams below the pier as containers; what is above the pier's bottom belongs to the pier."""
    found = []
    for part in pier.parts:
        if part.role is not Role.GRADE_BEAM:
            continue
        solid = part.solid
        if not isinstance(solid, Prism):
            raise TypeError(f"the grade beam {part.id} is not a prism")
        ends = [float(solid.motion.points(np.array([0.0, 0.0, z]))[2]) for z in (solid.bottom, solid.top)]
        found.append(Container(solid.outline, solid.motion, min(ends), min(max(ends), pier.concrete.bottom)))
    return found


def _measured(parts: Layout, rows: _Rows, sides: Sides, levels: Levels) -> GapTable:
    """Every row of one family of solids."""
    part, face, level, n = rows.part, rows.face, rows.level, len(rows.part)
    gap, at, foot = np.full(n, np.inf), np.full((n, 3), np.nan), np.full((n, 3), np.nan)

    def write(k: Index, found: Reach, shift: Array | float, lift: Array | float) -> None:
        gap[k] = found.gap + shift
        at[k], foot[k] = found.at.T, found.foot.T
        foot[k, 2] += lift

    k = np.flatnonzero(rows.container >= 0)
    if len(k):
        write(k, sides(part[k], rows.container[k]), 0.0, 0.0)
    # a level face at height h: the part's reach toward height 0, moved by h
    k = np.flatnonzero(face == Face.TOP)
    if len(k):
        write(k, levels(part[k], _UP), level[k], level[k])
    k = np.flatnonzero((rows.container < 0) & (face != Face.TOP))
    if len(k):
        write(k, levels(part[k], _DOWN), level[k], -level[k])
    return GapTable(parts.pier[part], parts.part[part], face, gap, at, foot)


def _sorted(tables: Sequence[GapTable], within: float) -> GapTable:
    """Join, drop what is farther than `within` (never what could not be measured), sort by pier and part."""
    joined = GapTable(
        *(
            np.concatenate([getattr(t, name) for t in tables])
            for name in ("pier", "a", "b", "gap", "at_a", "at_b")
        )
    )
    # of several grade beams the one that covers best comes first, and stands for all
    joined = joined.take(np.lexsort((-joined.gap, -joined.b, joined.a, joined.pier)))
    again = np.zeros(len(joined), dtype=bool)
    again[1:] = np.all([np.diff(column) == 0 for column in (joined.pier, joined.a, joined.b)], axis=0)
    several = np.append(again[1:], False)[~again] if len(again) else again
    best = joined.take(~again)
    best = replace(best, gap=np.where(several & (best.gap < 0.0), np.nan, best.gap))
    return best.take(~(best.gap > within))
