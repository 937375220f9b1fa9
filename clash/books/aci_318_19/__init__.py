"""ACI 318-19: spacing, cover, and cast-in rods."""

from __future__ import annotations

from pathlib import Path

from clash.books.aci_318_19.laps import AciLaps
from clash.books.aci_318_19.ties import AciTies
from clash.books.aisc import UsPlates
from clash.books.asking import AGGREGATE, EXPOSURE, largest, uncovered
from clash.figures import Figure, figures
from clash.needs.need import CoverFace, Need
from models.part import Role

_FIGURES = figures(Path(__file__).with_name("figures.csv"))


class Aci31819(UsPlates, AciTies, AciLaps):
    """The figures of ACI 318-19; see `clash.needs.need.RuleBook`."""

    id = "aci-318-19"
    title = "ACI 318-19"
    rods_placed_by = "ACI 117-10"
    concrete_placed_by = "ACI 117-10"

    def bar_clear(self, diameter: float, aggregate: float | None) -> Need:
        """25.2.3: the largest of 1 1/2 in, 1.5 bar diameters and 4/3 of the largest aggregate."""
        by_diameter, by_aggregate = _FIGURES["bar clear by diameter"], _FIGURES["bar clear by aggregate"]
        terms = {
            "for any bar": _FIGURES["bar clear"].value,
            "1.5 bar diameters": by_diameter.value * diameter,
        }
        if aggregate is not None:
            terms["4/3 of the largest aggregate"] = by_aggregate.value * aggregate
        value, term = largest(terms)
        return Need(
            value, f"{_FIGURES['bar clear'].source}: {term}", AGGREGATE if aggregate is None else None
        )

    def rod_bar_clear(self, aggregate: float | None) -> Need:
        """Practice: 4/3 of the largest aggregate. No clause asks for it."""
        figure = _FIGURES["rod to bar by aggregate"]
        if aggregate is None:
            return Need(None, figure.source, AGGREGATE)
        return Need(figure.value * aggregate, figure.source)

    def cover(
        self, role: Role, diameter: float | None, exposure: str | None, face: CoverFace, on_ground: bool
    ) -> Need:
        """Table 20.5.1.3.1 by exposure and bar size, R20.5.1.4 and ACI 357R for salt.

        The top is never cast against the ground. A bottom that stands on a grade beam takes the figure of the
        sides: the joint lets water in. Heads and plates take the figure of large bars.
        """
        if role is Role.EMBED:
            return uncovered(role, face)
        ground = _FIGURES["cover on ground"]
        if exposure is None:
            if on_ground:
                return Need(ground.value, ground.source)
            least = _FIGURES["cover interior"]
            return Need(least.value, least.source, EXPOSURE)
        figure = _by_exposure(diameter, exposure, face)
        if on_ground and ground.value > figure.value:
            figure = ground
        return Need(figure.value, figure.source)

    def rod_spacing(self, diameter: float, torqued: bool) -> Need | None:
        """Table 17.9.2(a), cast-in: 4 d_a center to center, 6 d_a when torqued."""
        figure = _FIGURES["rod spacing torqued" if torqued else "rod spacing"]
        return Need(figure.value * diameter, f"{figure.source}: {figure.value:g} rod diameters")

    def rod_edge(self, diameter: float, torqued: bool) -> Need | None:
        """Table 17.9.2(a), cast-in: 6 d_a to the center when torqued; else the cover decides."""
        if not torqued:
            return None
        figure = _FIGURES["rod edge torqued"]
        return Need(figure.value * diameter, f"{figure.source}: {figure.value:g} rod diameters")


def _by_exposure(diameter: float | None, exposure: str, face: CoverFace) -> Figure:
    if exposure == "ground" and face != "top":
        return _FIGURES["cover on ground"]
    if exposure in ("ground", "weather"):
        small = diameter is not None and diameter <= _FIGURES["cover weather small up to"].value
        return _FIGURES["cover weather small" if small else "cover weather large"]
    return _FIGURES[f"cover {exposure}"]


BOOK = Aci31819()
