"""Placed against drawn, as data: what the window, the pictures and the briefing draw as arrows.

An arrow starts where a thing was drawn and runs the way that it was placed off, `factor` times as long as
measured, or nothing would be seen of it; the factor is written beside it (`PlacedMarks.beside`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from enum import StrEnum
from math import degrees, isfinite
from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from clash.fits.targets import Drawn
from models.lengths import Units
from models.motion import Array, Motion
from models.part import ANCHORS, Part, Role
from models.pier import Pier
from models.solids import Swept
from models.winds import wind
from viewer.wording.ways import rise, way

if TYPE_CHECKING:
    from clash.fits.as_built import AsBuilt
    from clash.fits.placed import PlacedBar, PlacedPier
    from clash.fits.seats import SeatFit

FACTORS = (1, 2, 5, 10, 20, 50, 100)
"""What arrows may be drawn larger by: round numbers that can be divided by in the head."""
READABLE = 0.25
"""Of the width of a pier: about how long the arrow of a usual misplacement comes to be."""
USUAL = 0.9
"""Of the piers, how many are off by no more than what is taken for usual (a quantile)."""


class What(StrEnum):
    """What was placed."""

    ROD = "rod"  # or bar anchor
    DOWEL = "dowel"
    CORNER = "corner"  # of the top of the concrete
    CENTER = "center"  # of the top of the concrete; its height is the mean of the shots of the top
    FOOT = "foot"  # center of the concrete near its bottom: with CENTER, how it leans
    TOP = "top"  # the highest shot of the concrete: nothing but a height


class PlacedMark(Struct, frozen=True, eq=False):
    """One thing where it was drawn and where it was placed.

    number: of the rod, dowel or corner, from 1; 0 for others. part: id of the rod or dowel, else empty.
    drawn: (3,) mm, pier's frame; placed: (3,) the same, NaN in what was not measured.
    lower: (3,) mm, pier's frame: a rod's lower shot where two heights were shot, so that its lean is known.
    sure: mm, how sure the measuring is; off: (3,) mm, site axes, placed less drawn, NaN where not known.
    """

    what: What
    label: str
    number: int
    part: str
    drawn: Array
    placed: Array
    off: Array
    sure: float
    lower: Array | None = None

    @property
    def size(self) -> float:
        """mm: how far off it is, in plan or in height, whichever is more."""
        plan = self.off[:2]
        known = [float(np.hypot(*plan))] if np.isfinite(plan).all() else []
        known += [abs(float(self.off[2]))] if isfinite(self.off[2]) else []
        return max(known, default=0.0)

    @property
    def told(self) -> bool:
        """Whether it is off by more than the measuring is sure to: below that an arrow says nothing."""
        return self.size > self.sure

    def words(self, units: Units) -> str:
        """How far off, in words: `1.00 in W; 0.75 in high`; `nowhere` where it stands as drawn."""
        in_plan = way(float(self.off[0]), float(self.off[1]), units) if isfinite(self.off[0]) else ""
        parts = [said for said in (in_plan, rise(float(self.off[2]), units)) if said]
        return "; ".join(said for said in parts if said != "nowhere" or len(parts) == 1) or "nowhere"


class PlacedMarks(Struct, frozen=True, eq=False):
    """One pier, placed against drawn.

    factor: what its arrows are drawn larger by; marks: everything that was measured, rods first; missing:
    labels of rods and dowels that were not measured, where others of their kind were (NOT CHECKED).
    moved: the motion, pier's frame, that carries its concrete from where it was drawn to where it was placed;
    None where that is not known. seat: its plate over its rods as placed, None where it has none.
    """

    pier: Pier
    factor: int
    marks: tuple[PlacedMark, ...]
    missing: tuple[str, ...] = ()
    moved: Motion | None = None
    seat: SeatFit | None = None

    @property
    def beside(self) -> str:
        """What has to be written beside the arrows."""
        return beside_arrows(self.factor)

    def of(self, *what: What) -> tuple[PlacedMark, ...]:
        """The marks of these kinds."""
        return tuple(mark for mark in self.marks if mark.what in what)

    def tip(self, mark: PlacedMark) -> Array:
        """(3,) mm, pier's frame: where the mark's arrow ends; what was not measured stays as drawn."""
        off = np.where(np.isnan(mark.placed), 0.0, mark.placed - mark.drawn)
        tip: Array = mark.drawn + self.factor * off
        return tip

    def enlarged(self, points: Array) -> Array:
        """Points (..., 3) of the concrete as drawn, pier's frame, where the picture shows them as placed:
        moved `factor` times as far. The points themselves where its place is not known."""
        if self.moved is None:
            return points
        return points + self.factor * (self.moved.points(points) - points)


def beside_arrows(factor: int) -> str:
    """What has to be written beside arrows that are drawn so many times as long as measured."""
    long = "as long" if factor == 1 else f"{factor} times as long"
    return f"Arrows from drawn to placed, {long} as measured."


def placed_marks(found: AsBuilt) -> dict[str, PlacedMarks]:
    """Every pier of which something was measured, by its mark, in the order of the site.

    One factor for the whole site, so that one pier can be compared with another: the greatest round number
    that leaves the arrow of a usual misplacement within a quarter of the narrowest pier's width. A pier whose
    own longest arrow would then be wider than the pier has a smaller one of its own.
    """
    sure = found.site.spec.shots.uncertainty
    plates = {fit.piers[0]: fit for fit in found.seats if "/plate/" in fit.part}
    made = [
        replace(one, seat=plates.get(p.index))
        for p in found.piers
        for one in [_pier(found.site.piers[p.index], p, sure)]
        if one.marks
    ]
    if not made:
        return {}
    largest = [max(mark.size for mark in one.marks) for one in made]
    usual = max(float(np.quantile(largest, USUAL, method="lower")), sure, 1e-9)
    site = READABLE * min(_width(one.pier) for one in made) / usual
    return {
        one.pier.mark: replace(one, factor=_round(min(site, _width(one.pier) / max(most, 1e-9))))
        for one, most in zip(made, largest, strict=True)
    }


def stands(marks: PlacedMarks, units: Units) -> Iterator[str]:
    """How the concrete stands, a sentence each: off, turned, out of plumb, its top; what is not known is
    said to be NOT CHECKED."""
    center, foot = marks.of(What.CENTER), marks.of(What.FOOT)
    if center and isfinite(center[0].off[0]):
        off = center[0].off
        yield f"Stands off: {way(float(off[0]), float(off[1]), units)}."
    else:
        yield "Where the concrete stands: NOT CHECKED, its top was not shot."
    if marks.moved is not None:
        angle = degrees(float(np.arctan2(marks.moved.rotation[1, 0], marks.moved.rotation[0, 0])))
        yield f"Turned: {angle + 0.0:+.2f}\u00b0."
    if center and foot and np.isfinite([*center[0].off[:2], *foot[0].off[:2]]).all():
        lean = center[0].off - foot[0].off
        yield f"Out of plumb, top against foot: {way(float(lean[0]), float(lean[1]), units)}."
    else:
        yield "Plumb: NOT CHECKED, it was not shot at top and foot."
    for top in marks.of(What.TOP):
        high = rise(float(top.off[2]), units) or "as drawn"
        yield f"Top of concrete, highest shot: {high}."


def _pier(pier: Pier, p: PlacedPier, sure: float) -> PlacedMarks:
    anchors = [part for part in pier.parts if part.role in ANCHORS]
    dowels = [part for part in pier.parts if part.role is Role.DOWEL]
    marks = [*_bars(What.ROD, pier, anchors, p.rods), *_bars(What.DOWEL, pier, dowels, p.dowels)]
    missing = [
        part.label
        for parts, bars in ((anchors, p.rods), (dowels, p.dowels))
        for number, part in enumerate(parts, start=1)
        if bars and number not in bars
    ]
    moved = None
    if p.top.known:
        shift = pier.frame.inverse().vectors(np.array([*p.top.off, 0.0]))
        turn = 0.0 if np.isnan(p.top.turn) else p.top.turn
        moved = Motion.turned(turn, (float(shift[0]), float(shift[1]), 0.0))
        corners = np.zeros((0, 2)) if pier.spec.outline.round is not None else Drawn(pier).corners[0]
        for number, (x, y) in enumerate(corners.tolist() if isfinite(p.top.turn) else [], start=1):
            drawn = np.array([x, y, 0.0])
            placed = moved.points(drawn)
            placed[2] = np.nan
            marks.append(
                _mark(What.CORNER, f"corner {wind(pier.frame, x, y)}", pier, drawn, placed, sure, number)
            )
    marks += _stand(
        What.CENTER, "center of the top", pier, 0.0, p.top.off, p.top.height - pier.spec.top, sure
    )
    marks += _stand(What.FOOT, "foot", pier, p.bottom.height - pier.spec.top, p.bottom.off, np.nan, sure)
    if isfinite(p.highest):
        at = np.array([np.nan, np.nan, p.highest - pier.spec.top])
        marks.append(_mark(What.TOP, "top of concrete", pier, np.zeros(3), at, sure))
    return PlacedMarks(pier, 1, tuple(marks), tuple(missing), moved)


def _bars(
    what: What, pier: Pier, parts: Sequence[Part], bars: Mapping[int, PlacedBar]
) -> Iterator[PlacedMark]:
    of = Drawn(pier)
    plan = of.rods if what is What.ROD else of.dowels
    for number, bar in bars.items():
        part = parts[number - 1]
        assert isinstance(part.solid, Swept)
        height = float(part.solid.knots[:, 2].max())
        drawn = np.array([*plan[number - 1], height])
        lower = bar.points[0] if bar.leans else None
        placed = bar.top.copy()
        if what is What.DOWEL:  # where up a dowel it was shot nobody says: its height is not compared
            placed[2] = np.nan
        mark = _mark(what, part.label, pier, drawn, placed, bar.uncertainty, number)
        yield replace(mark, part=part.id, lower=lower)


def _stand(
    what: What, label: str, pier: Pier, z: float, off: Array, high: float, sure: float
) -> Iterator[PlacedMark]:
    if not np.isfinite(off).all():
        return
    drawn = np.array([0.0, 0.0, z if isfinite(z) else pier.concrete.bottom])
    placed = drawn + pier.frame.inverse().vectors(np.array([*off, 0.0]))
    placed[2] = drawn[2] + high
    yield _mark(what, label, pier, drawn, placed, sure)


def _mark(
    what: What, label: str, pier: Pier, drawn: Array, placed: Array, sure: float, number: int = 0
) -> PlacedMark:
    off = placed - drawn
    # Piers turn about an upright axis only, so that heights and plans never mix, and NaN stays where it is.
    off = np.array([*(pier.frame.rotation[:2, :2] @ off[:2]), off[2]])
    return PlacedMark(what, label, number, "", drawn, placed, off, sure)


def _width(pier: Pier) -> float:
    """mm: the lesser width of the concrete in plan."""
    ring = pier.concrete.outline.outer.polyline(1.0)
    return float(np.ptp(ring, axis=0).min())


def _round(most: float) -> int:
    """The greatest of the factors that is not over `most`, and never less than 1."""
    return max((factor for factor in FACTORS if factor <= most + 1e-9), default=1)
