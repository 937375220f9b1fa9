"""The exact gap between any two things of a site, however far apart: what somebody asks for by pointing."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from clash.gap_table import Face
from clash.kernel.bars.swept import swept_swept
from clash.kernel.faces import face_gaps
from clash.kernel.layout import laid_out
from clash.kernel.nearest import Nearest
from clash.kernel.prism_prism import prism_prism
from clash.kernel.prism_table import PrismTable
from clash.kernel.swept_prism import swept_prism
from clash.kernel.tables import SweptTable
from clash.rule import EPSILON
from models.motion import Array, Motion
from models.part import Exit, Part, Role
from models.pier import Pier
from models.site import Site
from models.solids import Prism, Solid, Swept

FACES = {"side": Face.SIDE, "top": Face.TOP, "bottom": Face.BOTTOM}
"""How the faces of the concrete are called in ids: `P7/concrete/side`."""
_FIRST = np.zeros(1, dtype=np.intp)
_SECOND = np.ones(1, dtype=np.intp)


class Between(Struct, frozen=True, eq=False):
    """A gap and its two nearest points, in the frame of `pier` (that of the first thing).

    gap: mm, negative where the two share space, or where a part reaches out through the face that was asked
    for; NaN where it could not be measured. at_a, at_b: (3,) mm; where they share space, points in or near
    it.
    """

    pier: Pier
    gap: float
    at_a: Array
    at_b: Array

    def in_site(self) -> tuple[Array, Array]:
        """The two points in site axes, (3,) mm each."""
        return self.pier.frame.points(self.at_a), self.pier.frame.points(self.at_b)


class _Thing(Struct, frozen=True, eq=False):
    """A part, or (part None) a face of a pier's concrete, at one of the piers that have it."""

    pier: Pier
    part: Part | None
    face: Face = Face.SIDE

    @property
    def solid(self) -> Solid:
        return self.pier.concrete.prism if self.part is None else self.part.solid


def between(site: Site, a: str, b: str, at: str | None = None) -> Between:
    """The gap between two things by their ids: parts, or faces of concrete (`P7/concrete/top`).

    at: the mark of the pier where a beam is meant that several piers have; where left out, the first that has
    both.

    From inside of its concrete a part is measured to the face that is asked for, chamfers and all, as every
    cover is; from outside, and from another pier, to the concrete as a whole, its chamfers at the top not
    cut. Raises KeyError for what the site does not have; ValueError, in one sentence, for a thing and itself.
    """
    first, second = _at_one_pier(list(_things(site, a)), list(_things(site, b)), at)
    one_concrete = first.part is None and second.part is None and first.pier is second.pier
    if a == b or one_concrete:
        raise ValueError("choose two things; this is one")
    return _measured(first, second)


def _measured(a: _Thing, b: _Thing) -> Between:
    if a.part is None and b.part is not None and a.pier is b.pier:
        turned = _measured(b, a)
        return Between(turned.pier, turned.gap, turned.at_b, turned.at_a)
    away = b.solid if a.pier is b.pier else b.solid.moved(_seen_from(a.pier, b.pier))
    found = solid_gap(a.solid, away)
    if b.part is None and a.part is not None and a.pier is b.pier and found.gap[0] < -EPSILON:
        found = _to_face(a.pier, a.part, b.face)
    return Between(a.pier, float(found.gap[0]), found.at_a[0], found.at_b[0])


def solid_gap(a: Solid, b: Solid) -> Nearest:
    """The gap between two solids given in one frame, as one row."""
    if isinstance(a, Swept) and isinstance(b, Swept):
        return swept_swept(SweptTable.of([a, b]), _FIRST, _SECOND)
    if isinstance(a, Prism) and isinstance(b, Prism):
        return prism_prism(PrismTable.of([a, b]), _FIRST, _SECOND)
    if isinstance(a, Prism):
        return solid_gap(b, a).swapped()
    assert isinstance(b, Prism)
    return swept_prism(SweptTable.of([a]), PrismTable.of([b]), _FIRST, _FIRST)


def _to_face(pier: Pier, part: Part, face: Face) -> Nearest:
    """A part that is in the concrete, at least in part, to one of its faces."""
    exits = frozenset({Exit.BOTTOM}) if face is not Face.BOTTOM else frozenset[Exit]()
    alone = replace(pier, parts=(replace(part, inside=True, exits=exits),))
    table = face_gaps([alone], laid_out([alone]), np.inf)
    row = np.flatnonzero(table.b == face)
    return Nearest(table.gap[row], table.at_a[row], table.at_b[row])


def _things(site: Site, asked: str) -> Iterator[_Thing]:
    """Where a thing is: a beam is at every pier that it runs over. Raises KeyError when it is nowhere."""
    mark, _, rest = asked.partition("/concrete/")
    nowhere = True
    for pier in site.piers:
        if pier.mark == mark and rest in FACES:
            yield _Thing(pier, None, FACES[rest])
            return
        for part in pier.parts:
            if part.id == asked and part.role is not Role.CONCRETE:
                nowhere = False
                yield _Thing(pier, part)
    if nowhere:
        raise KeyError(asked)


def _at_one_pier(first: list[_Thing], second: list[_Thing], at: str | None) -> tuple[_Thing, _Thing]:
    """Two things at one pier where there is one that has both (`at` before others), else where they come
    first."""
    pairs = [(a, b) for a in first for b in second]
    return min(pairs, key=lambda p: (p[0].pier is not p[1].pier, p[0].pier.mark != at, p[1].pier.mark != at))


def _seen_from(own: Pier, other: Pier) -> Motion:
    """The other pier's frame seen from this one's; differences first: far coordinates cost no digit."""
    a, b = own.spec, other.spec
    there = Motion.turned(radians(b.turn), (b.x - a.x, b.y - a.y, b.top - a.top))
    return Motion.turned(radians(a.turn)).inverse().after(there)
