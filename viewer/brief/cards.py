"""What the briefing says of each pier: what to watch, what was answered, what to tick off before the pour."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from models.lengths import Units, show_length
from models.part import Role
from models.seat.rods import measures
from viewer.fold import folded

if TYPE_CHECKING:
    from clash.report.findings import Finding, Report
    from models.pier import Pier
    from models.site import Site


@dataclass(frozen=True, slots=True)
class Watch:
    """A finding as the card tells it. number: as in the picture; at: site axes, mm, None without a place."""

    number: int
    level: str
    says: str
    answered: str | None
    at: tuple[float, float, float] | None


@dataclass(frozen=True, slots=True, eq=False)
class Card:
    """One pier. lines: what it is; watch: its findings, worst first; checks: to tick off before the pour."""

    pier: Pier
    lines: tuple[str, ...]
    watch: tuple[Watch, ...]
    checks: tuple[str, ...]

    @property
    def held(self) -> bool:
        """Whether something of it is on HOLD and nobody has answered."""
        return any(w.level == "HOLD" and w.answered is None for w in self.watch)


def cards(site: Site, report: Report) -> list[Card]:
    """A card for each pier, in the order of the site."""
    units = Units(site.spec.site.units)
    by_pier: dict[str, list[Finding]] = {}
    for finding in report.findings:
        by_pier.setdefault(finding.pier, []).append(finding)
    return [
        Card(
            pier,
            tuple(_lines(pier, units)),
            tuple(_watch(by_pier.get(pier.mark, []))),
            tuple(_checks(pier, units)),
        )
        for pier in site.piers
    ]


def _watch(findings: list[Finding]) -> Iterator[Watch]:
    for number, fold in enumerate(folded(findings), start=1):
        worst = fold.worst
        more = f" ({fold.more})" if fold.others else ""
        yield Watch(number, worst.level.value, worst.says + more, worst.answered, worst.at_mm)


def _lines(pier: Pier, units: Units) -> Iterator[str]:
    spec = pier.spec
    turned = f", turned {spec.turn:g}\u00b0" if spec.turn else ""
    yield f"{pier.kind}{turned}"
    yield f"Top of concrete at {show_length(spec.top, units)}, bottom at {show_length(spec.bottom, units)}."
    if spec.seat.rods is not None:
        rods = spec.seat.rods
        word = "rods" if rods.bar is None else "bar anchors"
        count = sum(part.role in (Role.ROD, Role.BAR_ANCHOR) for part in pier.parts)
        above = show_length(rods.projection, units)
        yield f"{count} {word}, {measures(rods)[2]}, {above} above the concrete."


def _checks(pier: Pier, units: Units) -> Iterator[str]:
    """The walk before the pour, with the figures of the site file."""
    spec, roles = pier.spec, [part.role for part in pier.parts]
    sides = spec.concrete.cover
    ties = roles.count(Role.TIE) + roles.count(Role.HOOP)
    if roles.count(Role.VERTICAL):
        yield f"Cage: {roles.count(Role.VERTICAL)} verticals and {ties} ties, tied and clean."
        covers = [
            f"{show_length(value, units)} at the {face}"
            for face, value in (("sides", sides.side), ("top", sides.top), ("bottom", sides.bottom))
            if value is not None
        ]
        yield "Cover blocks: " + (", ".join(covers) if covers else "cover as the drawings say") + "."
    if roles.count(Role.DOWEL):
        yield f"Dowels: {roles.count(Role.DOWEL)}, lapped and tied to the verticals."
    rods = spec.seat.rods
    if rods is not None:
        name, threads = ("Rods", ", threads taped") if rods.bar is None else ("Bar anchors", "")
        count = roles.count(Role.ROD) + roles.count(Role.BAR_ANCHOR)
        above = show_length(rods.projection, units)
        yield f"{name}: {count}, plumb, their tops {above} above the concrete{threads}."
    template = spec.seat.template
    if template is not None:
        yield "Template: level, fixed, its stamped side up and its north corner to the north."
        if template.opening is not None:
            yield "Pour opening: free, and wide enough for the chute and the vibrator."
    yield f"Elevation of the top of concrete marked in the form: {show_length(spec.top, units)}."
    embeds = [part.label for part in pier.parts if part.role is Role.EMBED]
    if embeds:
        yield f"Embeds: {', '.join(embeds)}, in place and fixed."
    yield "No HOLD of this pier is without the engineer's answer."
