"""Whether the rods pass through the holes that the fabricator drew."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.report.findings import Level
from clash.shop.difference import Difference, capital
from clash.shop.laying import Laid
from clash.shop.reading import ShopPlate
from clash.shop.wanted import Wanted
from models.lengths import Units, show_gap
from models.motion import Array
from models.pier import Pier
from models.seat.pattern import rod_positions
from models.seat.rods import measures


def rods_pass(
    drawn: ShopPlate, want: Wanted, laid: Laid, units: Units, rods_off: float | None
) -> tuple[list[str], list[Difference]]:
    """What is well and what is not, for the rods of every pier of the plate, the plate where it is drawn.

    rods_off: mm, how far each rod may stand off from where it is drawn; None where nobody says.
    """
    radii = np.array([r.diameter for r in drawn.rounds]) / 2.0
    facts: list[str] = []
    told: list[Difference] = []
    for piers in _alike(want):
        marks = ", ".join(p.mark for p in piers)
        rooms = _rooms(piers[0], laid, radii)
        rods = piers[0].spec.seat.rods
        assert rods is not None
        _, overall, size = measures(rods)
        word = "rod" if rods.bar is None else "bar anchor"
        play = piers[0].spec.required.hole_play
        need = play or 0.0
        fouled = list(_fouled(rooms, need, rods_off, word, marks, units))
        told += fouled
        if overall is None and play is None:
            says = (
                f"Whether the {size} bars of {marks} pass over their ribs: no table at hand gives that "
                "diameter; say the play that they need (required: hole play)."
            )
            told.append(Difference(Level.NOT_CHECKED, says))
        elif not any(one.level is Level.HOLD for one in fouled):
            spare = show_gap(min(rooms) - need, units, "measured least")
            facts.append(
                f"All {len(rooms)} {word}s of {marks} pass as drawn; each may stand off by {spare} before it "
                "has too little play."
            )
    return facts, told


def _alike(want: Wanted) -> list[list[Pier]]:
    """The plate's piers, those whose rods are alike and stand alike together."""
    groups: dict[object, list[Pier]] = {}
    for pier in want.piers:
        rods = pier.spec.seat.rods
        if rods is not None:
            key = (rod_positions(pier.spec).round(4).tobytes(), measures(rods), pier.spec.required.hole_play)
            groups.setdefault(key, []).append(pier)
    return list(groups.values())


def _rooms(pier: Pier, laid: Laid, radii: Array) -> list[float]:
    """mm of play of each rod, over its ribs where they are listed, to the rim of its hole.

    Minus infinity where its center lies in no hole.
    """
    rods = pier.spec.seat.rods
    assert rods is not None
    diameter, overall, _ = measures(rods)
    rooms = []
    for place in rod_positions(pier.spec):
        apart = np.hypot(*(laid.centers - place).T)
        j = int(np.argmin(apart))
        room = float(radii[j] - apart[j]) - (overall or diameter) / 2.0
        rooms.append(room if apart[j] < radii[j] else float("-inf"))
    return rooms


def _fouled(
    rooms: list[float], need: float, rods_off: float | None, word: str, marks: str, units: Units
) -> Iterator[Difference]:
    for n, room in enumerate(rooms, start=1):
        name = f"{capital(word)} {n} of {marks}"
        shown = show_gap(room, units, "measured least") if room > float("-inf") else ""
        if not shown:
            yield Difference(Level.HOLD, f"{name} meets no hole.")
        elif room < -1e-6:
            yield Difference(
                Level.HOLD, f"{name} fouls its hole by {show_gap(-room, units, 'measured most')}."
            )
        elif room < need - 1e-6:
            needed = show_gap(need, units, "needed least")
            yield Difference(Level.HOLD, f"{name}: {shown} of play to the rim of its hole, {needed} needed.")
        elif rods_off is not None and room - rods_off < need - 1e-6:
            off = show_gap(rods_off, units, "needed least")
            yield Difference(
                Level.TIGHT,
                f"{name} passes as drawn with {shown} of play, but not when it stands off by {off}.",
            )
