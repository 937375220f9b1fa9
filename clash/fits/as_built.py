"""What was placed, against what was drawn: the whole of it, as data."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

from msgspec import Struct
from msgspec.structs import replace

from clash.fits.flood import Flooding, flooding
from clash.fits.judging import judge_as_built
from clash.fits.level import Level, levels
from clash.fits.locate import Located, locate, nowhere
from clash.fits.placed import PlacedPier, placed
from clash.fits.seats import SeatFit, seat_fits
from clash.fits.square import Square, square
from clash.fits.taped import taped
from clash.report.findings import Finding
from models.site import Site
from models.survey.shots import Shots


class AsBuilt(Struct, frozen=True, eq=False):
    """The site as placed.

    piers: in the site's order; seats: plates, then beams; levels: the highest first; findings: what does not
    fit and what was not measured, worst first; checked: how many figures were judged.
    """

    site: Site
    shots: Shots
    located: Located
    piers: tuple[PlacedPier, ...]
    seats: tuple[SeatFit, ...]
    levels: tuple[Level, ...]
    square: Square
    flooding: Flooding | None
    findings: tuple[Finding, ...]
    checked: int

    @property
    def open(self) -> tuple[Finding, ...]:
        """The findings that decide the exit code: HOLD or NOT CHECKED, and nobody has answered them."""
        from clash.report.findings import Level as How

        return tuple(f for f in self.findings if f.level is not How.TIGHT and f.answered is None)


def as_built(site: Site, shots: Shots) -> AsBuilt:
    """Lay the shots over the drawing and judge what they show. Raises BadInput for points that cannot be.

    By tape, rods are known by their own concrete, and where that stands is not.
    """
    if shots.tape:
        sure = site.spec.shots.model_copy(update={"uncertainty": site.spec.shots.tape_uncertainty})
        site = replace(site, spec=site.spec.model_copy(update={"shots": sure}))
        located, piers = nowhere(), taped(site, shots.tape)
    else:
        located = locate(site, shots)
        piers = placed(site, located)
    found = levels(site, piers)
    lift = {
        bed.pier: level.level - level.drawn
        for level in found
        if level.level is not None
        for bed in level.beds
    }
    seats = seat_fits(site, piers, [lift.get(p.index, 0.0) for p in piers])
    findings, checked = judge_as_built(site, piers, seats, found)
    return AsBuilt(
        site,
        shots,
        located,
        tuple(piers),
        tuple(seats),
        tuple(found),
        square(site, piers),
        flooding(site, piers),
        tuple(findings),
        checked,
    )


def flush(site: Site, piers: Sequence[PlacedPier]) -> dict[tuple[str, int], float]:
    """By beam and pier: mm that the pier stands to the left of where the beam's face line wants it.

    Across the beam's run from its named end, against the line through its first and last pier as placed.
    """
    index = {pier.mark: i for i, pier in enumerate(site.piers)}
    found: dict[tuple[str, int], float] = {}
    for beam in site.spec.beams:
        on = [index[mark] for mark in beam.piers]
        first, last = on[0], on[-1]
        ends = piers[first].stand, piers[last].stand
        a, b = site.piers[first].spec, site.piers[last].spec
        run = hypot(b.x - a.x, b.y - a.y)
        if run <= 0.0 or not (ends[0].known and ends[1].known):
            continue
        ux, uy = (b.x - a.x) / run, (b.y - a.y) / run
        start, end = (float(-uy * e.off[0] + ux * e.off[1]) for e in ends)
        for i in on:
            stand, spec = piers[i].stand, site.piers[i].spec
            if stand.known:
                along = ((spec.x - a.x) * ux + (spec.y - a.y) * uy) / run
                left = float(-uy * stand.off[0] + ux * stand.off[1])
                found[beam.name, i] = left - (1.0 - along) * start - along * end
    return found
