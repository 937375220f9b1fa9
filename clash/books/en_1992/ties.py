"""EN 1992-1-1: links, and the longitudinal steel of columns."""

from __future__ import annotations

from pathlib import Path

from clash.books.asking import AGGREGATE, largest, smallest
from clash.figures import figures
from clash.needs.need import Need
from clash.needs.ties import Holding, MemberUse, TopTies
from models.catalogue import Use, least_bend, least_tail

_FIGURES = figures(Path(__file__).with_name("ties.csv"))


class EnTies:
    """See `clash.needs.ties.TieBook`. It has no figures for ties around anchors, nor for laps of hoops."""

    def tie_clear(self, diameter: float, aggregate: float | None) -> Need:
        """8.2(2), links being layers of parallel bars: the bar, the aggregate and 5 mm, and 20 mm."""
        least = _FIGURES["tie clear"]
        terms = {
            "for any bar": least.value,
            "the link's diameter": _FIGURES["tie clear by diameter"].value * diameter,
        }
        if aggregate is not None:
            terms["the largest aggregate and 5 mm"] = aggregate + _FIGURES["tie clear over aggregate"].value
        value, term = largest(terms)
        return Need(value, f"{least.source}: {term}", AGGREGATE if aggregate is None else None)

    def tie_size(self, bar: float) -> Need:
        """9.5.3(1): 6 mm, or a quarter of the largest bar."""
        least = _FIGURES["tie size"]
        terms = {"for any bar": least.value, "a quarter of the bar": _FIGURES["tie size by bar"].value * bar}
        value, term = largest(terms)
        return Need(value, f"{least.source}: {term}")

    def tie_spacing(self, bar: float, tie: float, sides: tuple[float, float], near_end: bool) -> Need:
        """9.5.3(3): the least of 20 bars, the least side and 400 mm; 9.5.3(4): 0.6 of it near ends, laps."""
        terms = {
            "20 bar diameters": _FIGURES["tie spacing by bar"].value * bar,
            "the least side": _FIGURES["tie spacing by least side"].value * sides[0],
            "400 mm for any bar": _FIGURES["tie spacing"].value,
        }
        value, term = smallest(terms)
        if not near_end:
            return Need(value, f"{_FIGURES['tie spacing'].source}: {term}")
        near = _FIGURES["tie spacing near"]
        return Need(near.value * value, f"{near.source}: 0.6 of {term}, near an end or a lap")

    def close_ties(self, bar: float, sides: tuple[float, float]) -> tuple[float, bool]:
        """9.5.3(4): within the larger side of an end; along laps of bars over 14 mm."""
        return sides[1], bar > _FIGURES["tie spacing near laps over"].value

    def first_tie(self, spacing: float) -> Need | None:
        """None: not in this document."""
        return None

    def holding(self) -> Holding:
        """9.5.3(6): no bar farther than 150 mm from one that is held."""
        figure = _FIGURES["held clear"]
        return Holding(Need(figure.value, figure.source), both_sides=False, in_a_row=None, angle=None)

    def least_bend(self, diameter: float, use: Use) -> Need | None:
        """8.3, Table 8.1N."""
        found = least_bend("en", diameter, use)
        return None if found is None else Need(*found)

    def least_tail(self, diameter: float, use: Use, degrees: int) -> Need | None:
        """Figure 8.5, of links only."""
        found = least_tail("en", diameter, use, degrees)
        return None if found is None else Need(*found)

    def fewest_bars(self, corners: int) -> Need:
        """9.5.2(4): one in each corner; 4 in a round column."""
        figure = _FIGURES["fewest bars"]
        if corners:
            return Need(float(corners), f"{figure.source.partition(',')[0]}: one in each corner")
        return Need(figure.value, figure.source)

    def top_ties(self, tie: float) -> TopTies | None:
        """None: not in this document."""
        return None

    def hoop_lap(self) -> Need | None:
        """None: not in this document."""
        return None

    def least_steel(self, use: MemberUse | None, height: float, least_side: float) -> Need:
        """9.5.2(2): 0.2 %; its other term, a tenth of the axial force, is the engineer's."""
        figure = _FIGURES["steel least"]
        return Need(figure.value, figure.source)

    def most_steel(self, lapped: bool) -> Need:
        """9.5.2(3): 4 %, and 8 % at laps."""
        figure = _FIGURES["steel most in laps" if lapped else "steel most"]
        return Need(figure.value, figure.source)
