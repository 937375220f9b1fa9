"""How high the plates come to lie: every seat is brought up to the highest, and grout fills the rest."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from clash.fits.placed import PlacedPier
from models.site import Site

SAME = 0.5
"""mm: plates whose undersides are drawn nearer than this lie at one level."""
MOST_OTHERS = 3
"""How many of the highest piers the table of other levels takes out."""


class Bed(Struct, frozen=True):
    """One seat on grout. pier: index; top: mm, the highest shot of its concrete, NaN where none was; least,
    most: mm of grout that it needs and may have."""

    pier: int
    top: float
    least: float
    most: float | None

    @property
    def needs(self) -> float:
        """The lowest underside, mm, that leaves its least grout."""
        return self.top + self.least

    def grout(self, level: float) -> float:
        """mm of grout under a plate whose underside lies at `level`."""
        return level - self.top


class Level(Struct, frozen=True):
    """Plates that are drawn at one height.

    drawn: mm, elevation of their undersides as drawn; level: mm, the greatest of (top + least grout) over the
    seats whose top was shot, None where none was; governs: index of the pier that it is the greatest at.
    """

    drawn: float
    beds: tuple[Bed, ...]
    level: float | None
    governs: int | None

    @property
    def complete(self) -> bool:
        """Whether the top of every seat was shot, so that no other can govern."""
        return all(bed.top == bed.top for bed in self.beds)


class Other(Struct, frozen=True):
    """Another level: what it would be without the `without` highest seats, and what follows.

    short: by pier, mm of grout that it lacks there (concrete to take off, or less grout to accept: the
    engineer's word); thick: piers that then have more than the most.
    """

    without: int
    level: float
    short: tuple[tuple[int, float], ...]
    thick: tuple[int, ...]


def levels(site: Site, piers: Sequence[PlacedPier]) -> list[Level]:
    """Every level of plates on grout, the highest first."""
    drawn: list[tuple[float, Bed]] = []
    for p in piers:
        spec = site.piers[p.index].spec
        if spec.seat.plate is None or spec.seat.grout is None:
            continue
        bed = Bed(p.index, p.highest, spec.seat.grout.least, spec.seat.grout.most)
        drawn.append((spec.top + spec.seat.plate.above, bed))
    drawn.sort(key=lambda pair: -pair[0])
    groups: list[list[tuple[float, Bed]]] = []
    for pair in drawn:
        if groups and groups[-1][0][0] - pair[0] <= SAME:
            groups[-1].append(pair)
        else:
            groups.append([pair])
    return [_level(group[0][0], tuple(bed for _, bed in group)) for group in groups]


def _level(drawn: float, beds: tuple[Bed, ...]) -> Level:
    shot = [bed for bed in beds if bed.top == bed.top]
    if not shot:
        return Level(drawn, beds, None, None)
    highest = max(shot, key=lambda bed: bed.needs)
    return Level(drawn, beds, highest.needs, highest.pier)


def other_levels(level: Level) -> list[Other]:
    """What other levels would mean: without the highest seat, without the two highest, and so on."""
    shot = sorted((bed for bed in level.beds if bed.top == bed.top), key=lambda bed: -bed.needs)
    found = []
    for without in range(1, min(MOST_OTHERS, len(shot) - 1) + 1):
        lower = shot[without].needs
        short = tuple((bed.pier, bed.needs - lower) for bed in shot[:without] if bed.needs > lower)
        thick = tuple(bed.pier for bed in shot if bed.most is not None and bed.grout(lower) > bed.most)
        if short:
            found.append(Other(without, lower, short, thick))
    return found
