"""Gaps from parts to the faces of the concrete that covers them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from clash.gap_table import Face, GapTable
from clash.kernel.cover.clip import clipped
from clash.kernel.cover.containers import Container, Containers
from clash.kernel.cover.planes import Planes, Reach, bars_to_planes, prisms_to_planes
from clash.kernel.cover.sides import bars_to_sides, prisms_to_sides
from clash.kernel.prism_table import PrismTable
from clash.kernel.tables import Index, SweptTable
from models.motion import Array, Motion
from models.part import Exit
from models.pier import Pier
from models.solids import Prism, Swept

_UP = Planes(np.array([0, 1], dtype=np.intp), np.array([[0.0], [0.0], [1.0]]), np.zeros(1))
_DOWN = Planes(np.array([0, 1], dtype=np.intp), np.array([[0.0], [0.0], [-1.0]]), np.zeros(1))


@dataclass(slots=True)
class _Rows:
    """What is to be measured: part `part` of pier `pier`, its solid, and a container or a level."""

    pier: list[int] = field(default_factory=list)
    part: list[int] = field(default_factory=list)
    solid: list[int] = field(default_factory=list)
    face: list[int] = field(default_factory=list)
    container: list[int] = field(default_factory=list)
    level: list[float] = field(default_factory=list)

    def add(
        self, pier: int, part: int, solid: int, face: Face, container: int = -1, level: float = 0.0
    ) -> None:
        """One more."""
        self.pier.append(pier)
        self.part.append(part)
        self.solid.append(solid)
        self.face.append(int(face))
        self.container.append(container)
        self.level.append(level)


def face_gaps(piers: Sequence[Pier], within: float) -> GapTable:
    """Gaps up to `within` mm from every part with `inside` set to the faces of its pier, each face in turn.

    SIDE is the formed outline and the chamfers round the top; only what stands between the top and the
    bottom of the pier counts, so that a rod's projection or a dowel's foot does not. TOP and BOTTOM are
    level planes; a part is not measured to a face that it exits. What exits the bottom of a pier on a grade
    beam is measured to GRADE_SIDE (what stands within the grade beam, below the pier) and GRADE_BOTTOM.

    Negative: the part reaches out through the face, by that much (sampled where the outline has curved or
    re-entrant edges and the bar leans or bends). NaN: it could not be measured (a prism that leans in such an
    outline). Otherwise exact, chamfers included (but near a re-entrant corner, whose slope is taken as
    rounded about the corner where it is mitered: too much by up to 0.3 of the chamfer's leg); a bar that
    leans across the top or bottom of such an outline is cut square to itself there, which is good to its
    radius times half the square of its lean.
    """
    rows: dict[type, _Rows] = {Swept: _Rows(), Prism: _Rows()}
    bars: list[Swept] = []
    prisms: list[Prism] = []
    containers = Containers()
    for p, pier in enumerate(piers):
        concrete = pier.concrete
        own = containers.add(
            Container(concrete.outline, Motion.identity(), concrete.bottom, 0.0, concrete.top_chamfer)
        )
        grade = _grade_beam(pier)
        below = -1 if grade is None else containers.add(grade)
        for n, part in enumerate(pier.parts):
            if not part.inside:
                continue
            solid = part.solid
            if isinstance(solid, Swept):
                bars.append(solid)
                here, s = rows[Swept], len(bars) - 1
            else:
                prisms.append(solid)
                here, s = rows[Prism], len(prisms) - 1
            here.add(p, n, s, Face.SIDE, own)
            if Exit.TOP not in part.exits:
                here.add(p, n, s, Face.TOP, level=0.0)
            if Exit.BOTTOM not in part.exits:
                here.add(p, n, s, Face.BOTTOM, level=-concrete.bottom)
            elif grade is not None:
                here.add(p, n, s, Face.GRADE_SIDE, below)
                here.add(p, n, s, Face.GRADE_BOTTOM, level=-grade.low)
    endless = np.inf
    swept, table = SweptTable.of(bars), PrismTable.of(prisms)

    def bar_levels(solid: Index, planes: Planes) -> Reach:
        n = len(solid)
        pieces = clipped(swept, solid, np.full(n, -endless), np.full(n, endless))
        return bars_to_planes(pieces, n, planes, np.zeros(n, dtype=np.intp))

    def prism_levels(solid: Index, planes: Planes) -> Reach:
        n = len(solid)
        heights = np.full(n, -endless), np.full(n, endless)
        return prisms_to_planes(table, solid, *heights, planes, np.zeros(n, dtype=np.intp))

    def bar_sides(solid: Index, container: Index) -> Reach:
        return bars_to_sides(swept, solid, containers, container)

    def prism_sides(solid: Index, container: Index) -> Reach:
        return prisms_to_sides(table, solid, containers, container)

    return _sorted(
        [_measured(rows[Swept], bar_sides, bar_levels), _measured(rows[Prism], prism_sides, prism_levels)],
        within,
    )


def _grade_beam(pier: Pier) -> Container | None:
    """The grade beam below the pier as a container; what is above the pier's bottom belongs to the pier."""
    if pier.grade_beam is None:
        return None
    solid = pier.part(pier.grade_beam).solid
    if not isinstance(solid, Prism):
        raise TypeError(f"the grade beam {pier.grade_beam} is not a prism")
    ends = [float(solid.motion.points(np.array([0.0, 0.0, z]))[2]) for z in (solid.bottom, solid.top)]
    return Container(solid.outline, solid.motion, min(ends), min(max(ends), pier.concrete.bottom))


def _measured(
    rows: _Rows, sides: Callable[[Index, Index], Reach], levels: Callable[[Index, Planes], Reach]
) -> GapTable:
    """Every row of one family of solids."""
    face = np.array(rows.face, dtype=np.intp)
    solid, container = np.array(rows.solid, dtype=np.intp), np.array(rows.container, dtype=np.intp)
    level = np.array(rows.level, dtype=float)
    n = len(face)
    gap, at, foot = np.full(n, np.inf), np.full((n, 3), np.nan), np.full((n, 3), np.nan)

    def write(k: Index, found: Reach, shift: Array | float, lift: Array | float) -> None:
        gap[k] = found.gap + shift
        at[k], foot[k] = found.at.T, found.foot.T
        foot[k, 2] += lift

    k = np.flatnonzero(container >= 0)
    if len(k):
        write(k, sides(solid[k], container[k]), 0.0, 0.0)
    # a level face at height h: the part's reach toward height 0, moved by h
    k = np.flatnonzero(face == Face.TOP)
    if len(k):
        write(k, levels(solid[k], _UP), level[k], level[k])
    k = np.flatnonzero((container < 0) & (face != Face.TOP))
    if len(k):
        write(k, levels(solid[k], _DOWN), level[k], -level[k])
    pier, part = np.array(rows.pier, dtype=np.intp), np.array(rows.part, dtype=np.intp)
    return GapTable(pier, part, face, gap, at, foot)


def _sorted(tables: Sequence[GapTable], within: float) -> GapTable:
    """Join, drop what is farther than `within` (never what could not be measured), sort by pier and part."""
    joined = GapTable(
        *(
            np.concatenate([getattr(t, name) for t in tables])
            for name in ("pier", "a", "b", "gap", "at_a", "at_b")
        )
    )
    kept = np.flatnonzero(~(joined.gap > within))
    order = np.lexsort((-joined.b[kept], joined.a[kept], joined.pier[kept]))
    return joined.take(kept[order])
