"""Flood openings of enclosing walls, against the published rows."""

from __future__ import annotations

from msgspec import Struct

from models.lengths import FOOT, INCH, Units, show_length
from models.shapes.areas import show_area
from models.site import Site
from models.spec.flood import Enclosure

COUNT = "44 CFR 60.3(c)(5): at least two openings"
WALLS = "FEMA Technical Bulletin 1 and ASCE 24, from memory: on at least two walls"
NET = "44 CFR 60.3(c)(5): 1 sq in of net opening for every sq ft enclosed"
ABOVE = "44 CFR 60.3(c)(5): the bottom no higher than 1 ft above grade"
BREAKAWAY = "44 CFR 60.3(e)(5): in zone V walls below the flood are breakaway"
FEWEST = 2
RATIO = INCH**2 / FOOT**2
"""Net opening to area enclosed: 1 sq in for every sq ft."""
HIGHEST = FOOT
"""mm: the most that the bottom of an opening may lie above grade."""


class Row(Struct, frozen=True):
    """One figure of one enclosure. ok: whether it is met, None where somebody has to confirm it; says: the
    figure in words; source: who asks for it; key: what tells it apart in ids."""

    enclosure: str
    key: str
    ok: bool | None
    says: str
    source: str


def enclosure_rows(site: Site) -> list[Row]:
    """Every figure of every enclosure; none where the site names no flood figures, or lies in zone X."""
    flood = site.spec.site.flood
    if flood is None or flood.zone == "X":
        return []
    rows: list[Row] = []
    for enclosure in flood.enclosures:
        if flood.zone == "V":
            rows.append(_breakaway(enclosure))
        else:
            rows += _openings(enclosure, site.units)
            if flood.zone == "coastal A":
                rows.append(_breakaway(enclosure))
    return rows


def _breakaway(enclosure: Enclosure) -> Row:
    ok = True if enclosure.breakaway else None
    says = f"{enclosure.name}: whether its walls are breakaway is for the engineer to confirm"
    return Row(enclosure.name, "breakaway", ok, says, BREAKAWAY)


def _openings(enclosure: Enclosure, units: Units) -> list[Row]:
    name, openings = enclosure.name, enclosure.openings
    count = sum(o.count for o in openings)
    walls = len({o.wall.lower() for o in openings})
    served = sum(o.count * (o.rated or (o.width or 0.0) * (o.height or 0.0) / RATIO) for o in openings)
    metric = units is Units.MM
    has, area = show_area(served, metric), show_area(enclosure.area, metric)
    rows = [
        Row(name, "count", count >= FEWEST, f"{name}: {count} openings, {FEWEST} needed", COUNT),
        Row(name, "walls", walls >= FEWEST, f"{name}: openings in {walls} walls, {FEWEST} needed", WALLS),
        Row(
            name, "area", served >= enclosure.area - 1e-3, f"{name}: openings for {has}, {area} enclosed", NET
        ),
    ]
    for k, opening in enumerate(openings, start=1):
        above = opening.bottom - enclosure.grade
        says = f"{name}: opening {k} ({opening.wall}) begins {show_length(above, units)} above grade"
        rows.append(Row(name, f"bottom {k}", above <= HIGHEST + 1e-6, says, ABOVE))
    return rows
