"""From gaps to findings: every rule measures, and one place compares, counts and words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

from clash.books import books
from clash.gap_table import GapTable, side_id
from clash.gap_table import labels as labels_of
from clash.needs.need import Missing, Need, RuleBook
from clash.neighbors import Neighbors, neighbors_of
from clash.pier_view import PierView, places_of
from clash.report.answers import answered
from clash.report.findings import Finding, Level, Report
from clash.report.judged import Judged, together
from clash.report.order import natural, worst_first
from clash.report.wording import as_drawn, lacking, out_of_reach, sentence, tight, too_far, unmeasured
from clash.rule import EPSILON, DoesNotApply, Measured, NotChecked, Rule, rules
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
    judged = [judge_pier(site, i, own) for i, own in zip(chosen, rows, strict=True)]
    return report_of(site, judged, whole=only is None)


def judge_pier(site: Site, i: int, gaps: GapTable) -> Judged:
    """What every rule brings out at pier i of a site; gaps: the pier's own rows, up to the usual reach."""
    book = books()[site.spec.site.rules]
    places, neighbors = _around(site)
    bench = _Bench(site, book)
    bench.look_at(
        PierView(site.spec, book, site.piers[i], gaps, known_places=places, known_neighbors=neighbors)
    )
    return bench.found


@lru_cache(maxsize=2)  # the piers of a site are judged one after the other
def _around(site: Site) -> tuple[Mapping[str, tuple[float, float]], Neighbors]:
    return places_of(site.spec), neighbors_of(site.spec)


class _Bench(Struct, eq=False):
    """Where a pier lies while the rules look at it."""

    site: Site
    book: RuleBook
    found: Judged = field(default_factory=Judged)

    @property
    def units(self) -> Units:
        """The units of sentences."""
        return self.site.units

    def look_at(self, view: PierView) -> None:
        """Let every rule measure one pier."""
        self.found.piers.append(view.pier)
        for rule in rules():
            lacks: dict[Missing, tuple[set[int], str]] = {}
            for outcome in rule.measure(view):
                if isinstance(outcome, DoesNotApply):
                    self.found.no_case[rule.id][outcome.why] = None
                    continue
                self.found.applied.add(rule.id)
                if isinstance(outcome, NotChecked):
                    self.found.put(_lacking(rule, view.pier, outcome, ""))
                else:
                    self._compare(view, rule, outcome, lacks)
            for missing, (parts, source) in lacks.items():
                kept = sorted((view.parts[i] for i in parts), key=lambda part: natural(part.id))
                what = NotChecked(
                    view.pier.mark, missing, tuple(p.id for p in kept), tuple(p.label for p in kept)
                )
                self.found.put(_lacking(rule, view.pier, what, source))

    def _compare(
        self, view: PierView, rule: Rule, m: Measured, lacks: dict[Missing, tuple[set[int], str]]
    ) -> None:
        """Count what is clear and keep the rest. Only what is not clear is looked at row by row."""
        for need in m.needs:
            self.found.overrides.look_at(rule, need, view.pier, m)
        if any(need.deviation for need in m.needs):
            m = replace(m, needs=tuple(as_drawn(need, self.units) for need in m.needs))
        self._count_far(rule, m, lacks)
        n = len(m.measured)
        if n == 0:
            return
        if _plainly_clear(view, rule, m):
            self.found.clear[rule.id] += n
            return
        which = m.which if len(m.which) else np.zeros(n, dtype=np.intp)
        value = np.array([np.nan if need.value is None else need.value for need in m.needs])[which]
        taking = taken(view, rule.id, m, value)
        placing = np.array([need.tolerance or 0.0 for need in m.needs])[which]
        placing = placing if taking is None else np.maximum(placing, taking.one)
        reserve = m.measured - value if m.limit == "least" else value - m.measured
        if _all_met(view, m, reserve - placing):
            self.found.clear[rule.id] += n
            if taking is not None:
                self.found.both_axes.look_at(
                    rule, view.pier, m, reserve, value, taking, np.ones(n, dtype=bool)
                )
            return
        missing = np.array([need.missing is not None for need in m.needs])[which]
        beyond = np.isinf(m.measured) & (value > view.within)
        unknown = np.isnan(m.measured) | beyond
        hold = ~unknown & (reserve < -EPSILON)
        lacking = ~unknown & ~hold & missing
        close = ~unknown & ~hold & ~lacking & (reserve - placing < -EPSILON)
        self.found.clear[rule.id] += int(n - np.count_nonzero(unknown | hold | lacking | close))
        self.found.failed += int(np.count_nonzero(hold | close))
        if taking is not None:
            self.found.both_axes.look_at(
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
            self.found.put(found)
        for i in np.flatnonzero(unknown).tolist():
            self.found.put(self._unmeasured(view, rule, m, i, m.needs[which[i]], bool(beyond[i])))
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
        self.found.clear[rule.id] += 0 if unsure else m.far

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
            rule=rule.id,
            source=rule.source,
            pier=pier.mark,
            parts=parts,
            labels=tuple(labels_of(pier, ends)),
            says="",
            group=_group(rule, pier, ends, _LIKE_THINGS),
        )


def report_of(site: Site, judged: Sequence[Judged], whole: bool = True) -> Report:
    """Everything that came out at some piers, in order; whole: whether they are all of the site's."""
    spec, book, units = site.spec, books()[site.spec.site.rules], site.units
    all_of = together(judged)
    findings, answers = answered(list(all_of.findings.values()), spec.answered, units, whole)
    found = rules()
    return Report(
        version=VERSION,
        site=spec.site.name,
        input_sha256=site.sha256,
        rule_book=book.title,
        units=spec.site.units,
        overrides=(
            *all_of.overrides.sentences(all_of.piers, units),
            *looser(spec, book, all_of.piers, units),
        ),
        piers=len(all_of.piers),
        checked=sum(all_of.clear.values()) + all_of.failed,
        not_checked=sum(f.level is Level.NOT_CHECKED for f in findings),
        findings=tuple(worst_first(findings)),
        clear={rule.id: all_of.clear[rule.id] for rule in found if rule.id in all_of.applied},
        titles={rule.id: rule.title for rule in found},
        does_not_apply={
            rule.id: "; ".join(sorted(all_of.no_case[rule.id]))
            for rule in found
            if rule.id not in all_of.applied
        },
        not_modelled=_not_modelled(all_of.piers),
        placing=in_short(spec, book),
        tolerances=how_taken(spec, book, units),
        both_axes=all_of.both_axes.sentences(all_of.piers, units),
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
        rule=rule.id,
        source=source or rule.source,
        pier=pier.mark,
        parts=what.parts,
        labels=what.labels,
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
