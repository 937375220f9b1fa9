"""A site: every pier of a site file, built."""

from __future__ import annotations

from msgspec import Struct

from models.lengths import Units
from models.pier import Pier
from models.spec.site import SiteSpec


class Site(Struct, frozen=True, eq=False):
    """A site file, read and built.

    sha256: of the site file's bytes, and of the schedule's after it where there is one.
    """

    spec: SiteSpec
    piers: tuple[Pier, ...]
    sha256: str

    @property
    def units(self) -> Units:
        """The units that the site file is written in, and that people are told lengths in."""
        return Units(self.spec.site.units)
