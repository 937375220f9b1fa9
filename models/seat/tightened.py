"""What stands on the rods above the concrete: the level and the thing that each washer and nut bears on."""

from __future__ import annotations

from functools import lru_cache

from msgspec import Struct

from models.seat.beam_plan import beam_under, beams_at
from models.seat.rods import Rod, rods_of
from models.setting import Setting


class Bearing(Struct, frozen=True):
    """Where the washer (or, without one, the nut) of a rod bears.

    level: mm above the top of concrete; under: id of what it bears on; turn: rad, how that lies in plan.
    """

    rod: Rod
    level: float
    under: str
    turn: float


@lru_cache(maxsize=2)  # the builders of a pier's parts ask one after the other
def bearings(setting: Setting) -> tuple[Bearing, ...]:
    """One for each threaded rod that comes up through a plate or a beam; welded bar anchors have none."""
    seat = setting.spec.seat
    rods = [rod for rod in rods_of(setting) if rod.threaded]
    if not rods:
        return ()
    if seat.type == "plate" and seat.plate is not None:
        level, under = seat.plate.above + seat.plate.thickness, setting.part_id("plate", 1)
        return tuple(Bearing(rod, level, under, 0.0) for rod in rods)
    if seat.type != "beam":
        return ()
    beams = beams_at(setting)
    found: list[Bearing] = []
    for rod in rods:
        beam = beam_under(beams, rod.x, rod.y)
        if beam is not None:
            found.append(Bearing(rod, beam.solid.top, beam.part_id, beam.turn))
    return tuple(found)
