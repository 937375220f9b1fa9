"""Whether the verticals are held by corners of ties and hooks of crossties."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.gap_table import Index
from clash.measures.holding import Held, held
from clash.measures.straight import runs as straight_runs
from clash.needs.need import Need
from clash.pier_view import PierView
from clash.rule import EPSILON, DoesNotApply, Measured, rule
from models.motion import Array

_ANY = 179.0
"""degrees: a tie that turns by less than a degree has no corner there."""


@rule(
    id="held bars",
    title="verticals held by ties and crossties",
    source="the rule book (ACI 318-19 25.7.2.3; EN 1992-1-1 9.5.3)",
)
def held_bars(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Corner bars stand in corners sharp enough; between held bars not too many and not too far are not held.

    A crosstie counts where the bend at its end goes round the bar. The bars of a cage are one measurement of
    each kind: the corner that is least sharp, the longest run of bars between two that are held, and the
    single bar that stands farthest from those beside it.
    """
    cage = held(view)
    if cage is None:
        yield DoesNotApply("no closed ties around verticals; hoops hold their bars all round")
        return
    holding = view.book.holding()
    most = _ANY if holding.angle is None else (holding.angle.value or 0.0)
    firm = cage.angle <= most + EPSILON
    if holding.angle is not None:
        yield _corners(view, cage, holding.angle)
        firm = firm | cage.corner  # told once, as a corner
    if not firm.any():
        yield _none(view, cage, holding.in_a_row or holding.clear)
        return
    runs = _runs(firm)
    in_a_row = holding.in_a_row
    long = [] if in_a_row is None else [run for run in runs if len(run) > (in_a_row.value or 0.0)]
    if in_a_row is not None:
        yield _counted(view, cage, runs, in_a_row)
    single = [k for run in runs if run not in long for k in run]
    yield _far(view, cage, firm, single, holding.clear, holding.both_sides)


def _corners(view: PierView, cage: Held, need: Need) -> Measured:
    corners = np.flatnonzero(cage.corner)
    says = "{a} stands in a corner of {measured}, at most {required} hold a bar ({source})"
    return _worst(view, cage, corners, cage.angle[corners], need, says, "corner", "degrees")


def _counted(view: PierView, cage: Held, runs: list[list[int]], need: Need) -> Measured:
    middle = np.array([run[len(run) // 2] for run in runs], dtype=np.intp)
    says = "{a} is one of {measured} in a row that no corner of a tie and no hook of a crosstie holds; "
    says += "{required} allowed ({source})"
    lengths = np.array([float(len(run)) for run in runs])
    return _worst(view, cage, middle, lengths, need, says, "in a row", "bars")


def _far(view: PierView, cage: Held, firm: np.ndarray, single: list[int], need: Need, both: bool) -> Measured:
    n = len(cage.bars)
    measured = []
    for k in single:
        sides = []
        for step in (1, -1):
            clear, j = 0.0, k
            while not firm[j]:
                clear += float(cage.apart[j] if step > 0 else cage.apart[j - 1])
                j = (j + step) % n
                clear += 0.0 if firm[j] else float(view.nominal[cage.bars[j]])
            sides.append(clear)
        measured.append(max(sides) if both else min(sides))
    says = (
        "{a} is not held, and stands {measured} clear of a bar that is; at most {required} allowed ({source})"
    )
    alone = np.array(single, dtype=np.intp)
    return _worst(view, cage, alone, np.array(measured, dtype=float), need, says, "beside", None)


def _worst(
    view: PierView,
    cage: Held,
    bars: Index,
    measured: Array,
    need: Need,
    says: str,
    tag: str,
    unit: str | None,
) -> Measured:
    """One row: of bars of the cage the one that measures most, and how many fail with it; none of none."""
    # A thousandth decides nothing: the same bar is told however the site is turned.
    most = np.lexsort((cage.bars[bars], -np.round(measured, 3)))[:1]
    which = cage.bars[bars[most]]
    fail = int(np.count_nonzero(measured > (need.value or 0.0) + EPSILON))
    return Measured(
        which,
        which,
        measured[most],
        (need,),
        _at(view, which),
        says=f"{says}; {fail} such places in the cage." if fail > 1 else f"{says}.",
        limit="most",
        unit=unit,
        tags=(tag,) * len(which),
    )


def _none(view: PierView, cage: Held, need: Need) -> Measured:
    which = cage.bars[:1]
    return Measured(
        which,
        which,
        np.array([0.0]),
        (Need(1.0, need.source),),
        _at(view, which),
        says="No vertical is held by a corner of a tie or a hook of a crosstie ({source}).",
        unit="bars",
        tags=("none",),
    )


def _runs(firm: np.ndarray) -> list[list[int]]:
    """Runs of bars that are not held, around the cage, each between two that are."""
    n = len(firm)
    first = int(np.flatnonzero(firm)[0])
    runs: list[list[int]] = []
    for k in ((first + step) % n for step in range(n)):
        if firm[k]:
            runs.append([])
        else:
            runs[-1].append(k)
    return [run for run in runs if run]


def _at(view: PierView, bars: np.ndarray) -> Array:
    """(n, 3) the tops of bars, mm."""
    return straight_runs([view.parts[i] for i in bars]).high if len(bars) else np.zeros((0, 3))
