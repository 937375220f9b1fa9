"""What judging brought out, pier by pier, so that one pier can be judged again and the others kept."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from msgspec import Struct, field

from clash.needs.overrides import Overrides
from clash.report.findings import Finding
from clash.report.order import natural
from clash.tolerances.both_axes import BothAxes
from models.pier import Pier


class Judged(Struct, eq=False):
    """The outcome of every rule at some piers, at first at none.

    findings: by id; clear: by rule id, how many measurements; failed: how many are not clear, of those that
    could be judged; applied: ids of the rules that had something to measure; no_case: by rule id, why it had
    not.
    """

    piers: list[Pier] = field(default_factory=list)
    findings: dict[str, Finding] = field(default_factory=dict)
    clear: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    failed: int = 0
    applied: set[str] = field(default_factory=set)
    no_case: dict[str, dict[str, None]] = field(default_factory=lambda: defaultdict(dict))
    overrides: Overrides = field(default_factory=Overrides)
    both_axes: BothAxes = field(default_factory=BothAxes)

    def put(self, finding: Finding) -> None:
        """Keep a finding; of two with one id (a thing that several piers share) the one of the first mark."""
        known = self.findings.get(finding.id)
        if known is None or natural(finding.pier) < natural(known.pier):
            self.findings[finding.id] = finding

    def take(self, more: Judged) -> None:
        """Add what came out at other piers, which follow in the order of the site."""
        self.piers += more.piers
        for finding in more.findings.values():
            self.put(finding)
        for rule, count in more.clear.items():
            self.clear[rule] += count
        self.failed += more.failed
        self.applied |= more.applied
        for rule, why in more.no_case.items():
            self.no_case[rule].update(why)
        self.overrides.take(more.overrides)
        self.both_axes.take(more.both_axes)


def together(piers: Sequence[Judged]) -> Judged:
    """What came out at several piers as one; they stay as they are."""
    whole = Judged()
    for one in piers:
        whole.take(one)
    return whole
