"""What a rule book answers about ties and hoops, and about how much steel a section has."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, Protocol

from msgspec import Struct

if TYPE_CHECKING:
    from clash.needs.need import Need
    from models.catalogue import Use

MemberUse = Literal["column", "pedestal"]


class Holding(Struct, frozen=True):
    """How the bars of a cage must be held.

    clear: how far, mm, a bar that is not held may stand from one that is; both_sides: on each side along the
    tie, or from the nearest only; in_a_row: how many bars that are not held may follow each other (None: not
    said); angle: degrees, the largest angle of a tie's corner that still holds a bar (None: any corner does).
    """

    clear: Need
    both_sides: bool
    in_a_row: Need | None
    angle: Need | None


class TopTies(Struct, frozen=True):
    """The group of ties around rods at the top of a pier.

    within: mm, from the top of concrete to the last tie that counts; count: how many are needed, by the
    diameter of the ties; verticals: how many they must enclose.
    """

    within: Need
    count: Need
    verticals: Need


class TieBook(Protocol):
    """Published figures of ties, mm; None where the document has none."""

    def tie_clear(self, diameter: float, aggregate: float | None) -> Need:
        """Least clear distance between ties that follow each other; `diameter`: nominal, of a tie."""
        ...

    def tie_size(self, bar: float) -> Need:
        """Least diameter of ties; `bar`: nominal diameter of the largest bar that they hold."""
        ...

    def tie_spacing(self, bar: float, tie: float, sides: tuple[float, float], near_end: bool) -> Need:
        """Most from one tie to the next, center to center.

        bar: nominal diameter of the smallest vertical; tie: of the ties; sides: least and largest side of the
        section; near_end: near a footing, the top, or a lap.
        """
        ...

    def close_ties(self, bar: float, sides: tuple[float, float]) -> tuple[float, bool]:
        """How far from an end of the pier ties must be closer, mm, and whether along laps as well."""
        ...

    def first_tie(self, spacing: float) -> Need | None:
        """Most from the footing to the center of the lowest tie."""
        ...

    def holding(self) -> Holding:
        """How the verticals must be held."""
        ...

    def least_bend(self, diameter: float, use: Use) -> Need | None:
        """Least inside diameter of a bend."""
        ...

    def least_tail(self, diameter: float, use: Use, degrees: int) -> Need | None:
        """Least straight length past the bend of a hook."""
        ...

    def fewest_bars(self, corners: int) -> Need:
        """Fewest verticals; `corners`: of the ties, 0 for hoops."""
        ...

    def top_ties(self, tie: float) -> TopTies | None:
        """The ties around rods at the top; `tie`: their nominal diameter. None where they don't count."""
        ...

    def hoop_lap(self) -> Need | None:
        """Least lap of the ends of a hoop."""
        ...

    def least_steel(self, use: MemberUse | None, height: float, least_side: float) -> Need:
        """Least longitudinal steel, % of the section; `use` as the drawings call the pier, None unknown."""
        ...

    def most_steel(self, lapped: bool) -> Need:
        """Most longitudinal steel, % of the section; `lapped`: where bars lap."""
        ...
