"""What was measured, for the sheets that are drawn from it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from hashlib import sha256
from math import hypot
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from models.lengths import Units, show_gap
from models.problems import BadInput, Place, Problem
from viewer.paper.job import Job, SheetFile, sheet_module, sheet_names
from viewer.wording.fold import spans

if TYPE_CHECKING:
    from clash.fits.as_built import AsBuilt
    from clash.fits.seats import Hole, SeatFit

NOT_MEASURED = "NOT MEASURED"


class Survey(Struct, frozen=True, eq=False):
    """A site as placed. sha: of the survey's file, shortened; only: the mark of the one pier asked for."""

    found: AsBuilt
    sha: str
    only: str | None = None

    @property
    def units(self) -> Units:
        """The site's."""
        return self.found.site.units

    @property
    def source(self) -> str:
        """The survey's file, its hash, and what each point is sure to."""
        shots, spec = self.found.shots, self.found.site.spec
        kind = "tape" if shots.tape else "point"
        sure = show_gap(spec.shots.uncertainty, self.units, "measured most")
        return f"{shots.file} ({self.sha}), each {kind} sure to {sure}"

    def measured(self, pier: int, number: int) -> bool:
        """Whether this rod of this pier (an index) was measured."""
        return number in self.found.piers[pier].rods

    def upright(self, holes: tuple[Hole, ...]) -> Iterator[str]:
        """A note where rods were measured at one height only."""
        piers = self.found.piers
        some = [h for h in holes if not piers[h.pier].rods[h.number].leans]
        if some:
            every = "The rods were" if len(some) == len(holes) else f"{len(some)} of the rods were"
            yield f"{every} measured at one height and taken as upright: their lean is NOT MEASURED."


def short_hash(shots: Path) -> str:
    """The hash of a survey's file, as long as sheets show it."""
    return sha256(shots.read_bytes()).hexdigest()[:12]


PlacedSheet = Callable[[Job, Survey], Iterator[SheetFile]]


def placed_sheet(name: str) -> PlacedSheet:
    """The sheet of this name as placed. Raises BadInput where there is none, or it knows no survey."""
    made: PlacedSheet | None = getattr(sheet_module(name), "placed_files", None)
    if made is None:
        *most, last = (n for n in sheet_names() if hasattr(sheet_module(n), "placed_files"))
        know = f"{', '.join(most)} and {last}"
        raise BadInput(
            [Problem(Place("--shots"), f"the sheet {name} knows no survey", f"{know} do; leave --shots off")]
        )
    return made


def center(hole: Hole) -> tuple[float, float]:
    """Where a hole goes, square through: the rod's place at mid-depth, mm, axes of the plate or beam."""
    x, y = ((hole.low + hole.high) / 2.0).tolist()
    return x, y


def moved(hole: Hole) -> float:
    """mm from the drawn center of a hole to where it goes."""
    x, y = center(hole)
    return hypot(x - hole.center[0], y - hole.center[1])


def lean(hole: Hole) -> float:
    """mm that a rod runs sideways from the underside to the top of its plate or beam."""
    return hypot(*(hole.high - hole.low).tolist())


def room(hole: Hole) -> float:
    """mm round the rod in a hole of the drawn size at that center: half the lean is gone at either end."""
    return hole.slack - lean(hole) / 2.0


def reasons(fit: SeatFit) -> list[str]:
    """Why nothing could be said of whether it drops on, each a sentence."""
    return [f"{said[0].upper()}{said[1:]}." for said in fit.missing.split("; ") if said]


def too_tight(numbers: list[int]) -> Iterator[str]:
    """A note on the holes that leave less room than the measuring is sure to."""
    if numbers:
        which = f"Holes {spans(numbers)}" if len(numbers) > 1 else f"Hole {numbers[0]}"
        yield f"{which} of the drawn size: TOO LITTLE ROOM, less than is sure. Ask the engineer."
