"""The report as a builder reads it: worst first by pier, then what is clear, then what was not checked."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING

from clash.findings import Level
from viewer.console import ink
from viewer.fold import Fold, folded, named

if TYPE_CHECKING:
    from clash.findings import Finding, Report

CAUTION = (
    "A geometry check on the data given, no structural design. The engineer of record, the local code and "
    "the building official decide. When something doesn't fit, ask the engineer, with the figure in hand."
)
_COLORS = {Level.HOLD: "red", Level.TIGHT: "yellow", Level.NOT_CHECKED: "blue"}
_UNITS = {"ft-in": "feet and inches", "mm": "millimeters"}
_FIGURE = re.compile(r"(\d\"?) (?=(?:in|ft|mm|m|degrees)\b)")
_HANG = 13
"""Columns before a sentence: two, and room for NOT CHECKED."""


def report_text(report: Report, file: str, width: int, colors: bool = False, only: str | None = None) -> str:
    """The whole report, wrapped at `width` columns.

    file: the site file as its reader knows it; only: the mark that the check was confined to.
    """
    return "\n".join(_Page(report, width, colors).lines(file, only))


class _Page:
    def __init__(self, report: Report, width: int, colors: bool) -> None:
        self.report = report
        self.width = width
        self.colors = colors

    def lines(self, file: str, only: str | None) -> Iterator[str]:
        yield from self._header(file, only)
        yield from self._overrides()
        yield from self._findings()
        yield from self._clear()
        yield from self._not_checked()
        yield ""
        yield from self._bold(summary(self.report))

    def _header(self, file: str, only: str | None) -> Iterator[str]:
        report = self.report
        yield from self._bold(report.site + (f", pier {only} alone" if only else ""))
        yield from self._wrapped(f"{'site file':<11}", f"{file}, sha256 {report.input_sha256[:12]}")
        yield from self._wrapped(f"{'rule book':<11}", report.rule_book)
        yield from self._wrapped(f"{'units':<11}", _UNITS.get(report.units, report.units))
        yield ""
        yield from self._wrapped("", CAUTION)

    def _overrides(self) -> Iterator[str]:
        if self.report.overrides:
            yield from self._title("Looser than published, as the site file specifies")
            for sentence in self.report.overrides:
                yield from self._wrapped("  ", sentence)

    def _findings(self) -> Iterator[str]:
        by_pier: dict[str, list[Finding]] = {}
        for finding in self.report.findings:
            if finding.level is not Level.NOT_CHECKED:
                by_pier.setdefault(finding.pier, []).append(finding)
        for pier, findings in by_pier.items():
            yield from self._title(f"Pier {pier}")
            for fold in folded(findings):
                yield from self._fold(fold)

    def _fold(self, fold: Fold) -> Iterator[str]:
        finding = fold.worst
        word = finding.level.value
        lead = f"  {word:<{_HANG - 2}}"
        if self.colors:
            lead = lead.replace(word, ink(word, _COLORS[finding.level]))
        says = finding.says.rstrip()
        yield from self._wrapped(lead, says, _HANG)
        if fold.more:
            yield from self._wrapped(" " * _HANG, fold.more)
        if finding.answered:
            yield from self._wrapped(" " * _HANG, f"answered: {finding.answered}")

    def _clear(self) -> Iterator[str]:
        if not any(self.report.clear.values()):
            return
        yield from self._title("Checked and clear")
        for rule, count in self.report.clear.items():
            if count:
                yield from self._wrapped(
                    f"  {count:>{_HANG - 4},}  ", self.report.titles.get(rule, rule), _HANG
                )

    def _not_checked(self) -> Iterator[str]:
        report = self.report
        missing = [f for f in report.findings if f.level is Level.NOT_CHECKED]
        if not (missing or report.not_modelled or report.does_not_apply):
            return
        yield from self._title("Not checked")
        for fold in folded(missing):
            yield from self._missing(fold)
        for sentence in report.not_modelled:
            yield from self._wrapped(f"  {'outside':<{_HANG - 2}}", sentence)
        for rule, why in report.does_not_apply.items():
            yield from self._wrapped(f"  {'no case':<{_HANG - 2}}", f"{report.titles.get(rule, rule)}: {why}")

    def _missing(self, fold: Fold) -> Iterator[str]:
        yield from self._fold(Fold(fold.worst))
        piers = list(dict.fromkeys(f.pier for f in (fold.worst, *fold.others) if f.pier))
        if len(piers) > 1:
            yield from self._wrapped(" " * _HANG, f"the same at {len(piers)} piers: {named(piers)}")
        elif fold.others:
            yield from self._wrapped(" " * _HANG, fold.more)

    def _title(self, text: str) -> Iterator[str]:
        yield ""
        yield from self._bold(text)

    def _bold(self, text: str) -> Iterator[str]:
        for line in self._wrapped("", text):
            yield ink(line, "bold") if self.colors else line

    def _wrapped(self, lead: str, text: str, hang: int | None = None) -> Iterator[str]:
        """Text after a lead, further lines hanging under its first; `hang`: columns of a lead with colors."""
        columns = len(lead) if hang is None else hang
        glued = _FIGURE.sub("\\1\u00a0", text)  # a figure and its unit stay on one line
        lines = textwrap.wrap(
            glued, max(self.width - columns, 20), break_long_words=False, break_on_hyphens=False
        ) or [""]
        lines = [line.replace("\u00a0", " ") for line in lines]
        yield (lead + lines[0]).rstrip()
        for line in lines[1:]:
            yield " " * columns + line


def summary(report: Report) -> str:
    """One line: how many on HOLD at how many piers, how many not checked, how much was checked."""
    waiting = [f for f in report.findings if f.answered is None]
    holds = [f for f in waiting if f.level is Level.HOLD]
    tight = sum(f.level is Level.TIGHT for f in waiting)
    answered = len(report.findings) - len(waiting)
    said = [f"{len(holds)} HOLD" + (f" on {_piers(len({f.pier for f in holds}))}" if holds else "")]
    if tight:
        said.append(f"{tight} TIGHT")
    said.append(f"{report.not_checked} NOT CHECKED")
    if answered:
        said.append(f"{answered} answered")
    said.append(f"{report.checked:,} {'measurement' if report.checked == 1 else 'measurements'} checked")
    return ", ".join(said) + f" on {_piers(report.piers)}."


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


def _piers(count: int) -> str:
    return "1 pier" if count == 1 else f"{count} piers"
