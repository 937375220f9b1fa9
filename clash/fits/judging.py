"""What of the site as placed does not fit, and what was not measured."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import atan2, ceil, degrees, hypot
from pathlib import Path

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from clash.figures import Figure, figures
from clash.fits.flood import flooding
from clash.fits.level import Level as Height
from clash.fits.openings import enclosure_rows
from clash.fits.placed import PlacedPier
from clash.fits.projection import projection_left, takes_nuts
from clash.fits.seats import NONE_MEASURED, SeatFit
from clash.report.findings import Finding, Level
from clash.report.order import worst_first
from models.lengths import Units, show_gap, show_length
from models.part import ANCHORS, Part
from models.seat.pattern import rod_positions
from models.site import Site
from models.winds import WINDS

FIGURES = figures(Path(__file__).with_name("figures.csv"))
DROPS_ON = "as built drops on"
"""The rule of findings on plates and beams that do not drop on, or that nobody can tell of."""
_ASK = "for the engineer to decide"


class _Judging(Struct, eq=False):
    site: Site
    piers: Sequence[PlacedPier]
    checked: int = 0

    @property
    def units(self) -> Units:
        return self.site.units

    @property
    def unsure(self) -> float:
        return self.site.spec.shots.uncertainty

    def most(
        self, rule: str, pier: int, what: str, off: float, figure: Figure, unsure: float, at: str = ""
    ) -> Iterator[Finding]:
        """A deviation (mm) against the most that may be; TIGHT where the measuring may have made it."""
        self.checked += 1
        if off <= figure.value + 1e-6:
            return
        sure = off - unsure > figure.value + 1e-6
        says = (
            f"{what} by {show_gap(off, self.units, 'measured most')}, "
            f"{show_gap(figure.value, self.units, 'needed most')} allowed ({figure.source})"
        )
        says += (
            "." if sure else f"; within what the measuring may be off by ({show_length(unsure, self.units)})."
        )
        yield self._blank(
            rule, pier, Level.HOLD if sure else Level.TIGHT, says, source=figure.source, tag=at,
            measured=off, required=figure.value, limit="most", reserve=figure.value - off,
        )  # fmt: skip

    def missing(self, rule: str, pier: int, what: str, tag: str = "") -> Finding:
        """Something that was not measured."""
        return self._blank(rule, pier, Level.NOT_CHECKED, what, source="as measured", tag=tag, group=rule)

    def _blank(
        self,
        rule: str,
        pier: int,
        level: Level,
        says: str,
        source: str,
        tag: str = "",
        measured: float | None = None,
        required: float | None = None,
        limit: str | None = None,
        reserve: float | None = None,
        group: str = "",
    ) -> Finding:
        mark = self.site.piers[pier].mark if pier >= 0 else ""
        thing = tag or mark or "site"
        return Finding(
            id=f"as built {rule}:{thing}",
            level=level,
            rule=f"as built {rule}",
            source=source,
            pier=mark,
            parts=(thing,) if "/" in thing else (),
            labels=(self._label(pier, thing),) if "/" in thing else (),
            measured_mm=measured,
            required_mm=required,
            limit="most" if limit == "most" else "least" if limit == "least" else None,
            reserve_mm=reserve,
            says=says[0].upper() + says[1:],
            group=f"as built {group or f'{rule}:{mark}'}",
        )

    def _anchor(self, pier: int, number: int) -> Part:
        return [part for part in self.site.piers[pier].parts if part.role in ANCHORS][number - 1]

    def _rod(self, pier: int, number: int) -> str:
        return self._anchor(pier, number).label

    def _label(self, pier: int, part_id: str) -> str:
        return next((p.label for p in self.site.piers[pier].parts if p.id == part_id), part_id)

    def seats(self, seats: Sequence[SeatFit]) -> Iterator[Finding]:
        """Plates and beams that do not drop on, or that nobody can tell of."""
        for fit in seats:
            pier = fit.piers[0]
            name = self._label(pier, fit.part)
            if fit.drops_on is None:
                says = f"whether the {name} drops on: {fit.missing or self.too_close(fit)}."
                group = fit.part
                if fit.missing == NONE_MEASURED:
                    group, says = fit.missing, f"whether its plate or beam drops on: {fit.missing}."
                yield replace(self.missing("drops on", pier, says, fit.part), group=group)
                continue
            self.checked += 1
            if fit.drops_on:
                continue
            yield self._blank(
                "drops on",
                pier,
                Level.HOLD,
                self.does_not(fit, name),
                source="geometry: every rod has to pass",
                tag=fit.part,
                measured=fit.room,
                required=fit.unsure,
                limit="least",
                reserve=fit.room - fit.unsure,
            )

    def too_close(self, fit: SeatFit) -> str:
        """Why these measurements cannot tell whether a plate or beam drops on, in words."""
        room = show_gap(fit.room, self.units, "measured least")
        unsure = show_gap(fit.unsure, self.units, "needed least")
        return (
            f"its tightest hole has {room} of room at its best place, and these measurements are sure to "
            f"{unsure} only; measure its rods closer, or try it on"
        )

    def does_not(self, fit: SeatFit, name: str) -> str:
        """Why a plate or beam does not drop on, and what would make it, in words."""
        u = self.units
        room = show_gap(fit.room, u, "measured least")
        says = f"The {name} does not drop on: its tightest hole has {room} of room at its best place."
        tight = [k for k, room in enumerate(fit.rooms) if room < fit.unsure]
        grow = show_length(_up(fit.lacks, u), u)
        if len(tight) == 1:
            says += f" It would with the hole at {self._rods(fit, tight)} {grow} wider"
        elif len(tight) == len(fit.holes):
            says += f" It would with every hole {grow} wider"
        else:
            says += f" It would with the holes at {self._rods(fit, tight)} {grow} wider"
        for way in sorted(fit.in_the_way, key=lambda way: way.by)[:2]:
            turned = fit.to_site.vectors(np.array([*way.toward, 0.0]))
            wind = WINDS[round(degrees(atan2(turned[1], turned[0])) / 45.0) % 8]
            by = show_gap(way.by, u, "measured most")
            says += (
                f"; or {self._rods(fit, [way.rod])} is in the way and stands {by} too far {_OPPOSITE[wind]}"
            )
        return f"{says}: {_ASK}."

    def _rods(self, fit: SeatFit, which: Sequence[int]) -> str:
        names = []
        for k in which:
            hole = fit.holes[k]
            pier = self.site.piers[hole.pier]
            label = self._rod(hole.pier, hole.number)
            names.append(label if len(fit.piers) == 1 else f"{label} of {pier.mark}")
        return ", ".join(names)

    def groups(self) -> Iterator[Finding]:
        """Rods of one group, by the distances between each two of them."""
        for p in self.piers:
            drawn = rod_positions(self.site.piers[p.index].spec)
            worst, pair, way = 0.0, (0, 0), ""
            for a, b in combinations(sorted(p.rods), 2):
                apart = hypot(*(p.rods[a].top[:2] - p.rods[b].top[:2]))
                off = apart - hypot(*(drawn[a - 1] - drawn[b - 1]))
                if abs(off) > worst:
                    worst, pair, way = abs(off), (a, b), "farther apart" if off > 0.0 else "nearer together"
            if len(p.rods) > 1:
                what = (
                    f"{self._rod(p.index, pair[0])} and {self._rod(p.index, pair[1])} stand {way} than drawn"
                )
                yield from self.most(
                    "rods of one group", p.index, what, worst, FIGURES["rods of one group"], 2.0 * self.unsure
                )

    def places(self) -> Iterator[Finding]:
        """Each pier in plan, in height and in plumb, and the tops of its rods."""
        for p in self.piers:
            spec = self.site.piers[p.index].spec
            stand = p.stand
            if stand.known:
                off = hypot(*stand.off)
                where = WINDS[round(degrees(atan2(stand.off[1], stand.off[0])) / 45.0) % 8]
                of = "the pier" if p.top.known else "its group of rods"
                yield from self.most(
                    "in plan",
                    p.index,
                    f"{of} stands off to the {where}",
                    off,
                    FIGURES["pier in plan"],
                    self.unsure,
                )
            else:
                yield self.missing(
                    "in plan", p.index, "where it stands in plan: neither its top nor its rods were shot."
                )
            if p.top.height == p.top.height:
                off = p.top.height - spec.top
                high = "high" if off > 0.0 else "low"
                yield from self.most(
                    "top",
                    p.index,
                    f"the top of concrete is {high}",
                    abs(off),
                    FIGURES["top of pier"],
                    self.unsure,
                )
            else:
                yield self.missing("top", p.index, "the elevation of its top: no shot of its top has one.")
            if p.top.known and p.bottom.known:
                off = hypot(*(p.top.off - p.bottom.off))
                yield from self.most(
                    "plumb", p.index, "the pier is out of plumb", off, FIGURES["plumb"], 2.0 * self.unsure
                )
            else:
                yield self.missing(
                    "plumb", p.index, "whether it is plumb: it takes shots of its top and of its bottom."
                )
            rods = spec.seat.rods
            if rods is None:
                continue
            for number, rod in p.rods.items():
                if np.isfinite(rod.top[2]):
                    off = float(rod.top[2]) - rods.projection
                    high = "high" if off > 0.0 else "low"
                    rod_part = self._anchor(p.index, number)
                    yield from self.most(
                        "top of rod",
                        p.index,
                        f"the top of {rod_part.label} is {high}",
                        abs(off),
                        FIGURES["top of rod"],
                        self.unsure,
                        rod_part.id,
                    )

    def heights(self, levels: Sequence[Height]) -> Iterator[Finding]:
        """Grout of every seat, and what is left of each rod above its nut."""
        for level in levels:
            for bed in level.beds:
                mark = self.site.piers[bed.pier].mark
                if level.level is None or bed.top != bed.top:
                    yield self.missing(
                        "grout",
                        bed.pier,
                        "its grout: no shot of its top has an elevation.",
                        f"{mark}/grout/1",
                    )
                    continue
                yield from self._grout(bed.pier, level, bed.grout(level.level), bed.most)
                yield from self._nuts(bed.pier, level.level)

    def _grout(self, pier: int, level: Height, grout: float, most: float | None) -> Iterator[Finding]:
        self.checked += 1
        if most is None or grout <= most + 1e-6:
            return
        governs = self.site.piers[level.governs if level.governs is not None else pier].mark
        bed, allowed = show_gap(grout, self.units, "measured most"), show_gap(most, self.units, "needed most")
        says = (
            f"{bed} of grout come to lie under its plate at the level that {governs} sets, {allowed} allowed "
            "(as specified, seat: grout: most)."
        )
        mark = self.site.piers[pier].mark
        yield self._blank(
            "grout", pier, Level.HOLD, says, source="as specified, seat: grout: most", tag=f"{mark}/grout/1",
            measured=grout, required=most, limit="most", reserve=most - grout,
        )  # fmt: skip

    def _nuts(self, pier: int, level: float) -> Iterator[Finding]:
        for number, left in projection_left(self.site, self.piers[pier], level).items():
            self.checked += 1
            if left >= -1e-6:
                continue
            part = self._anchor(pier, number)
            what = "its nut" if takes_nuts(self.site, pier) else "its plate"
            short = show_gap(-left, self.units, "measured most")
            yield self._blank(
                "nut on rod",
                pier,
                Level.HOLD,
                f"{part.label} ends {short} below the top of {what}, once that lies at its level: {_ASK}.",
                source=f"geometry: the full height of {what} on the rod",
                tag=part.id,
                measured=left,
                required=0.0,
                limit="least",
                reserve=left,
            )

    def openings(self) -> Iterator[Finding]:
        """Flood openings and breakaway walls of what is enclosed below the flood."""
        for row in enclosure_rows(self.site):
            tag = f"{row.enclosure}, {row.key}"
            if row.ok is None:
                yield replace(
                    self.missing("flood", -1, f"{row.says} ({row.source}).", tag), source=row.source
                )
                continue
            self.checked += 1
            if not row.ok:
                yield self._blank("flood", -1, Level.HOLD, f"{row.says} ({row.source}).", row.source, tag)

    def flood(self) -> Iterator[Finding]:
        """The flood figures, where the site names them."""
        found = flooding(self.site, self.piers)
        if found is None:
            return
        if found.elevation is None:
            yield self.missing(
                "flood", -1, f"flood, zone {found.zone}: {found.of} is not given; {found.missing}."
            )
            return
        self.checked += 1
        if found.elevation >= found.needed - 1e-6:
            return
        says = (
            f"{found.of} lies at {show_length(found.elevation, self.units)}, and base flood elevation with "
            f"freeboard is {show_length(found.needed, self.units)} ({found.source})."
        )
        yield self._blank(
            "flood",
            -1,
            Level.HOLD,
            says,
            source=found.source,
            measured=found.elevation,
            required=found.needed,
            limit="least",
            reserve=found.elevation - found.needed,
        )


_OPPOSITE = {wind: WINDS[(k + 4) % 8] for k, wind in enumerate(WINDS)}


def judge_as_built(
    site: Site, piers: Sequence[PlacedPier], seats: Sequence[SeatFit], levels: Sequence[Height]
) -> tuple[list[Finding], int]:
    """Findings on the site as placed, worst first, and how many figures were judged."""
    bench = _Judging(site, piers)
    found = [
        *bench.seats(seats),
        *bench.groups(),
        *bench.places(),
        *bench.heights(levels),
        *bench.flood(),
        *bench.openings(),
    ]
    answers = {
        a.finding: ", ".join(w for w in (a.by, str(a.date), a.reference) if w) for a in site.spec.answered
    }
    return worst_first([replace(f, answered=answers.get(f.id)) for f in found]), bench.checked


def _up(mm: float, units: Units) -> float:
    """Rounded up to what is told on paper: 1/16 in, or .1 mm."""
    step = 0.1 if units is Units.MM else 25.4 / 16.0
    return ceil(mm / step - 1e-9) * step
