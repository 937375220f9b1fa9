"""Flood figures of the site, against what was placed."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from clash.fits.placed import PlacedPier
from models.site import Site

SOURCES = {
    "A": "44 CFR 60.3(c)(2): in zone A the top of the lowest floor",
    "V": "44 CFR 60.3(e)(4): in zone V the bottom of the lowest horizontal structural member",
    "coastal A": "the site's own zone, judged like zone V (practice)",
}


class Flooding(Struct, frozen=True):
    """What has to lie above the flood, and whether it does.

    of: the thing in words; elevation: mm, as the site file gives it, raised by what the beams as placed come
    to lie higher or lower than drawn, None where it is missing; needed: mm, base flood elevation and
    freeboard; moved: mm, that raise, None where nothing was measured; missing: what to add to the site file.
    """

    zone: str
    of: str
    elevation: float | None
    needed: float
    moved: float | None
    source: str
    missing: str = ""


def flooding(site: Site, piers: Sequence[PlacedPier]) -> Flooding | None:
    """The flood figures; None where the site names none, or lies in zone X.

    What stands on the piers follows them: its least elevation is the drawn one plus the least of what the
    tops were measured higher than drawn (the lowest pier carries the lowest point).
    """
    flood = site.spec.site.flood
    if flood is None or flood.zone == "X":
        return None
    moves = [p.top.height - site.piers[p.index].spec.top for p in piers if p.top.height == p.top.height]
    moved = min(moves) if moves else None
    if flood.zone == "A":
        of, given, field = "the top of the lowest floor", flood.lowest_floor_top, "lowest floor top"
    else:
        of, given = "the bottom of the lowest horizontal member", flood.lowest_member_bottom
        field = "lowest member bottom"
    needed = flood.base_flood_elevation + flood.freeboard
    elevation = None if given is None else given + (moved or 0.0)
    missing = "" if given is not None else f"give {field} in the site file's flood figures"
    return Flooding(flood.zone, of, elevation, needed, moved, SOURCES[flood.zone], missing)
