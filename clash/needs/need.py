"""What is needed, and who says so: a figure of the site, or of a rule book."""

from __future__ import annotations

from typing import Literal, Protocol

from msgspec import Struct
from msgspec.structs import replace

from clash.needs.laps import LapBook
from clash.needs.plates import PlateBook
from clash.needs.ties import TieBook
from models.part import Role

CoverFace = Literal["side", "top", "bottom"]


class Missing(Struct, frozen=True):
    """A figure that the site file would have to give.

    field: where it goes in the site file, `concrete.aggregate`; ask: what to add, as the end of a sentence.
    """

    field: str
    ask: str


class Need(Struct, frozen=True):
    """A requirement.

    value: mm (or the rule's own unit); None when nothing at all is known of it.
    source: document, edition and clause, or "as specified", or "practice".
    missing: what the full requirement lacks; `value` is then the part of it that holds in any case: less than
    that is on HOLD, all else NOT CHECKED.
    what: the requirement in words, where a rule has more than one ("cover at the side").
    published, published_source: the published figure, where the site specifies its own; a looser one is told
    at the top of the report.
    tolerance: mm that placing may take of it, where the rule itself knows; the table's otherwise.
    deviation: mm of `value`, a nominal figure, that are an allowance for placing: as drawn it is met without
    them, and then it is TIGHT.
    """

    value: float | None
    source: str
    missing: Missing | None = None
    what: str = ""
    published: float | None = None
    published_source: str = ""
    tolerance: float | None = None
    deviation: float = 0.0

    def __post_init__(self) -> None:
        if self.value is None and self.missing is None:
            raise ValueError("a requirement without a figure must say what is missing")


def site_first(figure: float | None, field: str, published: Need | None) -> Need | None:
    """The site's own figure where it gives one (`field`: where it stands in the file), else the published."""
    if figure is None:
        return published
    own = Need(figure, f"as specified, {field}")
    if published is None:
        return own
    return replace(
        own,
        what=published.what,
        published=published.value,
        published_source=published.source,
        deviation=min(published.deviation, figure),
    )


class RuleBook(PlateBook, TieBook, LapBook, Protocol):
    """A published document's figures, mm.

    id: as the site file writes it; title: document and edition. A figure that depends on something the site
    did not give comes back with what is missing; one that the document does not have at all is None.
    rods_placed_by, concrete_placed_by: whose tolerances go with it, editions of
    `clash/tolerances/figures.csv`, where the site names none.
    """

    id: str
    title: str
    rods_placed_by: str
    concrete_placed_by: str

    def bar_clear(self, diameter: float, aggregate: float | None) -> Need:
        """Least clear spacing of longitudinal bars of a pier; `diameter`: nominal, of the thicker of two."""
        ...

    def rod_bar_clear(self, aggregate: float | None) -> Need:
        """Least clear distance between a cast-in rod and a bar."""
        ...

    def cover(
        self, role: Role, diameter: float | None, exposure: str | None, face: CoverFace, on_ground: bool
    ) -> Need:
        """Least cover of a part; `on_ground`: whether that face is cast against the ground."""
        ...

    def rod_spacing(self, diameter: float, torqued: bool) -> Need | None:
        """Least spacing of cast-in rods, center to center."""
        ...

    def rod_edge(self, diameter: float, torqued: bool) -> Need | None:
        """Least distance from a rod's center to a side; None where its cover alone decides."""
        ...
