"""EN 1992-1-1 with its recommended values: spacing, and cover with its deviation."""

from __future__ import annotations

from pathlib import Path

from clash.books.aisc import NoPlates
from clash.books.asking import AGGREGATE, EXPOSURE, largest, uncovered
from clash.books.en_1992.laps import EnLaps
from clash.books.en_1992.ties import EnTies
from clash.figures import figures
from clash.needs.need import CoverFace, Need
from models.part import Role

_FIGURES = figures(Path(__file__).with_name("figures.csv"))


class En1992(NoPlates, EnTies, EnLaps):
    """The figures of EN 1992-1-1; see `clash.needs.need.RuleBook`.

    It has none of its own for cast-in rods (EN 1992-4 is not in this book): their spacing and edge distance
    are the site's to specify.
    """

    id = "en-1992"
    title = "EN 1992-1-1 (recommended values)"
    rods_placed_by = "EN 1090-2"
    concrete_placed_by = "EN 13670"

    def bar_clear(self, diameter: float, aggregate: float | None) -> Need:
        """8.2(2): the largest of the bar diameter, the largest aggregate and 5 mm, and 20 mm."""
        least = _FIGURES["bar clear"]
        terms = {
            "for any bar": least.value,
            "the bar diameter": _FIGURES["bar clear by diameter"].value * diameter,
        }
        if aggregate is not None:
            terms["the largest aggregate and 5 mm"] = aggregate + _FIGURES["bar clear over aggregate"].value
        value, term = largest(terms)
        return Need(value, f"{least.source}: {term}", AGGREGATE if aggregate is None else None)

    def rod_bar_clear(self, aggregate: float | None) -> Need:
        """Practice: the largest aggregate and 5 mm, what 8.2(2) asks between bars."""
        figure = _FIGURES["rod to bar over aggregate"]
        if aggregate is None:
            return Need(None, figure.source, AGGREGATE)
        return Need(aggregate + figure.value, figure.source)

    def cover(
        self, role: Role, diameter: float | None, exposure: str | None, face: CoverFace, on_ground: bool
    ) -> Need:
        """Nominal cover: the least cover (durability, bond) and the deviation, 4.4.1.1; 75 mm against soil.

        Less than the least is on HOLD, less than the nominal TIGHT: the deviation is what placing may take.

        Which exposure class stands for which word of the site file is this book's reading: interior XC1,
        weather XC4, corrosive XD3, marine splash XS3, marine submerged XS2. The top is never cast against the
        ground.
        """
        if role is Role.EMBED:
            return uncovered(role, face)
        deviation = _FIGURES["cover deviation"].value
        durable = _FIGURES[f"cover {_SHELTERED.get(exposure, exposure)}" if exposure else "cover interior"]
        bond = _FIGURES["cover bond by diameter"]
        terms = {durable.source: durable.value, bond.source: bond.value * (diameter or 0.0)}
        least, source = largest(terms)
        value, source = least + deviation, f"{source}, and {deviation:g} mm deviation"
        ground = _FIGURES["cover on ground"]
        if (on_ground or (exposure == "ground" and face != "top")) and ground.value > value:
            return Need(ground.value, ground.source)
        unknown = EXPOSURE if exposure is None and not on_ground else None
        return Need(value, source, unknown, deviation=deviation)

    def rod_spacing(self, diameter: float, torqued: bool) -> Need | None:
        """None: not in this document."""
        return None

    def rod_edge(self, diameter: float, torqued: bool) -> Need | None:
        """None: not in this document."""
        return None


_SHELTERED = {"ground": "weather"}
"""What the faces of a pier in the ground that are not cast against it are taken for."""

BOOK = En1992()
