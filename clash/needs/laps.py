"""What a rule book answers about laps and about the development of bars."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from msgspec import Struct

if TYPE_CHECKING:
    from clash.needs.need import Need


class Splice(Struct, frozen=True):
    """The laps of a pier's dowels with its verticals; lengths mm, strengths MPa, areas mm2.

    dowel, vertical: nominal diameters; epoxy: whether either is epoxy-coated; yield_strength: None where the
    site does not say; strength: of the concrete, None likewise; compression: whether the lap is only ever
    compressed.
    cover, clear: the least clear cover of a lapped bar, and the least clear distance from a bar of one lap to
    a bar of another (infinite for a single lap).
    legs, tie_spacing: area of the tie legs that cross a plane through the bars at one level, 0 where none is
    counted, and the widest spacing of ties along the lap; count: how many laps that plane may cross.
    """

    dowel: float
    vertical: float
    epoxy: bool
    yield_strength: float | None
    strength: float | None
    compression: bool
    cover: float
    clear: float
    legs: float
    tie_spacing: float
    count: int


class Foot(Struct, frozen=True):
    """Hooked feet of bars in the member below; mm and MPa.

    strength: of that member's concrete, None where the site does not say; spacing: least, center to center,
    infinite for one bar; side_cover: least clear cover to the side of the member.
    """

    diameter: float
    epoxy: bool
    yield_strength: float | None
    strength: float | None
    spacing: float
    side_cover: float


class LapBook(Protocol):
    """Published lengths of laps and development, mm; None where the document's are not in the book."""

    def lap(self, splice: Splice) -> Need | None:
        """Least lap."""
        ...

    def largest_lapped(self, compression: bool) -> Need | None:
        """Largest diameter of the thicker bar of a lap; in compression, of the thinner."""
        ...

    def lap_spread(self, lap: float) -> Need | None:
        """Most between the centers of two bars that lap without touching."""
        ...

    def hooked(self, foot: Foot) -> Need | None:
        """Least depth of a hooked foot, from where its bar enters to the outside of the hook."""
        ...
