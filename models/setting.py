"""What a part builder sees of one pier: its spec, its place, its concrete and its cage's layout."""

from __future__ import annotations

from msgspec import Struct

from models.cage.layout import CageLayout
from models.motion import Motion
from models.pier import Concrete
from models.spec.pier import PierSpec
from models.spec.site import SiteSpec
from models.winds import wind


class Setting(Struct, frozen=True, eq=False):
    """One pier as its part builders see it; lengths in mm, in the pier's frame.

    frame carries pier coordinates to site axes. cage is None where the pier has no cage.
    """

    site: SiteSpec
    spec: PierSpec
    frame: Motion
    concrete: Concrete
    cage: CageLayout | None

    def part_id(self, name: str, number: int | str) -> str:
        """The id of a part of this pier: `P7/tie/3`."""
        return f"{self.spec.mark}/{name}/{number}"

    def wind(self, x: float, y: float) -> str:
        """The wind of a point of the pier's plan, seen from the pier's center: "NE"; "center" at the center.

        Winds are the site's (site y is north), so a pier turned 45 degrees has an "E" corner.
        """
        return wind(self.frame, x, y)
