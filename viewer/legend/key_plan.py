"""The key plan as data: where every pier stands, the worst that was found at it, and the rows one walks."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from models.motion import Array
from models.part import Role
from models.solids import Prism
from viewer.legend.looks import CLEAR, LEVELS
from viewer.legend.rows import walked_rows

if TYPE_CHECKING:
    from clash.report.findings import Finding, Report
    from models.pier import Pier
    from models.site import Site

_CHORD = 5.0
"""mm."""


class KeyPier(Struct, frozen=True, eq=False):
    """A pier of the key plan.

    x, y: mm, site axes, from `KeyPlan.origin`; outline: (n, 2) of its concrete, likewise; level: the worst of
    its findings that nobody has answered, `clear` where there are none; count: how many such findings;
    answered: how many were answered.
    """

    mark: str
    x: float
    y: float
    outline: Array
    level: str
    count: int
    answered: int


class KeyBeam(Struct, frozen=True, eq=False):
    """A beam over the piers, or one in the ground: its name and its outline (n, 2), as of `KeyPier`."""

    name: str
    outline: Array


class KeyPlan(Struct, frozen=True, eq=False):
    """All of it. origin: site axes, mm; rows: marks of each row, in the order of a walk to and fro;
    elsewhere: how many findings belong to no pier."""

    origin: tuple[float, float]
    piers: tuple[KeyPier, ...]
    grade_beams: tuple[KeyBeam, ...]
    beams: tuple[KeyBeam, ...]
    rows: tuple[tuple[str, ...], ...]
    elsewhere: int

    @property
    def walk(self) -> tuple[str, ...]:
        """The marks of piers at which something is open, in the order of a walk along the rows."""
        flagged = {pier.mark for pier in self.piers if pier.level != CLEAR}
        return tuple(mark for row in self.rows for mark in row if mark in flagged)


def key_plan(site: Site, report: Report) -> KeyPlan:
    """The key plan of a judged site."""
    xs, ys = [p.spec.x for p in site.piers], [p.spec.y for p in site.piers]
    origin = (min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0
    found: dict[str, list[Finding]] = {}
    for finding in report.findings:
        found.setdefault(finding.pier, []).append(finding)
    piers = tuple(_pier(pier, found.get(pier.mark, []), origin) for pier in site.piers)
    marks = {pier.mark for pier in site.piers}
    return KeyPlan(
        origin,
        piers,
        _beams(site, Role.GRADE_BEAM, origin),
        _beams(site, Role.BEAM, origin),
        rows_of(piers),
        sum(len(findings) for mark, findings in found.items() if mark not in marks),
    )


def _pier(pier: Pier, findings: list[Finding], origin: tuple[float, float]) -> KeyPier:
    open_ = [f for f in findings if f.answered is None]
    levels = {f.level.value for f in open_}
    level = next((level for level in LEVELS if level in levels), CLEAR)
    ring = pier.concrete.outline.outer.polyline(_CHORD)
    placed = pier.frame.points(np.column_stack([ring, np.zeros(len(ring))]))[:, :2] - np.array(origin)
    x, y = pier.spec.x - origin[0], pier.spec.y - origin[1]
    return KeyPier(pier.mark, x, y, placed, level, len(open_), len(findings) - len(open_))


def _beams(site: Site, role: Role, origin: tuple[float, float]) -> tuple[KeyBeam, ...]:
    """Each once, though every pier on or under it has it."""
    seen: dict[str, KeyBeam] = {}
    for pier in site.piers:
        for part in pier.parts:
            if part.role is role and part.id not in seen and isinstance(part.solid, Prism):
                ring = part.solid.outline.outer.polyline(_CHORD)
                local = part.solid.motion.points(np.column_stack([ring, np.zeros(len(ring))]))
                placed = pier.frame.points(local)[:, :2] - np.array(origin)
                seen[part.id] = KeyBeam(part.label, placed)
    return tuple(seen.values())


def rows_of(piers: tuple[KeyPier, ...]) -> tuple[tuple[str, ...], ...]:
    """The marks of each row, as one walks them to and fro."""
    rows = walked_rows(np.array([[p.x, p.y] for p in piers]))
    return tuple(tuple(piers[i].mark for i in row) for row in rows)
