"""Figures of the site that are looser than published: told once for all piers that share them."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct, field

from clash.needs.need import Need
from clash.report.wording import override
from clash.rule import EPSILON, Measured, Rule
from models.lengths import Units
from models.pier import Pier

_Key = tuple[str, str, float]


class Overrides(Struct, eq=False):
    """Looser figures by rule, wording and value, with the piers they hold at.

    Where one figure replaces several published ones (cover by bar size), the largest of those is told.
    """

    found: dict[_Key, tuple[Rule, Need, Measured]] = field(default_factory=dict)
    marks: dict[_Key, list[str]] = field(default_factory=dict)

    def look_at(self, rule: Rule, need: Need, pier: Pier, of: Measured) -> None:
        """Keep a need whose figure is the site's and looser than the published one; of: what asks for it."""
        if need.published is None or need.value is None:
            return
        looser = need.published - need.value if of.limit == "least" else need.value - need.published
        if looser <= EPSILON:
            return
        key = (rule.id, need.what or rule.title, round(need.value, 6))
        known = self.found.get(key)
        if known is None or _tells_more(need.published, known[1].published or 0.0, of):
            self.found[key] = (rule, need, of)
        marks = self.marks.setdefault(key, [])
        if pier.mark not in marks:
            marks.append(pier.mark)

    def take(self, more: Overrides) -> None:
        """Add what was found at other piers."""
        for key, (rule, need, of) in more.found.items():
            known = self.found.get(key)
            if known is None or _tells_more(need.published or 0.0, known[1].published or 0.0, of):
                self.found[key] = (rule, need, of)
            marks = self.marks.setdefault(key, [])
            marks += [mark for mark in more.marks[key] if mark not in marks]

    def sentences(self, piers: Sequence[Pier], units: Units) -> tuple[str, ...]:
        """One sentence for each, by rule; who it holds at is said by kind where it holds for whole kinds."""
        return tuple(
            override(need, rule.title, who(self.marks[key], piers), units, of.limit, of.unit)
            for key, (rule, need, of) in sorted(self.found.items(), key=lambda item: item[0])
        )


def _tells_more(published: float, known: float, of: Measured) -> bool:
    return published > known if of.limit == "least" else published < known


def who(marks: Sequence[str], piers: Sequence[Pier]) -> str:
    """All piers, whole kinds, or single piers, in words."""
    held = set(marks)
    if all(pier.mark in held for pier in piers):
        return "All piers" if len(piers) > 1 else f"Pier {piers[0].mark}"
    by_kind: dict[str, list[str]] = {}
    for pier in piers:
        by_kind.setdefault(pier.kind, []).append(pier.mark)
    words: list[str] = []
    single: list[str] = []
    for kind in sorted(by_kind):
        own = [mark for mark in by_kind[kind] if mark in held]
        if own and len(own) == len(by_kind[kind]) and len(own) > 1:
            words.append(f"piers of kind {kind}")
        else:
            single += own
    if single:
        words.append(("pier " if len(single) == 1 else "piers ") + ", ".join(sorted(single)))
    text = " and ".join(words)
    return text[0].upper() + text[1:]
