"""Where everything of a cage stands: verticals, the levels and shapes of its ties, dowels."""

from __future__ import annotations

from msgspec import Struct

from models.cage.dowels import DowelPlace, lapped_dowels, listed_dowels
from models.cage.levels import tie_levels
from models.cage.plan import Box, CagePlan, Free, Ring, Stand, Trim, stands
from models.cage.steel import bent
from models.cage.ties import CrosstieLine, Lateral, crossties_on, diamonds_on, ties_around
from models.catalogue import Bar, bar
from models.lengths import show_length
from models.motion import Motion
from models.pier import Concrete
from models.shapes.outline_from import inset, loop_of, straight_convex
from models.solids import Swept
from models.spec.cage import Cage
from models.spec.outline import OutlineSpec
from models.spec.pier import PierSpec
from models.spec.site import SiteSpec


class CageLayout(Struct, frozen=True, eq=False):
    """The cage of one pier, laid out in the pier's frame, mm.

    stands: of the verticals, in the order of their numbers; bottom, top: elevations of their ends; levels:
    of the ties, the highest first; crossties and diamond repeat at every level, on top of its tie.
    """

    plan: CagePlan
    vertical: Bar
    stands: tuple[Stand, ...]
    bottom: float
    top: float
    ties: Lateral | None
    levels: tuple[float, ...]
    crossties: tuple[CrosstieLine, ...]
    diamond: Lateral | None
    dowels: tuple[DowelPlace, ...]

    @property
    def round(self) -> bool:
        """Whether its ties are hoops."""
        return isinstance(self.plan, Ring)


class Layouts:
    """Cages laid out so far: piers that are alike in all that a cage depends on share one."""

    def __init__(self) -> None:
        self._known: dict[tuple[object, ...], CageLayout] = {}

    def of(self, site: SiteSpec, spec: PierSpec, concrete: Concrete, frame: Motion) -> CageLayout | None:
        """As `lay_out`, once for all piers that are alike."""
        if spec.cage is None:
            return None
        cover = spec.concrete.cover
        key = (
            site.site.units,
            spec.cage.model_dump_json(),
            spec.outline.model_dump_json(),
            (cover.side, cover.top, cover.bottom),
            concrete.bottom,
            frame.rotation.tobytes(),
        )
        if key not in self._known:
            made = lay_out(site, spec, concrete, frame)
            assert made is not None, "a cage that is drawn is laid out"
            self._known[key] = made
        return self._known[key]


def lay_out(site: SiteSpec, spec: PierSpec, concrete: Concrete, frame: Motion) -> CageLayout | None:
    """The cage of a pier; None where it has none.

    frame carries the pier's axes to the site's, for places in words.
    Raises ValueError with one plain sentence when the cage cannot exist as drawn.
    """
    cage = spec.cage
    if cage is None:
        return None
    cover = spec.concrete.cover
    units = site.site.units
    vertical = bar(cage.verticals.size)
    held = vertical.diameter / 2.0
    plan = _plan(cage, spec.outline, cover.side, units)
    steel = None if cage.ties is None else bent(cage.ties, cage.ties.size, vertical, units)
    trim = Trim(0.0, 0.0) if steel is None else Trim(steel.bar.diameter, steel.inside)
    places = stands(plan, cage.verticals, held, trim, frame)
    low = concrete.bottom + _end(cage.verticals.bottom, cover.bottom, "bottom")
    high = -_end(cage.verticals.top, cover.top, "top")
    if low >= high:
        raise ValueError("the verticals have no length between the bottom and the top of the pier")

    ties: Lateral | None = None
    levels: tuple[float, ...] = ()
    crossties: tuple[CrosstieLine, ...] = ()
    diamond: Lateral | None = None
    if cage.ties is not None and steel is not None:
        ties = ties_around(plan, steel, places, held, cage.ties.lap)
        above = steel.radius
        if cage.ties.crossties is not None:
            size = cage.ties.crossties.size or cage.ties.size
            across = bent(cage.ties, size, vertical, units)
            crossties = crossties_on(cage.ties.crossties.pairs, across, places, held, above)
            above = max(line.lift for line in crossties) + across.radius
        if cage.ties.diamond:
            diamond = diamonds_on(steel, places, held, above)
            above = diamond.lift + steel.bar.diameter + steel.radius
        levels = tie_levels(cage.ties, cover.top, concrete.bottom, steel.radius, above)
    dowels = _dowels(
        cage, plan, places, held, trim.tie, _shapes(ties, crossties, diamond), concrete.bottom, frame
    )
    return CageLayout(plan, vertical, places, low, high, ties, levels, crossties, diamond, dowels)


def _end(drawn: float | None, cover: float | None, face: str) -> float:
    """How far the verticals end from a face, mm: as drawn, else by the cover."""
    if drawn is not None:
        return drawn
    if cover is None:
        raise ValueError(f"the verticals need their {face}, or the concrete its {face} cover")
    return cover


def _plan(cage: Cage, outline: OutlineSpec, cover: float | None, units: str) -> CagePlan:
    """The cage's shape: by its own size, else the outline's less the side cover."""
    center = (outline.center[0] + cage.offset[0], outline.center[1] + cage.offset[1])
    if isinstance(cage.size, tuple):
        return Box(center, (cage.size[0] / 2.0, cage.size[1] / 2.0))
    if cage.size is not None and outline.round is not None:
        return Ring(center, cage.size / 2.0)
    if cage.size is not None and outline.edges is None:
        return Box(center, (cage.size / 2.0, cage.size / 2.0))
    if cage.size is not None:
        raise ValueError("the cage of a free outline needs its size along x and along y")
    if cover is None:
        raise ValueError("the cage needs its size, or the concrete its side cover")
    nothing = f"a side cover of {show_length(cover, units)} leaves no room for a cage in the pier"
    if outline.edges is not None:
        return _free(outline, cage, cover, nothing)
    if outline.round is not None:
        if outline.round <= 2.0 * cover:
            raise ValueError(nothing)
        return Ring(center, outline.round / 2.0 - cover)
    x, y = outline.rectangle or (outline.square or 0.0, outline.square or 0.0)
    if min(x, y) <= 2.0 * cover:
        raise ValueError(nothing)
    return Box(center, (x / 2.0 - cover, y / 2.0 - cover))


def _free(outline: OutlineSpec, cage: Cage, cover: float, nothing: str) -> Free:
    loop = loop_of(outline)
    if straight_convex(loop):
        try:
            loop = inset(loop, cover)
        except ValueError as wrong:
            raise ValueError(nothing) from wrong
    starts = loop.starts + cage.offset
    return Free(outline.center, type(loop)(starts, loop.sweeps, loop.centers + cage.offset))


def _shapes(
    ties: Lateral | None, crossties: tuple[CrosstieLine, ...], diamond: Lateral | None
) -> list[Swept]:
    shapes: list[Swept] = [*ties.shapes] if ties else []
    for line in crossties:
        shapes += line.shapes
    return [*shapes, *diamond.shapes] if diamond else shapes


def _dowels(
    cage: Cage,
    plan: CagePlan,
    places: tuple[Stand, ...],
    held: float,
    tie: float,
    lateral: list[Swept],
    bottom: float,
    frame: Motion,
) -> tuple[DowelPlace, ...]:
    if cage.dowels is None:
        return ()
    if cage.dowels.at is not None:
        return listed_dowels(cage.dowels, cage.dowels.at, plan, places, held, bottom, frame)
    if cage.dowels.count is None:
        raise ValueError("the dowels need their count, or their places")
    return lapped_dowels(cage.dowels, cage.dowels.count, plan, places, held, tie, lateral, bottom)
