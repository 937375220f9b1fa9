"""The report as a builder reads it: worst first by pier, then what is clear, then what was not checked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from msgspec import Struct

from clash.report.findings import Level
from viewer.report.page import Page
from viewer.report.since import since_lines
from viewer.wording.fold import Fold, counted, folded, named

if TYPE_CHECKING:
    from clash.report.findings import Finding, Report
    from clash.report.since import Since

CAUTION = (
    "A geometry check on the data given, no structural design. The engineer of record, the local code and "
    "the building official decide. When something doesn't fit, ask the engineer, with the figure in hand."
)
FROM_MEMORY = (
    'A source marked "from memory" names a figure that was not read in the document itself: check it there '
    "before you rely on it."
)
_COLORS = {Level.HOLD: "red", Level.TIGHT: "yellow", Level.NOT_CHECKED: "blue"}
_UNITS = {"ft-in": "feet and inches", "mm": "millimeters"}
_HANG = 15
"""Columns before a sentence: two, and room for NOT CHECKED."""


def report_text(
    report: Report,
    file: str,
    width: int,
    colors: bool = False,
    only: str | None = None,
    since: Since | None = None,
) -> str:
    """The whole report, wrapped at `width` columns.

    file: the site file as its reader knows it; only: the mark that the check was confined to; since: what
    changed since an earlier report, where one was named.
    """
    return "\n".join(_Told(report, Page(width, colors)).lines(file, only, since))


class _Told(Struct, frozen=True):
    report: Report
    page: Page

    def lines(self, file: str, only: str | None, since: Since | None) -> Iterator[str]:
        told = [
            *self._header(file, only),
            *self._overrides(),
            *self._answers(),
            *self._findings(),
            *self._both_axes(),
            *self._clear(),
            *self._not_checked(),
            *self._outside(),
        ]
        yield from told
        yield from memory(told, self.page)
        if since is not None:
            yield from since_lines(since, self.page, self.report.units)
        yield ""
        yield from self.page.bold(summary(self.report))

    def _header(self, file: str, only: str | None) -> Iterator[str]:
        report = self.report
        yield from self.page.bold(report.site + (f", pier {only} alone" if only else ""))
        yield from self.page.wrapped(f"{'site file':<11}", f"{file}, sha256 {report.input_sha256[:12]}")
        yield from self.page.wrapped(f"{'rule book':<11}", report.rule_book)
        yield from self.page.wrapped(f"{'units':<11}", _UNITS.get(report.units, report.units))
        if report.placing:
            yield from self.page.wrapped(f"{'tolerances':<11}", report.placing)
        yield ""
        yield from self.page.wrapped("", CAUTION)

    def _overrides(self) -> Iterator[str]:
        if self.report.overrides:
            yield from self._title("Looser than published, as the site file specifies")
            for sentence in self.report.overrides:
                yield from self.page.wrapped("  ", sentence)

    def _answers(self) -> Iterator[str]:
        if self.report.answers:
            yield from self._title("Answers that match no finding")
            for sentence in self.report.answers:
                yield from self.page.wrapped("  ", sentence)

    def _both_axes(self) -> Iterator[str]:
        if self.report.both_axes:
            yield from self._title("Along both axes at once")
            for sentence in self.report.both_axes:
                yield from self.page.wrapped("  ", sentence)

    def _findings(self) -> Iterator[str]:
        by_pier: dict[str, list[Finding]] = {}
        for finding in self.report.findings:
            if finding.level is not Level.NOT_CHECKED:
                by_pier.setdefault(finding.pier, []).append(finding)
        alike: dict[tuple[str, ...], list[str]] = {}
        for pier, findings in by_pier.items():
            # The numbers are those of `viewer.legend.spots`: what is NOT CHECKED comes after them.
            folds = enumerate(folded(findings), start=1)
            told = tuple(line for number, fold in folds for line in self._fold(fold, f" {number}"))
            alike.setdefault(told, []).append(pier)
        for lines, piers in alike.items():
            yield from self._title(f"Pier {piers[0]}" if len(piers) == 1 else f"Piers {named(piers)}, each")
            yield from lines

    def _fold(self, fold: Fold, number: str = "") -> Iterator[str]:
        """A fold in lines; number: as pictures and briefing have it."""
        finding = fold.worst
        word = finding.level.value
        lead = f"  {self.page.ink(word, _COLORS[finding.level])}{number:<{_HANG - 2 - len(word)}}"
        yield from self.page.wrapped(lead, finding.says, _HANG)
        if fold.more:
            yield from self.page.wrapped(" " * _HANG, fold.more)
        if finding.answered:
            yield from self.page.wrapped(" " * _HANG, f"answered: {finding.answered}")
        if finding.lapsed:
            lead = f"  {self.page.ink('LAPSED', 'red')}{'':<{_HANG - 2 - len('LAPSED')}}"
            yield from self.page.wrapped(lead, finding.lapsed, _HANG)

    def _clear(self) -> Iterator[str]:
        if not any(self.report.clear.values()):
            return
        yield from self._title("Checked and clear")
        for rule, count in self.report.clear.items():
            if count:
                yield from self.page.wrapped(
                    f"  {count:>{_HANG - 4},}  ", self.report.titles.get(rule, rule), _HANG
                )

    def _not_checked(self) -> Iterator[str]:
        missing = [f for f in self.report.findings if f.level is Level.NOT_CHECKED]
        if missing:
            yield from self._title("Not checked")
            for fold in folded(missing):
                yield from self._missing(fold)

    def _outside(self) -> Iterator[str]:
        report = self.report
        if report.not_modelled or report.does_not_apply:
            yield from self._title("Outside of this check")
        for sentence in report.not_modelled:
            yield from self.page.wrapped("  ", sentence)
        for rule, why in report.does_not_apply.items():
            title = report.titles.get(rule, rule)
            yield from self.page.wrapped("  ", f"{title[:1].upper()}{title[1:]}: {why}.")

    def _missing(self, fold: Fold) -> Iterator[str]:
        yield from self._fold(Fold(fold.worst))
        piers = list(dict.fromkeys(f.pier for f in (fold.worst, *fold.others) if f.pier))
        if len(piers) > 1:
            yield from self.page.wrapped(" " * _HANG, f"the same at {len(piers)} piers: {named(piers)}")
        elif fold.others:
            yield from self.page.wrapped(" " * _HANG, fold.more)

    def _title(self, text: str) -> Iterator[str]:
        yield ""
        yield from self.page.bold(text)


def memory(told: Iterable[str], page: Page) -> Iterator[str]:
    """A blank line and what "from memory" means, where any of these lines says it."""
    if "from memory" in " ".join(" ".join(told).split()):
        yield ""
        yield from page.wrapped("", FROM_MEMORY)


def summary(report: Report) -> str:
    """One line: how many on HOLD at how many piers, how many not checked, how much was checked."""
    waiting = [f for f in report.findings if f.answered is None]
    holds = [f for f in waiting if f.level is Level.HOLD]
    tight = sum(f.level is Level.TIGHT for f in waiting)
    answered = len(report.findings) - len(waiting)
    said = [f"{len(holds)} HOLD" + (f" on {counted(len({f.pier for f in holds}), 'pier')}" if holds else "")]
    if tight:
        said.append(f"{tight} TIGHT")
    said.append(f"{report.not_checked} NOT CHECKED")
    lapsed = sum(f.lapsed is not None for f in waiting)
    if lapsed:
        said.append(f"{counted(lapsed, 'answer')} lapsed")
    if answered:
        said.append(f"{answered} answered")
    said.append(f"{counted(report.checked, 'measurement')} checked")
    return ", ".join(said) + f" on {counted(report.piers, 'pier')}."


def meaning(report: Report) -> str:
    """What the exit code of `pierclear check` says of this report."""
    holds = any(f.level is Level.HOLD for f in report.open)
    missing = any(f.level is Level.NOT_CHECKED for f in report.open)
    if holds:
        return "Exit code 1: do not pour what is on HOLD; ask the engineer of record."
    if missing:
        return (
            "Exit code 1: what is NOT CHECKED is not clear; say in the site file what is missing, or have it "
            "checked otherwise."
        )
    return "Exit code 0: nothing is on HOLD and nothing is NOT CHECKED, within what was checked."
