"""ACI 318-19: what laps and hooked feet need, by the equations of `development`."""

from __future__ import annotations

from clash.books.aci_318_19 import development as aci
from clash.needs.laps import Foot, Splice
from clash.needs.need import Missing, Need
from models.lengths import PSI

_STRENGTH = Missing(
    "concrete.strength",
    "the site file gives neither the strength of the concrete nor the lap that the drawings ask for; add one "
    "of them (concrete: strength, or cage: dowels: lap)",
)
_GRADE_BEAM = Missing(
    "grade_beams.strength",
    "the site file does not say how strong the concrete of the grade beam is; add it (grade beams: strength)",
)


class AciLaps:
    """See `clash.needs.laps.LapBook`."""

    def lap(self, splice: Splice) -> Need | None:
        """Class B (25.5.2.1, 25.5.2.2) of the shorter of the two ways to l_d, or in compression 25.5.5."""
        f_y = aci.grade(splice.yield_strength)
        least = aci.FIGURES["lap least"]
        if splice.strength is None:
            return Need(least.value, least.source, _STRENGTH)
        if splice.compression and f_y <= 80_000.0 * PSI + 1e-6:
            value, clause = _compressed(splice, f_y, splice.strength)
        else:
            value, clause = _class_b(splice, f_y, splice.strength)
        thinner = min(splice.dowel, splice.vertical)
        assumed = "" if splice.yield_strength is not None else ", Grade 60"
        return Need(value, f"ACI 318-19 {clause}: {value / thinner:.1f} bar diameters{assumed}")

    def largest_lapped(self, compression: bool) -> Need | None:
        """25.5.1.1: up to No. 11; in compression thicker ones lap to No. 11 and smaller (16.3.5.4)."""
        figure = aci.FIGURES["largest lapped to a thicker" if compression else "largest lapped"]
        return Need(figure.value, figure.source)

    def lap_spread(self, lap: float) -> Need | None:
        """25.5.1.3: a fifth of the lap, at most 6 in."""
        most, share = aci.FIGURES["lap spread"], aci.FIGURES["lap spread by lap"]
        return Need(min(most.value, share.value * lap), f"{most.source}: a fifth of the lap, at most 6 in")

    def hooked(self, foot: Foot) -> Need | None:
        """25.4.3: without ties counted, so bars nearer than 6 d_b and thicker than No. 11 take psi_r 1.6."""
        figure = aci.FIGURES["hook"]
        d_b = foot.diameter
        least = max(
            aci.FIGURES["hook least by bar"].value * d_b,
            aci.FIGURES["hook least"].value,
        )
        if foot.strength is None:
            return Need(least, figure.source, _GRADE_BEAM)
        thick = d_b > aci.FIGURES["largest lapped"].value + 0.1
        room = aci.FIGURES["hook roomy by bar"].value * d_b - 1e-6
        value = aci.hook(
            d_b,
            aci.grade(foot.yield_strength),
            foot.strength,
            aci.FIGURES["hook psi e"].value if foot.epoxy else 1.0,
            aci.FIGURES["hook psi r"].value if thick or foot.spacing < room else 1.0,
            aci.FIGURES["hook psi o"].value if thick or foot.side_cover < room else 1.0,
        )
        assumed = "" if foot.yield_strength is not None else ", Grade 60"
        return Need(value, f"{figure.source}: {value / d_b:.1f} bar diameters{assumed}")


def _class_b(splice: Splice, f_y: float, f_c: float) -> tuple[float, str]:
    """Class B lap, mm, and its clause: of the thinner bar, or the thicker's l_d where that is longer."""
    lengths: list[tuple[float, str]] = []
    for d_b in (splice.dowel, splice.vertical):
        coating = aci.psi_e(splice.epoxy, splice.cover, splice.clear, d_b)
        confined = aci.confinement(
            d_b, splice.cover, splice.clear, splice.legs, splice.tie_spacing, splice.count
        )
        good = splice.clear >= 2.0 * d_b - 1e-6 and splice.cover >= d_b - 1e-6
        lengths.append(
            min(
                (aci.tension(d_b, f_y, f_c, confined, coating), "25.5.2.1 and 25.4.2.4a"),
                (aci.tension_simple(d_b, f_y, f_c, good, coating), "25.5.2.1 and 25.4.2.3"),
            )
        )
    (dowel, by), (vertical, other) = lengths
    if splice.dowel > splice.vertical:
        dowel, by, vertical, other = vertical, other, dowel, by
    lap, thicker = aci.class_b(dowel), aci.developed(vertical)
    if splice.dowel != splice.vertical and thicker > lap:
        return thicker, f"25.5.2.2 and {other.partition(' and ')[2]}, the thicker bar's development"
    return lap, f"{by}, class B"


def _compressed(splice: Splice, f_y: float, f_c: float) -> tuple[float, str]:
    thin, thick = sorted((splice.dowel, splice.vertical))
    lap = aci.compression_lap(thin, f_y, f_c)
    if thick > thin and aci.compression(thick, f_y, f_c) > lap:
        return aci.compression(thick, f_y, f_c), "25.5.5.4, the thicker bar's development in compression"
    return lap, "25.5.5.1, in compression, from memory"
