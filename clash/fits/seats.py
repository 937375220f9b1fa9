"""Does each plate drop on over its rods as placed, and each beam over the rods of its piers?"""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, hypot, pi, radians

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

from clash.fits.drop_on import Fits, Plates, best_moves
from clash.fits.enclosing import Index
from clash.fits.placed import PlacedBar, PlacedPier
from clash.fits.remedies import InTheWay, rods_in_the_way
from models.motion import Array, Motion
from models.part import ANCHORS, Part, Role
from models.pier import Pier
from models.seat.pattern import positions, rod_positions
from models.site import Site
from models.solids import Prism

NONE_MEASURED = "none of its rods was measured"
_NOT_MEASURED = " was not measured"


class Hole(Struct, frozen=True, eq=False):
    """One hole over the rod that was drawn for it; lengths in mm, in the axes of the plate or beam.

    pier: index; number: of the rod; center, radius: of the hole; rod: the rod's radius, over threads or ribs.
    low, high: (2,) where the rod as placed passes the underside and the top; sure: mm, how sure those are.
    """

    pier: int
    number: int
    center: tuple[float, float]
    radius: float
    rod: float
    low: Array
    high: Array
    sure: float

    @property
    def slack(self) -> float:
        """Hole radius less rod radius."""
        return self.radius - self.rod


class SeatFit(Struct, frozen=True, eq=False):
    """One plate or beam over its rods as placed.

    part: its id; piers: indices of those that it stands on; to_site: carries its plan axes into site axes.
    missing: why nothing could be said, empty where something could; else drops_on is None and the rest NaN.
    room: mm in the tightest hole at the best move; bound: mm, no move leaves more; unsure: mm of that room
    that the measuring may have used up. It drops on when room is not less than that, it does not when room
    is less than nothing, and in between nobody can tell: None.
    move: (2,) mm, site axes; turn: rad; holes: each with its rod, and rooms: mm in each at that move.
    in_the_way: rods without which it would drop on; their `rod` counts in `holes`.
    """

    part: str
    piers: tuple[int, ...]
    to_site: Motion
    missing: str = ""
    drops_on: bool | None = None
    room: float = np.nan
    bound: float = np.nan
    unsure: float = np.nan
    move: Array = field(default_factory=lambda: np.full(2, np.nan))
    turn: float = np.nan
    holes: tuple[Hole, ...] = ()
    rooms: tuple[float, ...] = ()
    in_the_way: tuple[InTheWay, ...] = ()

    @property
    def lacks(self) -> float:
        """mm that every hole would have to grow in diameter for it to drop on; 0 where it does."""
        return max(0.0, 2.0 * (self.unsure - self.room))


def seat_fits(site: Site, piers: Sequence[PlacedPier], lifts: Sequence[float]) -> list[SeatFit]:
    """Every plate of the site, then every beam.

    lifts: (piers,) mm, how much higher than drawn each plate comes to lie (0 where nothing says so).
    """
    fits = [
        _over_plate(site.piers[p.index], p, lift)
        for p, lift in zip(piers, lifts, strict=True)
        if site.piers[p.index].spec.seat.plate is not None
    ]
    fits += _over_beams(site, piers)
    play = site.spec.shots.play
    shift = np.inf if play is None or play.shift is None else play.shift
    turn = pi if play is None or play.turn is None else radians(play.turn)
    return _solved(fits, turn, shift)


def _over_plate(pier: Pier, as_placed: PlacedPier, lift: float) -> SeatFit:
    """A plate with its holes over the rods, not yet solved; its plan axes are its pier's."""
    seat, part_id = pier.spec.seat, f"{pier.mark}/plate/1"
    blank = SeatFit(part_id, (as_placed.index,), pier.frame)
    assert seat.plate is not None
    if seat.rods is None:
        return replace(blank, missing="there are no rods under it")
    drawn = rod_positions(pier.spec)
    own = seat.plate.holes.pattern
    centers = drawn if own is None else positions(own)
    low = seat.plate.above + lift
    radius = seat.plate.holes.diameter / 2.0
    return _with_rods(
        blank,
        [(pier, as_placed, Motion.identity())],
        centers,
        np.full(len(centers), radius),
        low,
        low + seat.plate.thickness,
    )


def _over_beams(site: Site, piers: Sequence[PlacedPier]) -> list[SeatFit]:
    index = {pier.mark: i for i, pier in enumerate(site.piers)}
    fits = []
    for beam in site.spec.beams:
        on = [index[mark] for mark in dict.fromkeys(beam.piers)]
        part_id = f"{beam.name}/beam"
        under = [(site.piers[i], piers[i], _solid(site.piers[i].part(part_id))) for i in on]
        first = under[0][2]
        rings = [ring for ring in first.outline.holes if len(ring.sweeps) == 1]
        centers = np.array([ring.centers[0] for ring in rings], dtype=float).reshape(-1, 2)
        radii = np.array([hypot(*(ring.starts[0] - ring.centers[0])) for ring in rings], dtype=float)
        blank = SeatFit(part_id, tuple(on), site.piers[on[0]].frame.after(first.motion))
        into = [(pier, as_placed, solid.motion.inverse()) for pier, as_placed, solid in under]
        # Each pier's frame counts heights from its own top; `_with_rods` adds what lies between.
        fits.append(_with_rods(blank, into, centers, radii, first.bottom, first.top))
    return fits


