"""Findings that say the same of like things, folded to the worst of them and a count of the others."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    from clash.report.findings import Finding

MOST_NAMED = 4
"""How many things a fold names before it only counts them."""


class Fold(Struct, frozen=True):
    """The worst finding of a group, first, and the others that are like it."""

    worst: Finding
    others: tuple[Finding, ...] = ()

    @property
    def more(self) -> str:
        """`and 11 more like it: ties 2 to 12 from top`; empty when it stands alone."""
        if not self.others:
            return ""
        names = self._names()
        return f"and {len(self.others)} more like it" + (f": {names}" if names else "")

    def _names(self) -> str:
        """What the others are about, less what all of the group share."""
        shared = set(self.worst.labels).intersection(*(set(f.labels) for f in self.others))
        names: dict[str, None] = {}
        for finding in self.others:
            own = [label for label in finding.labels if label not in shared]
            if own:
                names[" and ".join(own)] = None
        return named(list(names))


def folded(findings: Iterable[Finding]) -> list[Fold]:
    """Findings of one pier (or, NOT CHECKED, of all piers), folded by their group, in the order of the worst.

    Answered findings fold only with those that the same answer covers, and a level never folds into another.
    """
    groups: dict[tuple[str, ...], list[Finding]] = {}
    for finding in findings:
        key = (
            finding.level.value,
            finding.answered or finding.lapsed or "",
            finding.rule,
            finding.group or finding.id,
        )
        groups.setdefault(key, []).append(finding)
    return [Fold(group[0], tuple(group[1:])) for group in groups.values()]


def named(names: Sequence[str]) -> str:
    """Names in few words: runs of numbers drawn together, what's beyond a handful counted.

    `tie 2 from top`, `tie 3 from top`, `tie 4 from top` become `ties 2 to 4 from top`.
    """
    runs: dict[tuple[str, str], list[int]] = {}
    out: list[str] = []
    for name in names:
        numbered = re.fullmatch(r"(\D*?)(\d+)(\D*)", name)
        if numbered is None:
            out.append(name)
            continue
        key = (numbered[1], numbered[3])
        if key not in runs:
            out.append("")  # keeps the place where the first of them stood
        runs.setdefault(key, []).append(int(numbered[2]))
    together = iter(_together(before, numbers, after) for (before, after), numbers in runs.items())
    out = [name or next(together) for name in out]
    if len(out) > MOST_NAMED:
        out = [*out[: MOST_NAMED - 1], f"{len(out) - MOST_NAMED + 1} others"]
    return ", ".join(out)


def counted(count: int, word: str) -> str:
    """`1 pier`, `24 piers`, `4,312 measurements`."""
    return f"{count:,} {word}" if count == 1 else f"{count:,} {word}s"


def _together(before: str, numbers: Sequence[int], after: str) -> str:
    if len(numbers) == 1:
        return f"{before}{numbers[0]}{after}"
    word = before.rstrip()
    if word and word == word.lower():
        return f"{word}s{before[len(word) :]}{spans(numbers)}{after}"
    return spans(numbers, before, after)


def spans(numbers: Sequence[int], before: str = "", after: str = "") -> str:
    """`2 to 4, 7`, or `P2 to P4, P7`: ascending numbers, each run of three or more by its ends."""
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    words: list[str] = []
    for low, high in runs:
        if high - low >= 2:
            words.append(f"{before}{low}{after} to {before}{high}{after}")
        else:
            words += [f"{before}{n}{after}" for n in range(low, high + 1)]
    return ", ".join(words)
