"""What the window works on: the site, its report, and what of each pier has been prepared so far."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

from clash.gap_table import GapTable
from clash.gaps import measure
from clash.judge import judge_pier, report_of
from clash.report.findings import Finding, Report
from clash.report.judged import Judged
from clash.report.order import worst_first
from clash.what_if import WhatIf
from models.pier import Pier
from models.site import Site
from viewer.legend.looks import LevelLook, worst
from viewer.legend.placed_marks import PlacedMarks
from viewer.legend.rows import walk
from viewer.scene.sight import Outlook
from viewer.scene.site import HighestSeat
from viewer.window.spots import Place, place_of
from viewer.wording.fold import Fold, folded


class Looked(Struct, eq=False):
    """One pier as it is shown. rows: its gaps; folds: its findings, worst first."""

    pier: Pier
    rows: GapTable
    folds: list[Fold]
    _outlook: Outlook | None = None
    _places: dict[int, Place | None] = field(default_factory=dict)

    @property
    def findings(self) -> list[Finding]:
        """Its findings one by one, worst first."""
        return worst_first([f for fold in self.folds for f in (fold.worst, *fold.others)])

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


SLICE = 8
"""Piers that are judged between two looks at the keyboard."""


class Work:
    """The site and what was found so far, pier by pier; a pier may be put anew (what if).

    A large site is judged while the window is open already: `pending` says which piers are still to come.
    report: of what was judged first; its names and titles are those of the whole. elsewhere: findings of no
    one pier. placed, level_placed: what a survey shows, where there is one.
    """

    def __init__(self, site: Site, surveyed: Sequence[Finding] = ()) -> None:
        """Nothing judged yet. surveyed: findings of a survey, told beside those of the drawing."""
        self.site = site
        self.units = site.units
        self.level_placed: HighestSeat | None = None
        self.placed: dict[str, PlacedMarks] | None = None
        self.elsewhere: list[Finding] = [f for f in surveyed if f.pier not in {p.mark for p in site.piers}]
        self._surveyed = surveyed
        self._looked: dict[str, Looked] = {}
        self._judged: dict[str, Judged] = {}
        self._first_at: dict[str, str] = {}
        self._report: Report | None = None
        self._piers = {pier.mark: pier for pier in site.piers}
        places = np.array([[pier.spec.x, pier.spec.y] for pier in site.piers], dtype=float).reshape(-1, 2)
        self.walk: tuple[str, ...] = tuple(site.piers[i].mark for i in walk(places))
        self.pending: list[str] = list(self.walk)

    @property
    def report(self) -> Report:
        """The report of what was judged first."""
        if self._report is None:
            self.judge(1)
        assert self._report is not None
        return self._report

    @property
    def marks(self) -> tuple[str, ...]:
        """Marks in the order of the site file."""
        return tuple(self._piers)

    @property
    def flagged(self) -> tuple[str, ...]:
        """Marks of the piers with a finding that nobody has answered, in the order of the walk, so far."""
        return tuple(
            m
            for m in self.walk
            if m in self._looked and any(f.worst.answered is None for f in self._looked[m].folds)
        )

    def judge(self, count: int, first: str | None = None) -> None:
        """Judge so many of the pending piers, in the order of the walk; `first` before all others."""
        if first in self.pending:
            self.pending.remove(first)
            self.pending.insert(0, first)
        marks, self.pending = set(self.pending[:count]), self.pending[count:]
        piers = tuple(pier for pier in self.site.piers if pier.mark in marks)
        if not piers:
            return
        gaps = measure(piers)
        index = {pier.mark: i for i, pier in enumerate(self.site.piers)}
        judged = [judge_pier(self.site, index[p.mark], gaps.rows(k)) for k, p in enumerate(piers)]
        self._judged.update({pier.mark: one for pier, one in zip(piers, judged, strict=True)})
        report = report_of(replace(self.site, piers=piers), judged)
        self._report = self._report or report
        by_pier: dict[str, list[Finding]] = {pier.mark: [] for pier in piers}
        for finding in (*report.findings, *(f for f in self._surveyed if f.pier in marks)):
            by_pier.get(finding.pier, self.elsewhere).append(finding)
        for i, pier in enumerate(piers):
            own = [f for f in worst_first(by_pier[pier.mark]) if self._told_here(f)]
            self._looked[pier.mark] = Looked(pier, gaps.rows(i), folded(own))

    def looked(self, mark: str) -> Looked:
        """A pier, judged now if it was pending; KeyError for a mark that the site doesn't have."""
        if mark not in self._looked and mark in self._piers:
            self.judge(1, first=mark)
        return self._looked[mark]

    def level(self, mark: str) -> LevelLook | None:
        """The look of the worst level at a pier, among what nobody has answered; None while it is pending."""
        if mark not in self._looked:
            return None
        return worst([f.worst.level.value for f in self._looked[mark].folds if f.worst.answered is None])

    def as_drawn(self) -> WhatIf:
        """The site as it was opened, with what judging it brought out; judges what is still pending."""
        self.judge(len(self.pending))
        marks = [pier.mark for pier in self.site.piers]
        rows = tuple(self._looked[mark].rows for mark in marks)
        return WhatIf(self.site, self.site, rows, tuple(self._judged[mark] for mark in marks))

    def show(self, tried: WhatIf) -> None:
        """Show the site as tried; findings of a survey stay. Piers that come out as before are kept."""
        self.site = tried.site
        by_pier: dict[str, list[Finding]] = {pier.mark: [] for pier in tried.site.piers}
        for finding in (*tried.report.findings, *self._surveyed):
            if finding.pier in by_pier:
                by_pier[finding.pier].append(finding)
        for pier, rows in zip(tried.site.piers, tried.gaps, strict=True):
            old, own = self._looked[pier.mark], worst_first(by_pier[pier.mark])
            if old.pier is not pier or old.findings != own:
                self._looked[pier.mark] = Looked(pier, rows, folded(own))

    def _told_here(self, finding: Finding) -> bool:
        """Whether a finding is told at its pier: of a thing that several share, at the first judged."""
        return self._first_at.setdefault(finding.id, finding.pier) == finding.pier
