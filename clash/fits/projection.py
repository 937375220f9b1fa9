"""What is left of each rod above its nut, once its plate lies at its level."""

from __future__ import annotations

import numpy as np

from clash.fits.placed import PlacedPier
from models.catalogue import NotInCatalogue
from models.seat.rods import nut_size
from models.site import Site


def takes_nuts(site: Site, pier: int) -> bool:
    """Whether the rods of a pier take nuts above the plate; bar anchors are welded."""
    seat = site.piers[pier].spec.seat
    return seat.nuts and seat.rods is not None and seat.rods.bar is None


def projection_left(site: Site, p: PlacedPier, level: float) -> dict[int, float]:
    """By rod: mm of it left above its nut (above the plate where it takes none), its plate at `level` (mm,
    elevation of the underside); only rods whose tops were shot with an elevation."""
    spec = site.piers[p.index].spec
    seat = spec.seat
    if seat.plate is None or seat.rods is None:
        return {}
    over = level - spec.top + seat.plate.thickness
    if takes_nuts(site, p.index):
        over += seat.washer.thickness if seat.washer is not None else 0.0
        try:
            over += nut_size(seat.rods)[1]
        except (NotInCatalogue, ValueError):
            return {}
    return {n: float(rod.top[2]) - over for n, rod in p.rods.items() if np.isfinite(rod.top[2])}
