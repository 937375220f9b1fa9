"""The key plan as data: where every pier stands, the worst that was found at it, and the rows one walks."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from models.motion import Array
from models.part import Role
from viewer.legend.ground import KeyBeam, beams_of, origin_of, pier_outline
from viewer.legend.looks import CLEAR, LEVELS
from viewer.legend.rows import walked_rows

if TYPE_CHECKING:
    from clash.report.findings import Finding, Report
    from models.pier import Pier
    from models.site import Site


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
    origin = origin_of(site)
    found: dict[str, list[Finding]] = {}
    for finding in report.findings:
        found.setdefault(finding.pier, []).append(finding)
    piers = tuple(_pier(pier, found.get(pier.mark, []), origin) for pier in site.piers)
    marks = {pier.mark for pier in site.piers}
    return KeyPlan(
        (float(origin[0]), float(origin[1])),
        piers,
        beams_of(site, Role.GRADE_BEAM, origin),
        beams_of(site, Role.BEAM, origin),
        rows_of(piers),
        sum(len(findings) for mark, findings in found.items() if mark not in marks),
    )


def _pier(pier: Pier, findings: list[Finding], origin: Array) -> KeyPier:
    open_ = [f for f in findings if f.answered is None]
    levels = {f.level.value for f in open_}
    level = next((level for level in LEVELS if level in levels), CLEAR)
    x, y = (np.array([pier.spec.x, pier.spec.y]) - origin).tolist()
    outline = pier_outline(pier, origin)
    return KeyPier(pier.mark, x, y, outline, level, len(open_), len(findings) - len(open_))


def rows_of(piers: tuple[KeyPier, ...]) -> tuple[tuple[str, ...], ...]:
    """The marks of each row, as one walks them to and fro."""
    rows = walked_rows(np.array([[p.x, p.y] for p in piers]))
    return tuple(tuple(piers[i].mark for i in row) for row in rows)
