"""The parts of some piers side by side, in columns, ready for the kernel."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from clash.gap_table import Index
from clash.kernel.prism_table import PrismTable
from clash.kernel.repeats import bar_shapes, prism_shapes
from clash.kernel.tables import SweptTable
from models.motion import Array
from models.part import Exit, Role
from models.pier import Pier
from models.solids import Prism, Swept

Flags = NDArray[np.bool_]


class Layout(Struct, frozen=True, eq=False):
    """n parts, all but the concrete itself; `pier` and `part` say which each is.

    inside, exits_top, exits_bottom: (n,) bool, as the part says.
    row: (n,) where it stands in the table of its family; swept: (n,) bool; low, high: (3, n) mm, its box.
    shape: (n,) equal where two are the same but for a shift; shift: (n, 3) mm.
    """

    pier: Index
    part: Index
    inside: Flags
    exits_top: Flags
    exits_bottom: Flags
    row: Index
    swept: Flags
    low: Array
    high: Array
    shape: Index
    shift: Array
    bars: SweptTable
    prisms: PrismTable


def laid_out(piers: Sequence[Pier]) -> Layout:
    """Lay the parts of these piers side by side, in their order."""
    flat = [part for pier in piers for part in pier.parts]
    counts = np.array([len(pier.parts) for pier in piers], dtype=np.intp)
    kept = np.array([part.role is not Role.CONCRETE for part in flat], dtype=bool)
    pier = np.repeat(np.arange(len(counts)), counts)
    part = np.arange(len(flat)) - np.repeat(np.cumsum(counts) - counts, counts)
    inside = np.array([part.inside for part in flat], dtype=bool)
    # parts share few sets of exits, and asking a set is slower than looking one up
    leaves = {faces: (Exit.TOP in faces, Exit.BOTTOM in faces) for faces in {part.exits for part in flat}}
    exits = np.array([leaves[part.exits] for part in flat], dtype=bool).reshape(-1, 2)
    solids = [part.solid for part in flat if part.role is not Role.CONCRETE]
    swept = np.array([isinstance(s, Swept) for s in solids], dtype=bool)
    bars = SweptTable.of([s for s in solids if isinstance(s, Swept)])
    prisms = PrismTable.of([s for s in solids if isinstance(s, Prism)])
    low, high = np.zeros((3, len(solids))), np.zeros((3, len(solids)))
    low[:, swept], high[:, swept] = boxes(bars)
    low[:, ~swept], high[:, ~swept] = prisms.box_lo.T, prisms.box_hi.T
    lost = ~np.isfinite(low + high).all(axis=0)  # nowhere to be found, so near everything: told, not dropped
    low[:, lost], high[:, lost] = -np.inf, np.inf
    row = np.where(swept, np.cumsum(swept), np.cumsum(~swept)) - 1
    shape, shift = np.zeros(len(solids), dtype=np.intp), np.zeros((len(solids), 3))
    shape[swept], shift[swept] = bar_shapes(bars)
    shape[~swept], shift[~swept] = prism_shapes(prisms)
    return Layout(
        pier=pier[kept],
        part=part[kept],
        inside=inside[kept],
        exits_top=exits[kept, 0],
        exits_bottom=exits[kept, 1],
        row=row,
        swept=swept,
        low=low,
        high=high,
        shape=shape,
        shift=shift,
        bars=bars,
        prisms=prisms,
    )


def boxes(bars: SweptTable) -> tuple[Array, Array]:
    """Boxes (3, n) of bars, none too small: a bend is held in its whole circle's reach along its chord."""
    if not len(bars.radius):
        return np.zeros((3, 0)), np.zeros((3, 0))
    sagitta = np.zeros(len(bars.angle))
    bent = bars.angle > 0.0
    arm = np.linalg.norm(bars.start[bent] - bars.center[bent], axis=1)
    sagitta[bent] = arm * (1.0 - np.cos(bars.angle[bent] / 2.0))
    low = np.minimum(bars.start, bars.end).T - sagitta
    high = np.maximum(bars.start, bars.end).T + sagitta
    first = bars.first[:-1]
    return (
        np.minimum.reduceat(low, first, axis=1) - bars.radius,
        np.maximum.reduceat(high, first, axis=1) + bars.radius,
    )
