"""The plates that the site file asks for: each distinct one, with the piers that it is for."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

import numpy as np
from msgspec import Struct

from clash.shop.extent import least_rectangle
from models.motion import Array
from models.outline import Loop
from models.part import Part, Role
from models.pier import Pier
from models.problems import BadInput, Place, Problem
from models.seat.pattern import positions, rod_positions
from models.solids import Prism
from models.winds import wind


class Wanted(Struct, frozen=True, eq=False):
    """A plate as the site file has it, in the pier's frame.

    centers: (n, 2) mm; diameters: (n,) mm; of all that is round, holes for rods first, then round cutouts;
    rods: how many are for rods; cutouts: its other openings; piers: all that it is for.
    """

    mark: str
    outer: Loop
    centers: Array
    diameters: Array
    rods: int
    cutouts: tuple[Loop, ...]
    piers: tuple[Pier, ...]

    @property
    def name(self) -> str:
        """`plate PL1 (P13, P14)` in words."""
        marks = [pier.mark for pier in self.piers]
        shown = ", ".join(marks[:4]) + (f" and {len(marks) - 4} more" if len(marks) > 4 else "")
        return f"plate {self.mark} ({shown})" if self.mark else f"the plate of {shown}"

    def hole(self, index: int) -> str:
        """`hole 2 (SE)`, with the wind at the first pier; or `the round cutout (N)`."""
        x, y = self.centers[index].tolist()
        where = wind(self.piers[0].frame, x, y)
        return f"hole {index + 1} ({where})" if index < self.rods else f"the round cutout ({where})"

    @property
    def size(self) -> tuple[float, float]:
        """Length and width, mm."""
        return least_rectangle(self.outer)


def wanted(piers: Sequence[Pier], named: str | None = None) -> list[Wanted]:
    """Every distinct plate; named: only those of this piece mark or this pier.

    Raises BadInput where there is none.
    """
    groups: dict[object, list[Pier]] = {}
    for pier in piers:
        part = _plate(pier)
        if part is not None:
            groups.setdefault(_key(pier, part), []).append(pier)
    every = [_wanted(group) for group in groups.values()]
    if not every:
        raise BadInput([Problem(Place("the site"), "no seat of it has a plate to compare with")])
    if named is None:
        return every
    chosen = [w for w in every if w.mark == named or named in {p.mark for p in w.piers}]
    if not chosen:
        marks = sorted({w.mark for w in every if w.mark}) or [p.mark for w in every for p in w.piers]
        raise BadInput(
            [
                Problem(
                    Place("--plate"),
                    f"there is no plate {named[:40]}",
                    f"write one of {', '.join(marks[:8])}, or a pier",
                )
            ]
        )
    return chosen


def _plate(pier: Pier) -> Part | None:
    return next((part for part in pier.parts if part.role is Role.PLATE), None)


def _solid(pier: Pier) -> Prism:
    part = _plate(pier)
    assert part is not None
    assert isinstance(part.solid, Prism)
    return part.solid


def _count(pier: Pier) -> int:
    plate = pier.spec.seat.plate
    assert plate is not None
    own = plate.holes.pattern
    return len(rod_positions(pier.spec) if own is None else positions(own))


def _key(pier: Pier, part: Part) -> object:
    plate = pier.spec.seat.plate
    assert plate is not None
    outline = _solid(pier).outline
    rings = (outline.outer, *outline.holes)
    return plate.mark, tuple(tuple(ring.starts.round(4).ravel().tolist()) for ring in rings)


def _wanted(piers: Sequence[Pier]) -> Wanted:
    first = piers[0]
    plate = first.spec.seat.plate
    assert plate is not None
    outline = _solid(first).outline
    # A builder cuts the holes first, in the order of their pattern, then every cutout.
    rods = _count(first)
    bores = (*outline.holes[:rods], *(ring for ring in outline.holes[rods:] if len(ring.starts) == 1))
    others = tuple(ring for ring in outline.holes[rods:] if len(ring.starts) > 1)
    centers = np.array([ring.centers[0] for ring in bores], dtype=float).reshape(-1, 2)
    diameters = np.array([2.0 * hypot(*(ring.starts[0] - ring.centers[0])) for ring in bores])
    return Wanted(plate.mark, outline.outer, centers, diameters, rods, others, tuple(piers))
