"""What a rule book answers about plates on rods: holes, their edges, plug welds, how many rods."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from clash.needs.need import Need
    from models.spec.required import HoleTable


class PlateBook(Protocol):
    """Published figures of plates on rods, mm; None where the document has none."""

    def largest_hole(self, diameter: float, table: HoleTable | None) -> Need | None:
        """Largest hole of a plate for a rod, by the table that the site names, else the book's own."""
        ...

    def hole_edge(self, diameter: float) -> Need | None:
        """Least distance from the center of a hole to the edge of its plate."""
        ...

    def hole_spacing(self, diameter: float) -> Need | None:
        """Least distance between two holes of a plate, center to center."""
        ...

    def column_rods(self) -> Need | None:
        """Fewest rods under a column."""
        ...
