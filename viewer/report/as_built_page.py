"""The site as placed, as a builder reads it."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees, isfinite
from typing import TYPE_CHECKING

from msgspec import Struct

from clash.fits.as_built import flush
from clash.fits.level import other_levels
from clash.fits.projection import projection_left, takes_nuts
from clash.fits.seats import NONE_MEASURED
from clash.report.findings import Level
from models.lengths import Units, show_gap, show_length
from viewer.report.page import Page
from viewer.report.terminal import CAUTION
from viewer.wording.drops_on import drops_on
from viewer.wording.fold import folded, named
from viewer.wording.ways import level_up, small, way

if TYPE_CHECKING:
    from clash.fits.as_built import AsBuilt
    from clash.report.findings import Finding

_COLORS = {Level.HOLD: "red", Level.TIGHT: "yellow", Level.NOT_CHECKED: "blue"}
_HANG = 15
MOST_UNMATCHED = 20
"""Lines that name nothing of the site are listed up to here; the JSON has them all."""


def as_built_text(found: AsBuilt, file: str, width: int, colors: bool = False) -> str:
    """The whole report, wrapped at `width` columns; file: the site file as its reader knows it."""
    return "\n".join(_Told(found, Page(width, colors)).lines(file))


class _Told(Struct, frozen=True):
    found: AsBuilt
    page: Page

    @property
    def units(self) -> Units:
        return self.found.site.units

    def lines(self, file: str) -> Iterator[str]:
        found = self.found
        yield from self.page.bold(f"{found.site.spec.site.name}, as placed")
        yield from self.page.wrapped(f"{'site file':<11}", f"{file}, sha256 {found.site.sha256[:12]}")
        count = f"{len(found.shots.shots)} points that name parts of this site, numbers in {found.shots.unit}"
        if found.shots.tape:
            count = f"{len(found.shots.tape)} rods by tape, from the faces of their piers as drawn"
        yield from self.page.wrapped(f"{'measured':<11}", f"{found.shots.file}, {count}")
        sure = show_gap(found.site.spec.shots.uncertainty, self.units, "measured most")
        yield from self.page.wrapped(
            f"{'sure to':<11}", f"{sure} each; nothing drops on for less room than that"
        )
        yield ""
        yield from self.page.wrapped("", CAUTION)
        if not found.shots.tape:
            yield from self._where()
        yield from self._seats()
        yield from self._level()
        yield from self._piers()
        yield from self._square()
        yield from self._findings()
        yield from self._unmatched()
        yield ""
        yield from self.page.bold(summary(found))

    def _title(self, text: str) -> Iterator[str]:
        yield ""
        yield from self.page.bold(text)

    def _where(self) -> Iterator[str]:
        located = self.found.located
        fit = located.fit
        yield from self._title("Where the site is")
        if located.way == "as it stands":
            yield from self.page.wrapped(
                "  ", "The shots are taken as they stand: nothing was turned or moved."
            )
        else:
            way = (
                "two control points or more"
                if located.way == "control points"
                else "the best fit over all piers"
            )
            moved = self._way(*located.move)
            turned = f"turned {degrees(fit.turn) + 0.0:+.4f} degrees and moved {moved} against the drawing."
            yield from self.page.wrapped("  ", f"By {way}: {turned}")
        yield from self.page.wrapped(
            "  ",
            f"{len(located.fitted) - int(fit.outliers.sum())} points agree with that within "
            f"{self._length(fit.rms)} (root mean square); scale {round(fit.ppm):+d} ppm, "
            "told and not applied.",
        )
        if located.lift is not None:
            lift = self._length(located.lift)
            yield from self.page.wrapped(
                "  ", f"Control points were measured {lift} higher than given; not applied."
            )
        out = [t.shot.label for t, odd in zip(located.fitted, fit.outliers, strict=True) if odd]
        if out:
            yield from self.page.wrapped(
                "  ", f"Without a say, because they lie too far off: {', '.join(out)}."
            )

    def _seats(self) -> Iterator[str]:
        if not self.found.seats:
            return
        yield from self._title("Does it drop on?")
        none: list[str] = []
        for fit in self.found.seats:
            plate = "/plate/" in fit.part
            mark = self.found.site.piers[fit.piers[0]].mark if plate else fit.part.partition("/")[0]
            if fit.missing == NONE_MEASURED:
                none.append(mark)
                continue
            yield from self.page.wrapped(f"  {mark:<{_HANG - 2}}", drops_on(fit, self.units), _HANG)
        if none:
            yield from self.page.wrapped("  ", f"Not checked, because no rod was measured: {named(none)}.")
        if any(not bar.leans for p in self.found.piers for bar in p.rods.values()):
            upright = (
                "Rods that were measured at one height are taken as upright; the highest shot is their top."
            )
            yield from self.page.wrapped("  ", upright)

    def _level(self) -> Iterator[str]:
        for level in self.found.levels:
            drawn = show_length(level.drawn, self.units)
            yield from self._title(f"Level of the plates drawn at {drawn}")
            if level.level is None or level.governs is None:
                yield from self.page.wrapped("  ", "Not checked: no shot of their concrete has an elevation.")
                continue
            governs = self.found.site.piers[level.governs].mark
            most = "" if level.complete else ", of those that were shot: another may be higher"
            yield from self.page.wrapped(
                "  ",
                f"{level_up(level.level, self.units)}: the top of {governs} and its least grout{most}.",
            )
            for bed in level.beds:
                mark = self.found.site.piers[bed.pier].mark
                if bed.top != bed.top:
                    yield from self.page.wrapped(f"  {mark:<{_HANG - 2}}", "its top was not shot", _HANG)
                    continue
                left = projection_left(self.found.site, self.found.piers[bed.pier], level.level)
                least = self._length(min(left.values())) if left else ""
                rods = f"; least of its rods left above {self._over(bed.pier)}: {least}" if left else ""
                thick = (
                    " (over the most)"
                    if bed.most is not None and bed.grout(level.level) > bed.most + 1e-6
                    else ""
                )
                grout = self._length(bed.grout(level.level))
                yield from self.page.wrapped(
                    f"  {mark:<{_HANG - 2}}", f"{grout} of grout{thick}{rods}", _HANG
                )
            for other in other_levels(level):
                if level.level - other.level <= self.found.site.spec.shots.uncertainty:
                    continue
                short = ", ".join(
                    f"{self.found.site.piers[i].mark} by {self._length(mm)}" for i, mm in other.short
                )
                thick = named([self.found.site.piers[i].mark for i in other.thick]) or "none"
                lower = self._length(level.level - other.level)
                yield from self.page.wrapped(
                    f"  {'or':<{_HANG - 2}}",
                    f"{lower} lower, if the engineer lets concrete come off or less grout be at {short}; "
                    f"over the most then: {thick}",
                    _HANG,
                )

    def _over(self, pier: int) -> str:
        return "their nuts" if takes_nuts(self.found.site, pier) else "the plate"

    def _piers(self) -> Iterator[str]:
        if not any(p.stand.known or isfinite(p.top.height) for p in self.found.piers):
            return
        yield from self._title(
            "Each pier: off to the east and north, turned, top, out of plumb to the east and north"
        )
        beside = flush(self.found.site, self.found.piers)
        for p in self.found.piers:
            pier = self.found.site.piers[p.index]
            if not p.stand.known and not isfinite(p.top.height):
                continue
            plumb = p.top.off - p.bottom.off
            cells = [
                self._cell(p.stand.off[0]),
                self._cell(p.stand.off[1]),
                f"{degrees(p.turn) + 0.0:+.2f} deg" if isfinite(p.turn) else "-",
                self._cell(p.top.height - pier.spec.top),
                self._cell(plumb[0]),
                self._cell(plumb[1]),
            ]
            yield f"  {pier.mark:<8}" + "".join(f"{cell:>11}" for cell in cells)
        if beside:
            (beam, i), worst = max(beside.items(), key=lambda item: abs(item[1]))
            side = "left" if worst > 0.0 else "right"
            yield from self.page.wrapped(
                "  ",
                f"Flush: of all piers under beams, {self.found.site.piers[i].mark} stands farthest from the "
                f"face line of {beam}, {self._length(abs(worst))} to the {side} of its run.",
            )

    def _cell(self, mm: float) -> str:
        if not isfinite(mm):
            return "-"
        text = f"{mm:+.1f} mm" if self.units is Units.MM else f"{mm / 25.4:+.2f} in"
        return text if any(c in "123456789" for c in text) else text.replace("-", "+")

    def _square(self) -> Iterator[str]:
        square = self.found.square
        if not square.diagonals and not square.rows:
            return
        yield from self._title("Square of the grid")
        marks = [pier.mark for pier in self.found.site.piers]
        for d in square.diagonals:
            off = d.measured - d.drawn
            yield from self.page.wrapped(
                "  ",
                f"Diagonal {marks[d.start]} to {marks[d.end]}: {show_length(d.measured, self.units)}, "
                f"{self._length(abs(off))} {'longer' if off >= 0.0 else 'shorter'} than drawn.",
            )
        if square.rows:
            row = max(square.rows, key=lambda row: row.worst)
            k = max(range(len(row.off)), key=lambda k: abs(row.off[k]))
            yield from self.page.wrapped(
                "  ",
                f"Of {len(square.rows)} rows, {marks[row.piers[0]]} to {marks[row.piers[-1]]} is the least "
                f"straight: {marks[row.piers[k]]} is {self._length(row.worst)} beside the line of its ends.",
            )

    def _findings(self) -> Iterator[str]:
        by_pier: dict[str, list[Finding]] = {}
        for finding in self.found.findings:
            if finding.level is not Level.NOT_CHECKED:
                by_pier.setdefault(finding.pier, []).append(finding)
        for pier, findings in by_pier.items():
            yield from self._title(f"Pier {pier}" if pier else "The site")
            for fold in folded(findings):
                yield from self._one(fold.worst, fold.worst.says)
                if fold.more:
                    yield from self.page.wrapped(" " * _HANG, fold.more)
        missing = [f for f in self.found.findings if f.level is Level.NOT_CHECKED]
        if missing:
            yield from self._title("Not checked")
        for fold in folded(missing):
            piers = list(dict.fromkeys(f.pier for f in (fold.worst, *fold.others) if f.pier))
            yield from self._one(
                fold.worst, f"{named(piers)}: {fold.worst.says}" if piers else fold.worst.says
            )

    def _one(self, finding: Finding, says: str) -> Iterator[str]:
        word = finding.level.value
        lead = f"  {self.page.ink(word, _COLORS[finding.level])}{'':<{_HANG - 2 - len(word)}}"
        yield from self.page.wrapped(lead, says, _HANG)
        if finding.answered:
            yield from self.page.wrapped(" " * _HANG, f"answered: {finding.answered}")

    def _unmatched(self) -> Iterator[str]:
        lines = self.found.shots.unmatched
        if not lines:
            return
        yield from self._title("Lines that name nothing of this site")
        for place, text in lines[:MOST_UNMATCHED]:
            yield from self.page.wrapped(f"  {f'line {place.line}':<{_HANG - 2}}", text[:120], _HANG)
        if len(lines) > MOST_UNMATCHED:
            yield from self.page.wrapped("  ", f"and {len(lines) - MOST_UNMATCHED} more")

    def _length(self, mm: float) -> str:
        return small(mm, self.units)

    def _way(self, x: float, y: float) -> str:
        return way(x, y, self.units)


def summary(found: AsBuilt) -> str:
    """One line: how many drop on, how much is on HOLD and not checked."""
    told = [fit for fit in found.seats if fit.drops_on is not None]
    on = sum(bool(fit.drops_on) for fit in told)
    holds = sum(f.level is Level.HOLD for f in found.open)
    missing = sum(f.level is Level.NOT_CHECKED for f in found.open)
    tight = sum(f.level is Level.TIGHT for f in found.findings)
    drop = f"{on} of {len(found.seats)} plates and beams drop on, " if found.seats else ""
    more = f"{tight} TIGHT, " if tight else ""
    return f"{drop}{holds} HOLD, {more}{missing} NOT CHECKED, {found.checked:,} figures checked."


def as_built_meaning(found: AsBuilt) -> str:
    """What the exit code of `pierclear asbuilt` says."""
    if any(f.level is Level.HOLD for f in found.open):
        return "Exit code 1: set no steel on what is on HOLD; ask the engineer of record."
    if found.open:
        return "Exit code 1: what is NOT CHECKED is not clear; have it shot, or checked otherwise."
    return "Exit code 0: everything that was shot fits, within what was checked."
