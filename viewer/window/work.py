"""What the window works on: the site, its report, and what of each pier has been prepared so far."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from clash.gap_table import GapTable
from clash.report.findings import Finding, Report
from models.lengths import Units
from models.pier import Pier
from models.site import Site
from viewer.fold import Fold, folded
from viewer.looks import LevelLook, worst
from viewer.placed_marks import PlacedMarks
from viewer.scene.sight import Outlook
from viewer.scene.site import HighestSeat
from viewer.window.rows import walk
from viewer.window.spots import Place, place_of


@dataclass(eq=False)
class Looked:
    """One pier as it is shown. rows: its gaps; folds: its findings, worst first."""

    pier: Pier
    rows: GapTable
    folds: list[Fold]
    _outlook: Outlook | None = None
    _places: dict[int, Place | None] = field(default_factory=dict)

    @property
    def outlook(self) -> Outlook:
        """What can be seen of it, prepared when first asked for."""
        if self._outlook is None:
            self._outlook = Outlook(self.pier)
        return self._outlook

    def place(self, finding: int) -> Place | None:
        """Where one of its findings is."""
        if finding not in self._places:
            self._places[finding] = place_of(self.pier, self.folds[finding].worst, self.rows)
        return self._places[finding]


class Work:
    """The site and all that was found, pier by pier; a pier may be put anew (what if)."""

    def __init__(self, site: Site, report: Report, gaps: GapTable) -> None:
        """gaps: of all piers, as `clash.gaps.measure` answers. What was placed is put in afterwards.

        elsewhere: findings that are of no one pier.
        """
        self.site, self.report = site, report
        self.level_placed: HighestSeat | None = None
        self.placed: dict[str, PlacedMarks] | None = None
        self.units = Units(site.spec.site.units)
        by_pier: dict[str, list[Finding]] = {pier.mark: [] for pier in site.piers}
        self.elsewhere: list[Finding] = []
        for finding in report.findings:
            by_pier.get(finding.pier, self.elsewhere).append(finding)
        self._looked = {
            pier.mark: Looked(pier, gaps.rows(i), folded(by_pier[pier.mark]))
            for i, pier in enumerate(site.piers)
        }
        places = np.array([[pier.spec.x, pier.spec.y] for pier in site.piers], dtype=float).reshape(-1, 2)
        self.walk: tuple[str, ...] = tuple(site.piers[i].mark for i in walk(places))

    @property
    def marks(self) -> tuple[str, ...]:
        """Marks in the order of the site file."""
        return tuple(self._looked)

    @property
    def flagged(self) -> tuple[str, ...]:
        """Marks of the piers with a finding that nobody has answered, in the order of the walk."""
        return tuple(m for m in self.walk if any(f.worst.answered is None for f in self._looked[m].folds))

    def looked(self, mark: str) -> Looked:
        """A pier; KeyError for a mark that the site doesn't have."""
        return self._looked[mark]

    def level(self, mark: str) -> LevelLook:
        """The look of the worst level at a pier, among what nobody has answered."""
        return worst([f.worst.level.value for f in self._looked[mark].folds if f.worst.answered is None])

    def put(self, pier: Pier, rows: GapTable, findings: Sequence[Finding]) -> None:
        """Show a pier anew, as another pier of the same mark with its gaps and findings."""
        self._looked[pier.mark] = Looked(pier, rows, folded(findings))
