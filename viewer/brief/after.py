"""What the briefing says of a pier once it was measured: placed against drawn."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from models.lengths import Units, show_gap, show_length
from viewer.legend.placed_marks import PlacedMarks, What, placed_marks, stands
from viewer.legend.spots import Watch, watched
from viewer.wording.drops_on import drops_on
from viewer.wording.ways import level_up, small, way

if TYPE_CHECKING:
    from clash.fits.as_built import AsBuilt
    from clash.report.findings import Finding


class After(Struct, frozen=True, eq=False):
    """One pier as placed. marks: None where nothing of it was measured; says: how it stands and what comes
    onto it, a sentence each; off: each rod and dowel, how far; watch: what was found, worst first, not in the
    picture; poured: whether its concrete was shot, so that the walk before the pour is over; checks: to tick
    off before steel is set.
    """

    marks: PlacedMarks | None
    says: tuple[str, ...]
    off: tuple[str, ...]
    watch: tuple[Watch, ...]
    poured: bool
    checks: tuple[str, ...]

    @property
    def held(self) -> bool:
        """Whether something as placed is on HOLD and nobody has answered."""
        return any(w.level == "HOLD" and w.answered is None for w in self.watch)


def after_pour(found: AsBuilt) -> dict[str, After]:
    """Every pier of the site, by its mark; what belongs to no pier under an empty one."""
    units = found.site.units
    marks = placed_marks(found)
    by_pier: dict[str, list[Finding]] = {}
    for finding in found.findings:
        by_pier.setdefault(finding.pier, []).append(finding)
    made = {}
    for p in found.piers:
        mark = found.site.piers[p.index].mark
        one = marks.get(mark)
        poured = p.top.known or p.highest == p.highest
        made[mark] = After(
            one,
            tuple(_says(found, p.index, one, units)),
            tuple(_off(one, units)) if one is not None else (),
            watched(by_pier.get(mark, [])),
            poured,
            tuple(_checks(found, p.index, units)) if poured else (),
        )
    if "" in by_pier:
        made[""] = After(None, (), (), watched(by_pier[""]), False, ())
    return made


def _says(found: AsBuilt, index: int, one: PlacedMarks | None, units: Units) -> Iterator[str]:
    if one is None:
        yield "As placed: NOT CHECKED, nothing of it was measured."
    elif found.shots.tape:
        yield "Taped from its own faces: where the concrete itself stands is NOT CHECKED."
    else:
        yield from stands(one, units)
    for fit in found.seats:
        if index in fit.piers:
            plate = "/plate/" in fit.part
            name = "Plate" if plate else f"Beam {fit.part.partition('/')[0]}"
            yield f"{name}: {drops_on(fit, units).replace('not checked', 'NOT CHECKED')}."
    for level in found.levels:
        for bed in level.beds:
            if bed.pier != index:
                continue
            if level.level is None or bed.top != bed.top:
                yield "Grout: NOT CHECKED, no shot of its top has an elevation."
                continue
            grout = bed.grout(level.level)
            over = bed.most is not None and grout > bed.most + 1e-6
            more = f", over the most of {show_length(bed.most, units)}" if over and bed.most else ""
            if not level.complete:
                more += "; other tops of its level were not shot, and may set it higher"
            yield f"Grout: {small(grout, units)}{more}."


def _off(one: PlacedMarks, units: Units) -> Iterator[str]:
    """The rods and dowels that are off by more than the measuring is sure to, and those not measured."""
    bars = one.of(What.ROD, What.DOWEL)
    told = [mark for mark in bars if mark.told]
    for mark in told:
        yield f"{mark.label[0].upper()}{mark.label[1:]}: {mark.words(units)}."
    if bars and len(told) < len(bars):
        sure = show_gap(max(mark.sure for mark in bars), units, "measured most")
        which = f"The other {len(bars) - len(told)}" if told else f"All {len(bars)}"
        yield f"{which} measured rods and dowels: within {sure}, which is what the measuring is sure to."
    for mark in bars:
        if mark.lower is None:
            continue
        lean = mark.placed - mark.lower
        if np.hypot(*lean[:2]) > 2.0 * mark.sure:  # either of its two shots may be off
            x, y, _ = one.pier.frame.vectors(np.array([*lean[:2], 0.0])).tolist()
            over = small(float(lean[2]), units)
            yield f"{mark.label[0].upper()}{mark.label[1:]} leans: {way(x, y, units)} in {over} of height."
    for label in one.missing:
        yield f"{label[0].upper()}{label[1:]}: NOT MEASURED."


def _checks(found: AsBuilt, index: int, units: Units) -> Iterator[str]:
    """The walk before steel is set, as is practice, with the figures of the survey."""
    seat = found.site.piers[index].spec.seat
    for level in found.levels:
        if level.level is not None and any(bed.pier == index for bed in level.beds):
            yield f"Underside of the plate marked and leveled: {level_up(level.level, units)}."
    if seat.rods is not None and seat.rods.bar is None:
        yield "Threads: clean and whole; a nut runs down each by hand."
    elif seat.rods is not None:
        yield "Bar anchors: clean where they are welded."
    if seat.plate is not None and seat.grout is not None:
        yield "Concrete under the plate: clean and rough, as the engineer wants it for grout."
    yield "No HOLD of this pier, as drawn or as placed, is without the engineer's answer."
