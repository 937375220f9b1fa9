"""Plates on rods by US practice: AISC's tables and OSHA's count, for the books that go with them."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction
from pathlib import Path

from msgspec.structs import replace

from clash.figures import figures
from clash.needs.need import Missing, Need
from models.catalogue import INCH, SAME, NotInCatalogue
from models.catalogue import largest_hole as listed
from models.spec.required import HoleTable

_FIGURES = figures(Path(__file__).with_name("aisc.csv"))
_EDGES = {
    float(Fraction(rod)) * INCH: f"hole edge {rod}" for rod in ("1/2", "5/8", "3/4", "7/8", "1", "9/8", "5/4")
}
"""Rods (mm) that Table J3.4 lists, and the names of their figures."""
_DESIGN_GUIDE = "AISC Design Guide 1, 2nd ed., Table 2.3"


class UsPlates:
    """Plates on rods as AISC and OSHA have them; see `clash.needs.plates.PlateBook`."""

    def largest_hole(self, diameter: float, table: HoleTable | None) -> Need | None:
        """AISC Design Guide 1, 2nd ed., Table 2.3; the later Manual's Table 14-2 where the site says so."""
        return largest_hole(diameter, table or "dg1-2")

    def hole_edge(self, diameter: float) -> Need | None:
        """Practice: AISC 360-16 Table J3.4, which is written for bolts; the row of the next thicker rod."""
        thicker = [rod for rod in _EDGES if diameter <= rod + SAME]
        if not thicker:
            figure = _FIGURES["hole edge large"]
            return Need(figure.value * diameter, figure.source)
        figure = _FIGURES[_EDGES[min(thicker)]]
        return Need(figure.value, figure.source)

    def hole_spacing(self, diameter: float) -> Need | None:
        """Practice: 2 2/3 diameters, AISC 360-16 J3.3, which is written for bolts."""
        figure = _FIGURES["hole spacing"]
        return Need(figure.value * diameter, figure.source)

    def column_rods(self) -> Need | None:
        """OSHA 29 CFR 1926.755: four."""
        figure = _FIGURES["column rods"]
        return Need(figure.value, figure.source)


class NoPlates:
    """For a document that has no figures for plates on rods: only a table that the site names applies."""

    def largest_hole(self, diameter: float, table: HoleTable | None) -> Need | None:
        """The table that the site names."""
        return None if table is None else largest_hole(diameter, table)

    def hole_edge(self, diameter: float) -> Need | None:
        """None: not in this document."""
        return None

    def hole_spacing(self, diameter: float) -> Need | None:
        """None: not in this document."""
        return None

    def column_rods(self) -> Need | None:
        """None: not in this document."""
        return None


def largest_hole(diameter: float, table: HoleTable) -> Need:
    """The largest hole of a plate for a rod (mm) by one table; with what is missing for a rod it lacks.

    The later Manual's table is on file only where it differs from the older one (from memory); its other rods
    have the older figure.
    """
    manual = "AISC Manual, 15th ed., Table 14-2, from memory"
    if table == "manual-15":
        with suppress(NotInCatalogue):
            return Need(listed(diameter, "manual-later").hole, manual)
    source = _DESIGN_GUIDE if table == "dg1-2" else manual
    try:
        return Need(listed(diameter, "dg1-2").hole, source)
    except NotInCatalogue as absent:
        ask = f"{absent}; give the largest hole that the engineer allows (required: largest hole)"
        return Need(None, source, Missing("required.largest_hole", ask))


def plug_hole(thickness: float, weld: float) -> tuple[Need, Need]:
    """Least and largest hole of a plug weld (mm) in a lapped plate, AISC 360-16 J2.3b.

    At least the plate's thickness + 5/16 in (the step up to the next odd sixteenth is the fabricator's); at
    most the larger of that + 1/8 in and 2 1/4 weld thicknesses.
    """
    over = _FIGURES["plug hole over plate"]
    least = Need(thickness + over.value, over.source, what="least hole of a plug weld")
    assert least.value is not None
    most = max(
        least.value + _FIGURES["plug hole over least"].value, _FIGURES["plug hole by weld"].value * weld
    )
    return least, replace(least, value=most, what="largest hole of a plug weld")


def plug_spacing(hole: float) -> Need:
    """Least spacing of plug welds, center to center (mm): 4 hole diameters, AISC 360-16 J2.3b."""
    figure = _FIGURES["plug spacing by hole"]
    return Need(figure.value * hole, figure.source, what="spacing of plug welds")
