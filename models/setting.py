"""What a part builder sees of one pier: its spec, its place, its concrete and its cage's layout."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees, floor, hypot

from models.cage_layout import CageLayout
from models.motion import Motion
from models.pier import Concrete
from models.spec.pier import PierSpec
from models.spec.site import SiteSpec

WINDS = ("E", "NE", "N", "NW", "W", "SW", "S", "SE")


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
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


def wind(frame: Motion, x: float, y: float) -> str:
    """The wind in which the direction (x, y) of a pier's plan points, in site axes."""
    if hypot(x, y) < 1e-6:
        return "center"
    (a, b, _), (c, d, _) = frame.rotation[0], frame.rotation[1]
    angle = degrees(atan2(c * x + d * y, a * x + b * y))
    # A direction halfway between two winds takes the one farther round, whatever the float noise.
    return WINDS[floor(angle / 45.0 + 0.5 + 1e-9) % 8]
