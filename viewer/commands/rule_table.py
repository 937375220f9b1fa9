"""`pierclear rules`: every rule with its source, and what a site's figures are and who says so."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from viewer import console
from viewer.given import site_file
from viewer.report.page import Page
from viewer.report.terminal import CAUTION, memory
from viewer.wording.fold import named

if TYPE_CHECKING:
    from clash.needs.need import Need
    from clash.rule import Measured, Rule
    from models.site import Site

_INDENT = 4
_FIGURE = 12
"""Columns of a figure."""


def show_rules(given: Path | None) -> None:
    """Print the rules; with a site file, its figures under each. Raises BadInput for an unusable one."""
    from clash.rule import rules

    told = _Told(Page(console.width(sys.stdout), console.colored(sys.stdout)))
    if given is None:
        lines = list(told.rules(rules()))
    else:
        from models.reading.loading import load_site

        file = site_file(given)
        lines = list(told.figures(load_site(file), str(file)))
    console.show("\n".join([*lines, *memory(lines, told.page)]))


class _Told(Struct, frozen=True):
    page: Page

    def rules(self, rules: tuple[Rule, ...]) -> Iterator[str]:
        """Every rule and its source."""
        for rule in rules:
            yield from self._rule(rule)
            yield ""
        yield from self._published()
        yield from self.page.wrapped("", "Name a site file to see its figures: pierclear rules SITE")

    def figures(self, site: Site, file: str) -> Iterator[str]:
        """Every rule with the figures that it uses on this site, and where each of them comes from."""
        from clash.books import books
        from clash.rule import rules

        info = site.spec.site
        yield from self.page.bold(f"{info.name}, the figures in use")
        yield from self.page.wrapped("site file  ", file)
        yield from self.page.wrapped("rule book  ", books()[info.rules].title)
        yield ""
        by_rule = figures_in_use(site)
        for rule in rules():
            yield from self._rule(rule)
            for figure, piers in by_rule[rule.id].items():
                yield from self._figure(figure, piers, len(site.piers))
            yield ""
        yield from self._placing(site)
        yield from self.page.wrapped("", CAUTION)

    def _placing(self, site: Site) -> Iterator[str]:
        """Whose tolerances this site takes, how, and how much by pier."""
        from clash.books import books
        from clash.tolerances.placed import FIELDS, of_pier
        from clash.tolerances.sentences import how_taken, in_words
        from models.lengths import Units

        spec, book = site.spec, books()[site.spec.site.rules]
        units = Units(spec.site.units)
        yield from self.page.bold("placing tolerances")
        for sentence in how_taken(spec, book, units):
            yield from self.page.wrapped(" " * _INDENT, sentence)
        for field, words in FIELDS.items():
            lines: dict[tuple[str, str], list[str]] = {}
            for pier in site.piers:
                figure = of_pier(pier, spec.placing, book).figure(field)
                if figure is not None:
                    value, source = in_words(figure, units)
                    lines.setdefault((value, f"{words}: {source}"), []).append(pier.mark)
            for line, marks in lines.items():
                yield from self._figure(line, marks, len(site.piers))
            if not lines:
                yield from self._figure(
                    ("-", f"{words}: no figure"), [p.mark for p in site.piers], len(site.piers)
                )
        yield ""

    def _published(self) -> Iterator[str]:
        """Every published tolerance that a site may choose."""
        from clash.tolerances.sentences import row_in_words
        from clash.tolerances.table import published

        yield from self.page.bold("placing tolerances, as published")
        for row in published():
            value, words = row_in_words(row)
            yield from self.page.wrapped(f"{'':<{_INDENT}}{value:<{_FIGURE}}", words)
        yield ""

    def _rule(self, rule: Rule) -> Iterator[str]:
        yield from self.page.bold(f"{rule.id}: {rule.title}")
        yield from self.page.wrapped(" " * _INDENT, f"source: {rule.source}")

    def _figure(self, figure: tuple[str, str], piers: list[str], of: int) -> Iterator[str]:
        value, says = figure
        where = "all piers" if len(piers) == of else named(piers)
        yield from self.page.wrapped(f"{'':<{_INDENT}}{value:<{_FIGURE}}", f"{says} [{where}]")


def figures_in_use(site: Site) -> dict[str, dict[tuple[str, str], list[str]]]:
    """By rule id: each figure that a rule asks for (shown, and of what by which source) and its piers.

    A rule that has nothing to say of a pier, or lacks a figure for it, says so in place of one.
    """
    from clash.books import books
    from clash.gaps import measure
    from clash.pier_view import PierView
    from clash.rule import Measured, NotChecked, rules

    found: dict[str, dict[tuple[str, str], list[str]]] = {rule.id: {} for rule in rules()}
    book, gaps = books()[site.spec.site.rules], measure(site.piers)
    for i, pier in enumerate(site.piers):
        view = PierView(site.spec, book, pier, gaps.rows(i))
        for rule in rules():
            for outcome in rule.measure(view):
                if isinstance(outcome, Measured):
                    lines = [_in_words(need, outcome, site.spec.site.units) for need in outcome.needs]
                elif isinstance(outcome, NotChecked):
                    lines = [("NOT CHECKED", outcome.missing.ask)]
                else:
                    lines = [("-", f"doesn't apply: {outcome.why}")]
                for line in lines:
                    piers = found[rule.id].setdefault(line, [])
                    if pier.mark not in piers:
                        piers.append(pier.mark)
    return found


def _in_words(need: Need, outcome: Measured, units: str) -> tuple[str, str]:
    """A figure as it is shown, and what it is of, who says so, and what is published instead or missing."""
    said = f"{need.what}: {need.source}" if need.what else need.source
    if need.published:
        said += f"; published {_shown(need.published, outcome, units)} ({need.published_source})"
    if need.missing is not None:
        said += f"; NOT CHECKED beyond that: {need.missing.ask}"
    return ("?" if need.value is None else _shown(need.value, outcome, units)), said


def _shown(value: float, outcome: Measured, units: str) -> str:
    from clash.report.wording import shown
    from models.lengths import Units

    if value < 0.0 and outcome.unit is None:
        return "contact"  # a negative distance is what may overlap; its source says by how much
    return shown(
        value, outcome.unit, Units(units), "needed least" if outcome.limit == "least" else "needed most"
    )
