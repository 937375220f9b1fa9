"""Laps of the ends of hoops."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import pi, tau

import numpy as np

from clash.gap_table import Index
from clash.measures.hoops import HoopLap, lap_of
from clash.measures.levels import Level, levels, swept
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.part import Role

_HOOKED = "25.7.2.4(b): both ends hook round a vertical"
_STAGGERED = "25.7.2.4(c): the laps of hoops that follow each other are staggered"


@rule(
    id="hoop lap",
    title="laps of hoops",
    source="the rule book (ACI 318-19 25.7.2.4)",
)
def hoop_lap(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """How far the ends of each hoop lap, whether both hook round verticals, and whether laps are staggered.

    Staggered: the ends of two hoops that follow each other lie at least a hoop's diameter apart around the
    cage, so that no lap lies straight over the next; how far is not published.
    """
    stacks = [level for level in levels(view) if view.parts[level.tie].role is Role.HOOP]
    need = view.book.hoop_lap()
    if not stacks:
        yield DoesNotApply("no hoops")
        return
    if need is None:
        yield DoesNotApply(f"{view.book.title} has no figure for it")
        return
    laps = [_known_lap(view, level) for level in stacks]
    hoops = np.array([level.tie for level in stacks], dtype=np.intp)
    least = int(np.argmin(np.round([lap.length for lap in laps], 3)))
    yield Measured(
        hoops[[least]],
        hoops[[least]],
        np.array([laps[least].length]),
        (need,),
        _ends(stacks, laps)[[least]],
        says="The ends of {a} lap by {measured} {where}, {required} needed ({source}).",
        says_below_zero="The ends of {a} miss each other by {past}, a lap of {required} needed ({source}).",
    )
    document = need.source.partition(" 25.7.2.4")[0]
    around = _around(view, hoops, laps)
    least = int(np.argmin(around))
    yield Measured(
        hoops[[least]],
        hoops[[least]],
        around[[least]],
        (Need(2.0, f"{document} {_HOOKED}"),),
        _ends(stacks, laps)[[least]],
        says="{a} has {measured} hooked round a vertical, {required} needed ({source}).",
        unit="ends",
        tags=("hooked",),
    )
    if len(laps) > 1:
        apart = np.array([_apart(a, b) for a, b in pairwise(laps)])
        least = int(np.argmin(np.round(apart, 3)))
        yield Measured(
            hoops[[least]],
            hoops[[least + 1]],
            apart[[least]],
            (Need(float(view.nominal[hoops[least]]), f"{document} {_STAGGERED}"),),
            _ends(stacks, laps)[[least]],
            says="The laps of {a} and {b} lie {measured} apart around the cage, one over the other {where} "
            "({source}).",
            tags=("staggered",),
        )


def _known_lap(view: PierView, level: Level) -> HoopLap:
    return lap_of(swept(view, level.tie))


def _apart(a: HoopLap, b: HoopLap) -> float:
    """How far the beginnings of two laps lie apart along the hoop, mm."""
    return abs((a.begin - b.begin + pi) % tau - pi) * a.radius


def _around(view: PierView, hoops: Index, laps: list[HoopLap]) -> np.ndarray:
    """(hoops,) how many ends of each hoop have a vertical in their bend."""
    verticals = np.flatnonzero(view.roles(Role.VERTICAL))
    places = np.stack([swept(view, int(i)).knots[0, :2] for i in verticals]) if len(verticals) else None
    counts = []
    for lap, thick in zip(laps, view.nominal[hoops], strict=True):
        count = 0
        for center, inside in lap.hooked:
            if places is not None:
                room = inside - np.linalg.norm(places - center, axis=1) - view.nominal[verticals] / 2.0
                count += bool(np.any(np.abs(room) < thick))
        counts.append(float(count))
    return np.array(counts)


def _ends(stacks: list[Level], laps: list[HoopLap]) -> np.ndarray:
    """(hoops, 3) where each hoop's run begins."""
    return np.array(
        [
            [
                lap.center[0] + lap.radius * np.cos(lap.begin),
                lap.center[1] + lap.radius * np.sin(lap.begin),
                level.center,
            ]
            for level, lap in zip(stacks, laps, strict=True)
        ]
    )