def _with_rods(
    blank: SeatFit,
    under: Sequence[tuple[Pier, PlacedPier, Motion]],
    centers: Array,
    radii: Array,
    low: float,
    high: float,
) -> SeatFit:
    """A seat with every rod that was drawn under it in its hole.

    under: piers, and what carries their plan into the seat's; centers (n, 2), radii (n,): of the holes, mm;
    low, high: its underside and top, mm, above the first pier's drawn top.
    """
    holes: list[Hole] = []
    missing: list[str] = []
    free = np.ones(len(centers), dtype=bool)
    base = under[0][0].spec.top
    for pier, as_placed, into in under:
        drawn = rod_positions(pier.spec)
        at = into.points(np.column_stack([drawn, np.zeros(len(drawn))]))[:, :2]
        anchors = [part for part in pier.parts if part.role in ANCHORS]
        drop = base - pier.spec.top
        for number, (anchor, place) in enumerate(zip(anchors, at, strict=True), start=1):
            away = np.where(free, np.hypot(*(centers - place).T), np.inf) if len(centers) else np.zeros(0)
            k = int(np.argmin(away)) if len(away) else -1
            if k < 0 or away[k] > 2.0 * radii[k]:
                missing.append(f"{anchor.label} of {pier.mark} has no hole in the drawing")
                continue
            free[k] = False
            if anchor.overall is None:
                missing.append(f"no table gives {anchor.label} of {pier.mark} its diameter over the ribs")
            bar = as_placed.rods.get(number)
            if bar is None:
                missing.append(f"{anchor.label} of {pier.mark}{_NOT_MEASURED}")
            if bar is None or anchor.overall is None:
                continue
            below, unsure = _passes(bar, low + drop, into)
            above, more = _passes(bar, high + drop, into)
            radius = anchor.overall / 2.0 / cos(_lean(bar))
            x, y = centers[k].tolist()
            holes.append(
                Hole(
                    as_placed.index, number, (x, y), float(radii[k]), radius, below, above, max(unsure, more)
                )
            )
    if missing and all(said.endswith(_NOT_MEASURED) for said in missing) and not holes:
        missing = [NONE_MEASURED]
    if not holes and not missing:
        missing = ["no rods were drawn under it"]
    return replace(blank, holes=tuple(holes), missing="; ".join(missing))


def _passes(bar: PlacedBar, z: float, into: Motion) -> tuple[Array, float]:
    """Where a bar passes a height of its pier's frame, in the seat's plan axes, and how sure that is."""
    at, sure = bar.at(z)
    plan: Array = into.points(np.array([at[0], at[1], z]))[:2]
    return plan, sure


def _lean(bar: PlacedBar) -> float:
    """rad from upright: a leaning rod cuts a level plane in an ellipse; a disc of r / cos(lean) holds it."""
    if not bar.leans:
        return 0.0
    way = bar.points[-1] - bar.points[0]
    return float(np.arctan2(hypot(way[0], way[1]), way[2]))


def _solved(fits: list[SeatFit], turn: float, shift: float) -> list[SeatFit]:
    """The same, with their best moves, all at once."""
    ready = [k for k, fit in enumerate(fits) if not fit.missing]
    if not ready:
        return fits
    plates = _plates([fits[k] for k in ready], turn, shift)
    count = plates.slack.shape[1] // 2
    sure = np.array([max(hole.sure for hole in fits[k].holes) for k in ready])
    found = best_moves(plates)
    solved = list(fits)
    stuck = [k for k in range(len(ready)) if found.room[k] < 0.0]
    ways: dict[int, list[InTheWay]] = {}
    rod_of = np.tile(np.arange(count, dtype=np.intp), 2)
    for need in sorted({float(sure[k]) for k in stuck}):
        some = np.array([k for k in stuck if sure[k] == need], dtype=np.intp)
        for way in rods_in_the_way(plates.only(some), _some(found, some), need, rod_of):
            ways.setdefault(int(some[way.plate]), []).append(way)
    for j, k in enumerate(ready):
        fit = fits[k]
        n = len(fit.holes)
        rooms = np.minimum(found.rooms[j, :n], found.rooms[j, count : count + n])
        solved[k] = replace(
            fit,
            drops_on=True if found.room[j] >= sure[j] else False if found.room[j] < 0.0 else None,
            room=float(found.room[j]),
            bound=float(found.bound[j]),
            unsure=float(sure[j]),
            move=fit.to_site.vectors(np.array([*found.shift[j], 0.0]))[:2],
            turn=float(found.turn[j]),
            rooms=tuple(rooms.tolist()),
            in_the_way=tuple(ways.get(j, ())),
        )
    return solved


def _some(found: Fits, which: Index) -> Fits:
    return Fits(
        found.room[which], found.bound[which], found.turn[which], found.shift[which], found.rooms[which]
    )


def _plates(fits: list[SeatFit], turn: float, shift: float) -> Plates:
    """Holes and rods in columns: every rod at the underside, then every rod at the top."""
    count = max(len(fit.holes) for fit in fits)
    n = len(fits)
    holes, rods = np.zeros((n, 2 * count, 2)), np.zeros((n, 2 * count, 2))
    slack = np.full((n, 2 * count), np.inf)
    for k, fit in enumerate(fits):
        m = len(fit.holes)
        for start, ends in ((0, [h.low for h in fit.holes]), (count, [h.high for h in fit.holes])):
            holes[k, start : start + m] = [h.center for h in fit.holes]
            rods[k, start : start + m] = ends
            slack[k, start : start + m] = [h.slack for h in fit.holes]
    return Plates(holes, rods, slack, np.full(n, turn), np.full(n, shift))


def _solid(part: Part) -> Prism:
    assert part.role is Role.BEAM
    assert isinstance(part.solid, Prism)
    return part.solid
