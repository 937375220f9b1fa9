"""What the briefing says of each pier: what to watch, what was answered, what to tick off before the pour."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from models.lengths import Units, show_length
from models.part import Role
from models.seat.rods import measures
from viewer.legend.spots import Watch, by_pier

if TYPE_CHECKING:
    from clash.report.findings import Report
    from models.pier import Pier
    from models.site import Site
    from viewer.brief.after import After


class Card(Struct, frozen=True, eq=False):
    """One pier. lines: what it is; watch: its findings, worst first; checks: to tick off before the pour.

    after: how it was placed, where that was measured.
    """

    pier: Pier
    lines: tuple[str, ...]
    watch: tuple[Watch, ...]
    checks: tuple[str, ...]
    after: After | None = None

    @property
    def held(self) -> bool:
        """Whether something of it, as drawn or as placed, is on HOLD and nobody has answered."""
        drawn = any(w.level == "HOLD" and w.answered is None for w in self.watch)
        return drawn or (self.after is not None and self.after.held)

    @property
    def state(self) -> str:
        """The word beside its mark: HOLD, else NOT CHECKED, else none; what is answered is neither."""
        every = (*self.watch, *(() if self.after is None else self.after.watch))
        unsure = any(w.level == "NOT CHECKED" and w.answered is None for w in every)
        return "HOLD" if self.held else "NOT CHECKED" if unsure else ""

    @property
    def walk(self) -> tuple[str, tuple[str, ...]]:
        """The walk that is due, and its checks: once the concrete was shot, the one before steel is set."""
        if self.after is not None and self.after.poured:
            return "Before steel is set", self.after.checks
        return "Before the pour", self.checks


def states(made: Sequence[Card]) -> str:
    """How many piers are on HOLD, and at how many others something is NOT CHECKED, in a sentence."""
    held, unsure = (sum(card.state == word for card in made) for word in ("HOLD", "NOT CHECKED"))
    said = f"{held} of {len(made)} piers on HOLD" if held else f"No pier of {len(made)} is on HOLD"
    others = "" if not held else " other" if unsure == 1 else " others"
    return f"{said}; something is NOT CHECKED at {unsure}{others}." if unsure else f"{said}."


def cards(site: Site, report: Report, after: Mapping[str, After] | None = None) -> list[Card]:
    """A card for each pier, in the order of the site; after: by mark, as placed."""
    units = site.units
    found = by_pier(report)
    return [
        Card(
            pier,
            tuple(_lines(pier, units)),
            found.get(pier.mark, ()),
            tuple(_checks(pier, units)),
            None if after is None else after.get(pier.mark),
        )
        for pier in site.piers
    ]


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
    tied = "ties" if roles.count(Role.TIE) or not ties else "hoops"
    if roles.count(Role.VERTICAL):
        yield f"Cage: {roles.count(Role.VERTICAL)} verticals and {ties} {tied}, tied and clean."
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
