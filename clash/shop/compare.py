"""The fabricator's plate against the site's: what is off, missing, extra, mirrored, and whether rods pass."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import hypot

from msgspec import Struct

from clash.report.findings import Level
from clash.shop.difference import Difference, capital
from clash.shop.laying import OUTLINE, Laid, centroid, ways
from clash.shop.reading import ShopPlate
from clash.shop.rods_pass import rods_pass
from clash.shop.wanted import Wanted
from models.lengths import Units, show_decimal, show_gap
from models.motion import Array

WITHIN = 1.6
"""mm (1/16 in), practice: how far a hole may be off before it is told, where nobody says."""
SIZE = 0.4
"""mm (1/64 in), practice: how much a diameter may differ before it is told."""


class Comparison(Struct, frozen=True, eq=False):
    """plate: the one that the drawing was compared with; facts: what is as it should be, or good to know."""

    plate: Wanted
    laid: Laid
    facts: tuple[str, ...]
    differences: tuple[Difference, ...]


def compare(
    drawn: ShopPlate,
    plates: Sequence[Wanted],
    units: Units,
    within: float = WITHIN,
    rods_off: float | None = None,
) -> Comparison:
    """Lay the drawing on the plate that it fits best, and tell every difference.

    within: mm, how far a hole may be off; rods_off: mm, how far each rod may stand off, None where unsaid.
    """
    fits = [(want, *_best(drawn, want, within)) for want in plates]
    want, best, mirror = min(fits, key=lambda fit: _rank(fit[0], fit[1], fit[2], within))
    others = [w.name for w, one, _ in fits if w is not want and (one.edge or 0.0) <= OUTLINE]
    laid = _likelier(best, mirror, want, within)
    facts: list[str] = []
    told: list[Difference] = []
    if others:
        facts.append(
            f"Of the plates of this size it fits this one best; the others: {', '.join(others)} (--plate)."
        )
    if laid.mirrored:
        told.append(
            Difference(
                Level.HOLD, "It is drawn mirrored, as if seen from below, and that makes a difference."
            )
        )
    elif mirror.wrong(want, within) == best.wrong(want, within) == 0:
        facts.append(
            "The pattern is the same from above and from below: it cannot tell top from bottom, so the stamp "
            "has to."
        )
    if laid.turn > 0.005:
        facts.append(f"It is drawn turned by {laid.turn:.1f} degrees.")
    told += _outline(drawn, laid, units)
    holes = list(_holes(drawn, want, laid, units, within))
    told += holes
    told += _cutouts(drawn, want, laid)
    told += [
        Difference(Level.NOT_CHECKED, f"{odd} in the drawing, which cannot be measured.") for odd in drawn.odd
    ]
    if not holes and laid.pairs:
        most = max(apart for *_, apart in laid.pairs)
        facts.append(
            f"All {len(laid.pairs)} holes are there, of their size, off by "
            f"{show_gap(most, units, 'measured most')} at most."
        )
    passing, fouled = rods_pass(drawn, want, laid, units, rods_off)
    return Comparison(want, laid, (*facts, *passing), (*told, *fouled))


def _best(drawn: ShopPlate, want: Wanted, within: float) -> tuple[Laid, Laid]:
    """The best way to lay it as drawn, and the best way mirrored."""
    found = ways(drawn, want)

    def key(one: Laid) -> tuple[float, ...]:
        wrong, squares = one.score(want, within)
        return wrong, round(squares, 2), round(one.turn, 2)

    plain = min((one for one in found if not one.mirrored), key=key)
    return plain, min((one for one in found if one.mirrored), key=key)


def _likelier(best: Laid, mirror: Laid, want: Wanted, within: float) -> Laid:
    """Mirrored where that explains everything, or at least two holes more: one hole off is likelier."""
    right, left = best.wrong(want, within), mirror.wrong(want, within)
    return mirror if left + 1 < right or left == 0 < right else best


def _rank(want: Wanted, best: Laid, mirror: Laid, within: float) -> tuple[float, ...]:
    """Less is better: of the plate's size, few wrong holes (mirrored counts as one), near."""
    laid = _likelier(best, mirror, want, within)
    wrong, squares = laid.score(want, within)
    edge = laid.edge or 0.0
    return float(edge > OUTLINE), wrong + int(laid.mirrored), round(squares, 2), edge


def _outline(drawn: ShopPlate, laid: Laid, units: Units) -> Iterator[Difference]:
    if drawn.outline is None or laid.edge is None:
        yield Difference(
            Level.NOT_CHECKED,
            "The drawing has no closed outline: edges are not checked, and holes only against each other.",
        )
    elif laid.edge > OUTLINE:
        yield Difference(
            Level.HOLD,
            f"The outline is off by up to {show_gap(laid.edge, units, 'measured most')}, "
            f"{show_gap(OUTLINE, units, 'needed most')} at most looked for.",
        )


def _holes(drawn: ShopPlate, want: Wanted, laid: Laid, units: Units, within: float) -> Iterator[Difference]:
    paired = {i: (j, apart) for i, j, apart in laid.pairs}
    for i in range(len(want.centers)):
        name = want.hole(i)
        if i not in paired:
            yield Difference(Level.HOLD, f"{capital(name)} is missing.")
            continue
        j, apart = paired[i]
        if apart > within + 1e-6:
            dx, dy = (laid.centers[j] - want.centers[i]).tolist()
            yield Difference(
                Level.HOLD,
                f"{capital(name)} is off by {show_gap(apart, units, 'measured most')} "
                f"({_signed(dx, units)} along x, {_signed(dy, units)} along y), "
                f"{show_gap(within, units, 'needed most')} at most looked for.",
            )
        size, asked = drawn.rounds[j].diameter, float(want.diameters[i])
        if abs(size - asked) > SIZE:
            word = "smaller" if size < asked else "larger"
            yield Difference(
                Level.HOLD,
                f"{capital(name)} is {word} than specified: {show_decimal(size, units)} across, "
                f"{show_decimal(asked, units)} specified.",
            )
    box = want.outer.polyline(0.1).min(axis=0)
    for j in sorted(set(range(len(laid.centers))) - {j for _, j, _ in laid.pairs}):
        x, y = (laid.centers[j] - box).tolist()
        yield Difference(
            Level.HOLD,
            f"An extra hole, {show_decimal(drawn.rounds[j].diameter, units)} across, "
            f"{show_decimal(x, units)} along x and {show_decimal(y, units)} along y from the low corner.",
        )


def _signed(value: float, units: Units) -> str:
    shown = show_decimal(value, units)
    return shown if shown.startswith("-") else f"+{shown}"


def _cutouts(drawn: ShopPlate, want: Wanted, laid: Laid) -> Iterator[Difference]:
    """Openings that are not round: each wanted one has to be there, of its area, and no other."""
    left = [(laid.placed(centroid(loop)[None])[0], abs(loop.area)) for loop in drawn.cutouts]
    for n, loop in enumerate(want.cutouts, start=1):
        center, area = centroid(loop), abs(loop.area)
        near = [
            k for k, (at, size) in enumerate(left) if _alike(at, center) and abs(size - area) < 0.02 * area
        ]
        if near:
            left.pop(near[0])
        else:
            yield Difference(Level.HOLD, f"Cutout {n} is missing, or in another place or of another size.")
    for _ in left:
        yield Difference(Level.HOLD, "An extra opening that is no round hole.")


def _alike(a: Array, b: Array) -> bool:
    return hypot(*(a - b).tolist()) <= WITHIN
