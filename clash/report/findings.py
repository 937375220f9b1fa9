"""Findings: judged measurements, and the report that holds them."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Literal

from msgspec import Struct, field


class Level(StrEnum):
    """How bad a finding is, worst first."""

    HOLD = "HOLD"
    """A requirement is not met as drawn."""
    TIGHT = "TIGHT"
    """Met as drawn, not met when placing tolerances use it up."""
    NOT_CHECKED = "NOT CHECKED"
    """It could not be measured, or nobody said what is needed."""


class Finding(Struct, frozen=True, kw_only=True):
    """One judged measurement that is not clear.

    id: `{rule}:{part a}:{part b}`, the parts in an order that depends on nothing but their ids; where a
    requirement is missing, `{rule}:{what it is missing for}:{what is missing}`.
    answered: by whom, when and where the engineer answered a question about it; None where nobody did.
    lapsed: an answer that holds no more because the measurement got worse, in a sentence.
    parts, labels: ids, and the words for them that a person in boots can find, in the same order.
    measured_mm, required_mm, tolerance_mm, reserve_mm: mm; None where there is none, and in all of them where
    the measurement is no length: then measured and required are in `unit`.
    reserve_mm: how far the measurement may move before it fails; negative where it fails.
    at_mm: a point between the nearest points, in site axes.
    group: findings of one pier that share it say the same of like things (one rod and twelve ties); NOT
    CHECKED findings of all piers that share it lack the same figure.
    """

    id: str
    level: Level
    rule: str
    source: str
    pier: str
    parts: tuple[str, ...]
    labels: tuple[str, ...]
    says: str
    answered: str | None = None
    measured_mm: float | None = None
    required_mm: float | None = None
    limit: Literal["least", "most"] | None = None
    tolerance_mm: float | None = None
    reserve_mm: float | None = None
    at_mm: tuple[float, float, float] | None = None
    measured: float | None = None
    required: float | None = None
    unit: str | None = None
    group: str = ""
    lapsed: str | None = None


class Report(Struct, frozen=True):
    """Everything that judging a site brought out.

    overrides: one sentence for each figure of the site that is looser than the published one.
    piers: how many were judged; checked: measurements judged; not_checked: NOT CHECKED findings.
    findings: worst first by pier: the pier with the worst comes first, with all of its own, worst first.
    clear: by rule id, in order, how many of its measurements are clear.
    titles: by rule id, what the rule looks at, in words.
    does_not_apply: by the id of each rule that applied nowhere, why.
    not_modelled: what lies outside of this check by its nature, one sentence each; no findings.
    placing: whose placing tolerances were taken, and how, in a few words; tolerances: the same, one sentence
    each.
    both_axes: what is met along each axis of the plan and not along both at once, one sentence each.
    answers: answers of the site file that match no finding, one sentence each.
    """

    version: int
    site: str
    input_sha256: str
    rule_book: str
    units: str
    overrides: tuple[str, ...]
    piers: int
    checked: int
    not_checked: int
    findings: tuple[Finding, ...]
    clear: Mapping[str, int] = field(default_factory=dict)
    titles: Mapping[str, str] = field(default_factory=dict)
    does_not_apply: Mapping[str, str] = field(default_factory=dict)
    not_modelled: tuple[str, ...] = ()
    placing: str = ""
    tolerances: tuple[str, ...] = ()
    both_axes: tuple[str, ...] = ()
    answers: tuple[str, ...] = ()

    @property
    def open(self) -> tuple[Finding, ...]:
        """The findings that hold up a pour: HOLD or NOT CHECKED, and nobody has answered them."""
        return tuple(f for f in self.findings if f.level is not Level.TIGHT and f.answered is None)
