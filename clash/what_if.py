"""A site with changes that are only tried: each is built, measured and judged at once.

One pier is built anew, only what its changed parts are part of is measured again, and the findings of the
other piers are kept. The report is that of judging the changed site as a whole.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
from msgspec import Struct

from clash.gap_table import WITHIN, GapTable
from clash.gaps import measure, measure_again
from clash.judge import judge_pier, report_of
from clash.kernel.layout import boxes
from clash.kernel.prism_table import PrismTable
from clash.kernel.tables import SweptTable
from clash.report.findings import Finding, Report
from clash.report.judged import Judged
from models.changes.change import Change
from models.changes.rebuilt import changed_holes, rebuilt
from models.motion import Array
from models.part import Part, Role
from models.pier import Pier
from models.site import Site
from models.solids import Prism, Swept


@dataclass(frozen=True, eq=False)
class WhatIf:
    """A site, measured and judged, pier by pier; `drawn` is the site as its file has it.

    gaps: each pier's own; judged: what came out at each.
    """

    drawn: Site
    site: Site
    gaps: tuple[GapTable, ...]
    judged: tuple[Judged, ...]

    @staticmethod
    def of(site: Site, gaps: GapTable | None = None) -> WhatIf:
        """A site as drawn; gaps: what `clash.gaps.measure` answered for all of its piers, where known."""
        table = measure(site.piers) if gaps is None else gaps
        rows = tuple(table.rows(i) for i in range(len(site.piers)))
        return WhatIf(site, site, rows, tuple(judge_pier(site, i, own) for i, own in enumerate(rows)))

    @cached_property
    def report(self) -> Report:
        """What judging the whole site brings out."""
        return report_of(self.site, self.judged)

    def findings(self, mark: str) -> tuple[Finding, ...]:
        """The findings of one pier, worst first."""
        return tuple(finding for finding in self.report.findings if finding.pier == mark)

    def with_change(self, mark: str, change: Change) -> WhatIf:
        """The same with one more change.

        Raises ValueError with one sentence where the pier cannot exist so; KeyError for a mark that is not
        there.
        """
        i = _index(self.site, mark)
        units = self.site.units
        site = rebuilt(self.site, change.applied(self.site.piers[i].spec, units))
        gaps, judged = list(self.gaps), list(self.judged)
        for k, (pier, was) in enumerate(zip(site.piers, self.site.piers, strict=True)):
            if pier is not was and (k == i or _notices(pier, was, site.piers[i])):
                gaps[k] = measure_again(pier, was, gaps[k])
                judged[k] = judge_pier(site, k, gaps[k])
        return replace(self, site=site, gaps=tuple(gaps), judged=tuple(judged))

    @property
    def changed(self) -> tuple[tuple[Pier, Pier], ...]:
        """The piers whose spec differs from the site file's: as drawn, and as tried."""
        pairs = zip(self.drawn.piers, self.site.piers, strict=True)
        return tuple((was, now) for was, now in pairs if was.spec != now.spec)


class Trial(Struct, frozen=True, eq=False):
    """What has been tried, step by step; at: which step counts now, 0 being the site as drawn."""

    steps: tuple[WhatIf, ...]
    at: int = 0

    @property
    def now(self) -> WhatIf:
        """The site as tried."""
        return self.steps[self.at]

    def tried(self, mark: str, change: Change) -> Trial:
        """One more change; what had been undone is gone. Raises as `WhatIf.with_change`."""
        return Trial((*self.steps[: self.at + 1], self.now.with_change(mark, change)), self.at + 1)

    def undone(self) -> Trial:
        """One step back; the same where there is none."""
        return Trial(self.steps, max(self.at - 1, 0))

    def redone(self) -> Trial:
        """One step forward again; the same where nothing was undone."""
        return Trial(self.steps, min(self.at + 1, len(self.steps) - 1))


def _index(site: Site, mark: str) -> int:
    for i, pier in enumerate(site.piers):
        if pier.mark == mark:
            return i
    raise KeyError(mark)


def _notices(pier: Pier, was: Pier, moved: Pier) -> bool:
    """Whether the holes of a beam that moved at another pier (`moved`) can change the findings of this one.

    The rules see a beam's holes that are nearest to their pier, and gaps up to `WITHIN`. A hole that is
    nearer to the pier that moved it, and keeps farther than that reach, and than the beam is wide and deep
    (as far as an overlap can go), from all that this pier has, is none of its own and changes none of its
    gaps.
    """
    origin = pier.frame.inverse().points(moved.frame.shift)
    for now, then in zip(pier.parts, was.parts, strict=True):
        if now is then or now.role is not Role.BEAM:
            continue
        beam = now.solid
        assert isinstance(beam, Prism)
        reach = WITHIN + beam.top - beam.bottom + float(np.ptp(beam.outline.outer.starts[:, 1]))
        low, high = _boxes(tuple(part for part in pier.parts if part.id != now.id))
        for hole in changed_holes(then, now):
            x, y = hole.centers[0]
            axis = beam.motion.points(np.array([[x, y, beam.bottom], [x, y, beam.top]]))
            reach_of_hole = float(np.hypot(*(hole.starts[0] - hole.centers[0])))
            apart = np.maximum(np.maximum(low - axis[1][:, None], axis[0][:, None] - high), 0.0)
            away = np.min(np.linalg.norm(apart, axis=0), initial=np.inf) - reach_of_hole
            nearer = np.linalg.norm(axis[0, :2]) <= np.linalg.norm((axis[0] - origin)[:2])
            if nearer or away <= reach:
                return True
    return False


@lru_cache(maxsize=256)
def _boxes(parts: tuple[Part, ...]) -> tuple[Array, Array]:
    """Boxes (3, n) of some parts, mm, in their pier's frame."""
    bars = boxes(SweptTable.of([part.solid for part in parts if isinstance(part.solid, Swept)]))
    prisms = PrismTable.of([part.solid for part in parts if isinstance(part.solid, Prism)])
    return np.hstack([bars[0], prisms.box_lo.T]), np.hstack([bars[1], prisms.box_hi.T])
