"""ACI 318-19: ties and hoops, and the longitudinal steel of columns and pedestals."""

from __future__ import annotations

from pathlib import Path

from clash.books.asking import AGGREGATE, smallest
from clash.figures import figures
from clash.needs.need import Missing, Need
from clash.needs.ties import Holding, MemberUse, TopTies
from models.catalogue import Use, bar, least_bend, least_tail

_FIGURES = figures(Path(__file__).with_name("ties.csv"))
_SOFT = 0.1
"""mm: a metric bar counts as the inch-pound bar whose diameter it has within this (9.5 mm: No. 3)."""


class AciTies:
    """See `clash.needs.ties.TieBook`."""

    def tie_clear(self, diameter: float, aggregate: float | None) -> Need:
        """25.7.2.1(a): 4/3 of the largest aggregate."""
        figure = _FIGURES["tie clear by aggregate"]
        if aggregate is None:
            return Need(None, figure.source, AGGREGATE)
        return Need(figure.value * aggregate, f"{figure.source}: 4/3 of the largest aggregate")

    def tie_size(self, bar: float) -> Need:
        """25.7.2.2: No. 3 up to No. 10 bars, No. 4 for larger ones."""
        large = bar > _FIGURES["tie size large over"].value + _SOFT
        figure = _FIGURES["tie size large" if large else "tie size"]
        return Need(figure.value, figure.source)

    def tie_spacing(self, bar: float, tie: float, sides: tuple[float, float], near_end: bool) -> Need:
        """25.7.2.1(b): the least of 16 bar diameters, 48 tie diameters and the least side."""
        terms = {
            "16 bar diameters": _FIGURES["tie spacing by bar"].value * bar,
            "48 tie diameters": _FIGURES["tie spacing by tie"].value * tie,
            "the least side": _FIGURES["tie spacing by least side"].value * sides[0],
        }
        value, term = smallest(terms)
        return Need(value, f"{_FIGURES['tie spacing by bar'].source}: {term}")

    def close_ties(self, bar: float, sides: tuple[float, float]) -> tuple[float, bool]:
        """Nowhere, outside of seismic systems, which are not in this book."""
        return 0.0, False

    def first_tie(self, spacing: float) -> Need | None:
        """10.7.6.2.1: half a spacing above the footing."""
        figure = _FIGURES["first tie by spacing"]
        return Need(figure.value * spacing, f"{figure.source}: half a spacing")

    def holding(self) -> Holding:
        """25.7.2.3: corner and alternate bars, in corners of at most 135 degrees, 6 in clear on each side."""
        clear, row, angle = (_FIGURES[name] for name in ("held clear", "unheld in a row", "corner angle"))
        return Holding(
            Need(clear.value, clear.source),
            both_sides=True,
            in_a_row=Need(row.value, row.source),
            angle=Need(angle.value, angle.source),
        )

    def least_bend(self, diameter: float, use: Use) -> Need | None:
        """25.3.1, 25.3.2."""
        found = least_bend("aci", diameter, use)
        return None if found is None else Need(*found)

    def least_tail(self, diameter: float, use: Use, degrees: int) -> Need | None:
        """25.3.1, 25.3.2."""
        found = least_tail("aci", diameter, use, degrees)
        return None if found is None else Need(*found)

    def fewest_bars(self, corners: int) -> Need:
        """10.7.3.1: 3 within triangular ties, 4 within rectangular or circular ones."""
        figure = _FIGURES["fewest bars in 3 corners" if corners == 3 else "fewest bars"]
        return Need(figure.value, figure.source)

    def top_ties(self, tie: float) -> TopTies | None:
        """10.7.6.1.5: 2 No. 4 or 3 No. 3 within 5 in, around the rods and at least 4 verticals."""
        if tie < bar("No. 3").diameter - _SOFT:
            return None
        count = _FIGURES["top ties No. 4" if tie >= bar("No. 4").diameter - _SOFT else "top ties No. 3"]
        within, around = _FIGURES["top ties within"], _FIGURES["top ties verticals"]
        return TopTies(
            Need(within.value, within.source),
            Need(count.value, f"{count.source}: 2 No. 4 or 3 No. 3"),
            Need(around.value, around.source),
        )

    def hoop_lap(self) -> Need | None:
        """25.7.2.4: at least 6 in."""
        figure = _FIGURES["hoop lap"]
        return Need(figure.value, figure.source)

    def least_steel(self, use: MemberUse | None, height: float, least_side: float) -> Need:
        """10.6.1.1: 1 % in columns; 0.5 % in pedestals.

        A pier that nobody called either is a pedestal where it is no taller than 3 times its least side;
        taller, it may be a column, and 0.5 % is then only what holds in any case.
        """
        column, pedestal = _FIGURES["steel least column"], _FIGURES["steel least pedestal"]
        if use == "column":
            return Need(column.value, column.source)
        short = height <= _FIGURES["pedestal by least side"].value * least_side + 1e-6
        if use == "pedestal" or short:
            return Need(pedestal.value, pedestal.source)
        return Need(pedestal.value, pedestal.source, _USE)

    def most_steel(self, lapped: bool) -> Need:
        """10.6.1.1: 8 %, laps or not."""
        figure = _FIGURES["steel most"]
        return Need(figure.value, figure.source)


_USE = Missing(
    "use",
    "it is taller than 3 times its least side, and the site file does not say whether it is a column, which "
    "needs 1 % of steel, or a pedestal, for which 0.5 % will do; add it (use: column or use: pedestal)",
)
