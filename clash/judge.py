"""From gaps to findings: every rule measures, and one place compares, counts and words."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from clash.books import books
from clash.gap_table import GapTable, side_id
from clash.gap_table import labels as labels_of
from clash.needs.need import Missing, Need, RuleBook
from clash.needs.overrides import Overrides
from clash.neighbors import neighbors_of
from clash.pier_view import PierView, places_of
from clash.report.answers import answered
from clash.report.findings import Finding, Level, Report
from clash.report.wording import as_drawn, lacking, out_of_reach, sentence, tight, too_far, unmeasured
from clash.rule import EPSILON, DoesNotApply, Measured, NotChecked, Rule, rules
from clash.tolerances.both_axes import BothAxes
from clash.tolerances.sentences import how_taken, in_short, looser
from clash.tolerances.taken import Taken, taken, takes
from models.lengths import Units
from models.motion import Array
from models.part import ANCHORS, LATERAL, LONGITUDINAL, Role
from models.pier import Pier
from models.problems import BadInput, Place, Problem
from models.site import Site

VERSION = 1
_LIKE_THINGS = LATERAL | LONGITUDINAL
_ORDER = {Level.HOLD: 0, Level.TIGHT: 1, Level.NOT_CHECKED: 2}


def judge(site: Site, gaps: GapTable | None = None, only: str | None = None) -> Report:
    """Judge a site, or one pier of it.

    gaps: what `clash.gaps.measure` answered for all of `site.piers`, up to its usual reach; measured here
    when left out. only: the mark of one pier. Raises BadInput for a mark that the site does not have.
    """
    chosen = [i for i, pier in enumerate(site.piers) if only is None or pier.mark == only]
    if only is not None and not chosen:
        marks = ", ".join(pier.mark for pier in site.piers)
        raise BadInput(
            [Problem(Place("--pier"), f"there is no pier {only} on this site", f"write one of {marks}")]
        )
    if gaps is None:
        from clash.gaps import measure

        gaps = measure([site.piers[i] for i in chosen])
        rows = [gaps.rows(k) for k in range(len(chosen))]
    else:
        rows = [gaps.rows(i) for i in chosen]
    bench = _Bench(site, books()[site.spec.site.rules])
    places, neighbors = places_of(site.spec), neighbors_of(site.spec)
    for i, own in zip(chosen, rows, strict=True):
        bench.look_at(
            PierView(
                site.spec,
                bench.book,
                site.piers[i],
                own,
                known_places=places,
                known_neighbors=neighbors,
            )
        )
    return bench.report(whole=only is None)


@dataclass(eq=False)
class _Bench:
    """What has come out so far while the piers are looked at, one after the other."""

    site: Site
    book: RuleBook
    findings: dict[str, Finding] = field(default_factory=dict)
    clear: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    failed: int = 0
    applied: set[str] = field(default_factory=set)
    no_case: dict[str, dict[str, None]] = field(default_factory=lambda: defaultdict(dict))
    overrides: Overrides = field(default_factory=Overrides)
    both_axes: BothAxes = field(default_factory=BothAxes)
    piers: list[Pier] = field(default_factory=list)

    @property
    def units(self) -> Units:
        """The units of sentences."""
        return Units(self.site.spec.site.units)

    def look_at(self, view: PierView) -> None:
        """Let every rule measure one pier."""
        self.piers.append(view.pier)
        for rule in rules():
            lacks: dict[Missing, tuple[set[int], str]] = {}
            for outcome in rule.measure(view):
                if isinstance(outcome, DoesNotApply):
                    self.no_case[rule.id][outcome.why] = None
                    continue
                self.applied.add(rule.id)
                if isinstance(outcome, NotChecked):
                    self._put(_lacking(rule, view.pier, outcome, ""))
                else:
                    self._compare(view, rule, outcome, lacks)
            for missing, (parts, source) in lacks.items():
                kept = sorted((view.parts[i] for i in parts), key=lambda part: natural(part.id))
                what = NotChecked(
                    view.pier.mark, missing, tuple(p.id for p in kept), tuple(p.label for p in kept)
                )
                self._put(_lacking(rule, view.pier, what, source))

    def _compare(
        self, view: PierView, rule: Rule, m: Measured, lacks: dict[Missing, tuple[set[int], str]]
    ) -> None:
        """Count what is clear and keep the rest. Only what is not clear is looked at row by row."""
        for need in m.needs:
            self.overrides.look_at(rule, need, view.pier, m)
        if any(need.deviation for need in m.needs):
            m = replace(m, needs=tuple(as_drawn(need, self.units) for need in m.needs))
        self._count_far(rule, m, lacks)
        n = len(m.measured)
        if n == 0:
            return
        if _plainly_clear(view, rule, m):
            self.clear[rule.id] += n
            return
        which = m.which if len(m.which) else np.zeros(n, dtype=np.intp)
        value = np.array([np.nan if need.value is None else need.value for need in m.needs])[which]
        taking = taken(view, rule.id, m, value)
        placing = np.array([need.tolerance or 0.0 for need in m.needs])[which]
        placing = placing if taking is None else np.maximum(placing, taking.one)
        reserve = m.measured - value if m.limit == "least" else value - m.measured
        if _all_met(view, m, reserve - placing):
            self.clear[rule.id] += n
            if taking is not None:
                self.both_axes.look_at(rule, view.pier, m, reserve, value, taking, np.ones(n, dtype=bool))
            return
        missing = np.array([need.missing is not None for need in m.needs])[which]
        beyond = np.isinf(m.measured) & (value > view.within)
        unknown = np.isnan(m.measured) | beyond
        hold = ~unknown & (reserve < -EPSILON)
        lacking = ~unknown & ~hold & missing
        close = ~unknown & ~hold & ~lacking & (reserve - placing < -EPSILON)
        self.clear[rule.id] += int(n - np.count_nonzero(unknown | hold | lacking | close))
        self.failed += int(np.count_nonzero(hold | close))
        if taking is not None:
            self.both_axes.look_at(
                rule, view.pier, m, reserve, value, taking, ~(unknown | hold | lacking | close)
            )
        for i in np.flatnonzero(hold | close).tolist():
            need = m.needs[which[i]]
            tolerance, both, why = _tolerance(need, taking, i)
            found = self._judged(view, rule, m, i, need, float(reserve[i]), tolerance)
            if not hold[i]:
                says = tight(found.says, tolerance or 0.0, both, why, self.units)
                group = _group(rule, view.pier, _ends(m, i), _LIKE_THINGS | ANCHORS)
                found = replace(found, level=Level.TIGHT, says=says, group=group)
            self._put(found)
        for i in np.flatnonzero(unknown).tolist():
            self._put(self._unmeasured(view, rule, m, i, m.needs[which[i]], bool(beyond[i])))
        for i in np.flatnonzero(lacking).tolist():
            need = m.needs[which[i]]
            assert need.missing is not None
            parts, _ = lacks.setdefault(need.missing, (set(), need.source))
            parts.update(int(part) for part in (m.a[i], m.b[i]) if part >= 0)

    def _count_far(self, rule: Rule, m: Measured, lacks: dict[Missing, tuple[set[int], str]]) -> None:
        """Count the pairs that have no row as clear, unless a requirement may reach beyond where gaps end."""
        if m.reach is None:
            return
        unsure = False
        for need in m.needs:
            missing = need.missing
            if need.value is not None and need.value > m.reach:
                missing = Missing("reach", out_of_reach(need, m.reach, self.units))
            if missing is not None and m.far:
                unsure = True
                lacks.setdefault(missing, (set(), need.source))
        self.clear[rule.id] += 0 if unsure else m.far

    def _judged(
        self,
        view: PierView,
        rule: Rule,
        m: Measured,
        i: int,
        need: Need,
        reserve: float,
        tolerance: float | None,
    ) -> Finding:
        """A finding on HOLD; reserve, tolerance: mm."""
        pier, a, b = view.pier, int(m.a[i]), int(m.b[i])
        measured, at = float(m.measured[i]), m.at[i]
        template = m.says_below_zero if m.says_below_zero and measured < -EPSILON else m.says
        says = sentence(template, pier, a, b, measured, need, m.limit, at, self.units, m.unit)
        found = replace(
            self._blank(view, rule, m, i, Level.HOLD),
            source=need.source,
            limit=m.limit,
            at_mm=_in_site(pier, m, i),
            says=says,
        )
        if m.unit is not None:
            return replace(found, measured=measured, required=need.value, unit=m.unit)
        return replace(
            found,
            measured_mm=measured,
            required_mm=need.value,
            tolerance_mm=tolerance,
            reserve_mm=reserve - (tolerance or 0.0),
        )

    def _unmeasured(
        self, view: PierView, rule: Rule, m: Measured, i: int, need: Need, beyond: bool
    ) -> Finding:
        a, b = int(m.a[i]), int(m.b[i])
        if beyond:
            says = too_far(rule.title, view.pier, a, b, view.within, need, self.units)
        else:
            says = unmeasured(rule.title, view.pier, a, b)
        blank = self._blank(view, rule, m, i, Level.NOT_CHECKED)
        return replace(
            blank, source=need.source, says=says, required_mm=need.value if m.unit is None else None
        )

    def _blank(self, view: PierView, rule: Rule, m: Measured, i: int, level: Level) -> Finding:
        """A finding of one row with its names, and nothing measured."""
        pier = view.pier
        ends = _ends(m, i)
        ends.sort(key=lambda end: (end < 0, natural(side_id(pier, end))))
        parts = tuple(side_id(pier, end) for end in ends)
        tag = (m.tags[i],) if m.tags else ()
        return Finding(
            id=":".join((rule.id, *parts, *tag)),
            level=level,
            answered=None,
            rule=rule.id,
            source=rule.source,
            pier=pier.mark,
            parts=parts,
            labels=tuple(labels_of(pier, ends)),
            measured_mm=None,
            required_mm=None,
            limit=None,
            tolerance_mm=None,
            reserve_mm=None,
            at_mm=None,
            says="",
            group=_group(rule, pier, ends, _LIKE_THINGS),
        )

    def _put(self, finding: Finding) -> None:
        """Keep a finding; of two with one id (a thing that several piers share) the one of the first mark."""
        known = self.findings.get(finding.id)
        if known is None or natural(finding.pier) < natural(known.pier):
            self.findings[finding.id] = finding

    def report(self, whole: bool) -> Report:
        """Everything, in order; whole: whether all piers were looked at."""
        spec = self.site.spec
        findings, answers = answered(list(self.findings.values()), spec.answered, self.units, whole)
        found = rules()
        return Report(
            version=VERSION,
            site=spec.site.name,
            input_sha256=self.site.sha256,
            rule_book=self.book.title,
            units=spec.site.units,
            overrides=(
                *self.overrides.sentences(self.piers, self.units),
                *looser(self.site.spec, self.book, self.piers, self.units),
            ),
            piers=len(self.piers),
            checked=sum(self.clear.values()) + self.failed,
            not_checked=sum(f.level is Level.NOT_CHECKED for f in findings),
            findings=tuple(worst_first(findings)),
            clear={rule.id: self.clear[rule.id] for rule in found if rule.id in self.applied},
            titles={rule.id: rule.title for rule in found},
            does_not_apply={
                rule.id: "; ".join(sorted(self.no_case[rule.id]))
                for rule in found
                if rule.id not in self.applied
            },
            not_modelled=_not_modelled(self.piers),
            placing=in_short(spec, self.book),
            tolerances=how_taken(spec, self.book, self.units),
            both_axes=self.both_axes.sentences(self.piers, self.units),
            answers=answers,
        )


def _tolerance(need: Need, taking: Taken | None, i: int) -> tuple[float | None, float, str]:
    """What placing may take of row i, mm (None: nobody says), along both axes at once, and who says so."""
    if taking is not None and taking.one[i] > (need.tolerance or 0.0):
        return float(taking.one[i]), float(taking.both[i]), taking.why[taking.which[i]]
    return need.tolerance, 0.0, "its deviation" if need.deviation else need.source


def _all_met(view: PierView, m: Measured, left: Array) -> bool:
    """Whether all rows meet requirements that are all known, with `left` (n,) mm to spare, NaN if unknown."""
    if any(need.missing is not None or (need.value or 0.0) > view.within for need in m.needs):
        return False
    return bool(np.min(left) >= -EPSILON)


def _plainly_clear(view: PierView, rule: Rule, m: Measured) -> bool:
    """Whether all rows meet one known requirement that nothing is taken from: most of them do, at once."""
    (need, *more) = m.needs
    if more or need.value is None or need.missing is not None or need.tolerance or takes(view, rule.id, m):
        return False
    worst = float(np.min(m.measured) - need.value if m.limit == "least" else need.value - np.max(m.measured))
    # False for NaN too; what is farther than was looked at may still be too near where much is needed.
    return worst >= -EPSILON and not need.value > view.within


def worst_first(findings: Sequence[Finding]) -> list[Finding]:
    """By pier, the pier with the worst first, and worst first within it; equals by mark and id."""
    by_pier: dict[str, list[Finding]] = {}
    for finding in sorted(findings, key=lambda f: (_badness(f), natural(f.id))):
        by_pier.setdefault(finding.pier, []).append(finding)
    piers = sorted(by_pier, key=lambda pier: (_badness(by_pier[pier][0]), natural(pier)))
    return [finding for pier in piers for finding in by_pier[pier]]


def _badness(finding: Finding) -> tuple[int, bool, float]:
    """Least is worst: the level, then what nobody has answered, then the smallest reserve."""
    reserve = finding.reserve_mm
    if reserve is None:
        reserve = -np.inf if finding.unit is not None else 0.0
    # A thousandth of a millimeter decides no order, so that turning a site does not shuffle its report.
    return _ORDER[finding.level], finding.answered is not None, round(float(reserve), 3)


def natural(text: str) -> tuple[tuple[bool, int, str], ...]:
    """A sort key that puts tie/2 before tie/10."""
    pieces = re.findall(r"\d+|\D+", text)
    return tuple((piece.isdigit(), int(piece) if piece.isdigit() else 0, piece) for piece in pieces)


def _ends(m: Measured, i: int) -> list[int]:
    return [int(m.a[i])] if m.a[i] == m.b[i] else [int(m.a[i]), int(m.b[i])]


def _group(rule: Rule, pier: Pier, ends: Sequence[int], alike: frozenset[Role]) -> str:
    """What findings are folded by: things of the roles `alike` by their role, all else by its id.

    Rods are not alike where one is on HOLD, for each then has to be dealt with; what placing may take of them
    is one matter of the group.
    """
    like = [
        pier.parts[end].role.value if end >= 0 and pier.parts[end].role in alike else side_id(pier, end)
        for end in ends
    ]
    return ":".join((rule.id, pier.mark, *sorted(like)))


def _in_site(pier: Pier, m: Measured, i: int) -> tuple[float, float, float] | None:
    if not np.all(np.isfinite(m.at[i])):
        return None
    x, y, z = pier.frame.points(m.at[i]).tolist()
    return x, y, z


def _lacking(rule: Rule, pier: Pier, what: NotChecked, source: str) -> Finding:
    return Finding(
        id=f"{rule.id}:{what.about}:{what.missing.field}",
        level=Level.NOT_CHECKED,
        answered=None,
        rule=rule.id,
        source=source or rule.source,
        pier=pier.mark,
        parts=what.parts,
        labels=what.labels,
        measured_mm=None,
        required_mm=None,
        limit=None,
        tolerance_mm=None,
        reserve_mm=None,
        at_mm=None,
        says=lacking(rule.title, what.missing.ask),
        group=f"{rule.id}:{what.missing.field}" if what.about == pier.mark else f"{rule.id}:{what.about}",
    )


def _not_modelled(piers: Sequence[Pier]) -> tuple[str, ...]:
    under = {part.id for pier in piers for part in pier.parts if part.role is Role.GRADE_BEAM}
    under |= {pier.grade_beam for pier in piers if pier.grade_beam is not None}
    beams = sorted({name.rpartition("/")[0] for name in under}, key=natural)
    if not beams:
        return ()
    named = beams[0] if len(beams) == 1 else f"{', '.join(beams[:-1])} and {beams[-1]}"
    word = "grade beam" if len(beams) == 1 else "grade beams"
    return (
        f"Steel in {word} {named} is not modelled: what reaches into it is measured to its faces, and to "
        "nothing else in it.",
    )
