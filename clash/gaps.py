"""Every gap of every pier: parts that come near each other, and parts against the faces of the concrete."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np
from msgspec.structs import replace

from clash.gap_table import WITHIN, Face, GapTable, Index
from clash.kernel.bars.swept import swept_swept
from clash.kernel.faces import face_gaps
from clash.kernel.layout import Flags, Layout, laid_out
from clash.kernel.nearest import Nearest
from clash.kernel.prism_prism import prism_prism
from clash.kernel.repeats import measured_once
from clash.kernel.swept_prism import swept_prism
from models.part import Role
from models.pier import Pier
from models.solids import same_solid

BATCH = 8192
"""parts laid out at a time: enough to spread numpy's overhead, few enough to stay under 100 MB."""
CHUNK = 16384
"""pairs measured at a time."""
ROUNDING = 1e-6
"""mm added to the reach of boxes, so that a gap of exactly `within` is found."""


def measure(piers: Sequence[Pier], within: float = WITHIN) -> GapTable:
    """All gaps of these piers up to `within` mm, sorted by pier, then a, then b.

    Parts of different piers are never measured against each other; the concrete itself is measured as faces.
    A gap that could not be measured is NaN and stays in the table.
    """
    return _joined([_measured(piers[first:last], first, within) for first, last in _batches(piers)])


def measure_again(pier: Pier, was: Pier, known: GapTable, within: float = WITHIN) -> GapTable:
    """All gaps of one pier, of which only some parts have changed; only what they are part of is measured.

    was: the pier before; known: its gaps up to the same `within`, whatever their `pier` says. The answer is
    that of `measure([pier])`.
    """
    known = replace(known, pier=np.zeros(len(known), dtype=np.intp))
    changed = changed_parts(pier, was)
    if changed is None:
        return measure([pier], within)
    if not changed.any():
        return known
    stays = ~changed[known.a] & ~(changed[known.b] & (known.b >= 0))
    return _sorted(_joined([known.take(stays), _measured([pier], 0, within, changed)]))


def changed_parts(pier: Pier, was: Pier) -> Flags | None:
    """(parts,) which parts of a pier stand otherwise than before; None where it is not the same list of them
    in the same concrete."""
    if len(pier.parts) != len(was.parts) or not _same_faces(pier, was):
        return None
    changed = np.zeros(len(pier.parts), dtype=bool)
    for i, (now, then) in enumerate(zip(pier.parts, was.parts, strict=True)):
        if now is then:
            continue
        if (now.id, now.inside, now.exits, now.role) != (then.id, then.inside, then.exits, then.role):
            return None
        changed[i] = not same_solid(now.solid, then.solid)
        if changed[i] and now.role is Role.GRADE_BEAM:  # a face of the others
            return None
    return changed


def _same_faces(pier: Pier, was: Pier) -> bool:
    a, b = pier.concrete, was.concrete
    return a is b or (a.top_chamfer == b.top_chamfer and same_solid(a.prism, b.prism))


def candidate_pairs(piers: Sequence[Pier], within: float = WITHIN) -> Index:
    """(n, 3): pier, part and part whose boxes come within `within` mm.

    What `measure` measures between parts.
    """
    parts = laid_out(piers)
    i, j = _near(parts, within)
    return np.column_stack([parts.pier[i], parts.part[i], parts.part[j]])


def _batches(piers: Sequence[Pier]) -> Iterator[tuple[int, int]]:
    first = parts = 0
    for k, pier in enumerate(piers):
        if parts and parts + len(pier.parts) > BATCH:
            yield first, k
            first, parts = k, 0
        parts += len(pier.parts)
    if len(piers) > first:
        yield first, len(piers)


def _near(parts: Layout, within: float) -> tuple[Index, Index]:
    """Pairs of parts of one pier whose boxes come within `within` mm of each other."""
    counts = np.bincount(parts.pier)
    starts = np.concatenate([[0], np.cumsum(counts)])
    widest = int(counts.max(initial=0))
    slot = np.arange(len(parts.pier)) - starts[parts.pier]
    near = np.tri(widest, k=-1, dtype=bool).T[None].repeat(len(counts), axis=0)
    for axis in range(3):
        low, high = np.full((len(counts), widest), np.inf), np.full((len(counts), widest), -np.inf)
        low[parts.pier, slot] = parts.low[axis] - within - ROUNDING
        high[parts.pier, slot] = parts.high[axis]
        meet = low[:, :, None] <= high[:, None, :]
        near &= meet
        near &= meet.transpose(0, 2, 1)
    pier, i, j = np.nonzero(near)
    i, j = starts[pier] + i, starts[pier] + j
    square = np.zeros(len(i))
    for low, high in zip(parts.low, parts.high, strict=True):
        apart = np.maximum(np.maximum(low[j] - high[i], low[i] - high[j]), 0.0)
        square += apart * apart
    close = square <= (within + ROUNDING) ** 2
    return i[close], j[close]


def _measured(piers: Sequence[Pier], offset: int, within: float, changed: Flags | None = None) -> GapTable:
    """changed: (parts,) of a single pier, where only what they are part of is wanted."""
    parts = laid_out(piers)
    i, j = _near(parts, within)
    if changed is not None:
        of = changed[parts.part]
        wanted = of[i] | of[j]
        i, j = i[wanted], j[wanted]
        parts = replace(parts, inside=parts.inside & of)
    tables = []
    bar_i, bar_j = parts.swept[i], parts.swept[j]

    def bars(a: Index, b: Index) -> Nearest:
        return swept_swept(parts.bars, parts.row[a], parts.row[b], within)

    def bar_and_prism(a: Index, b: Index) -> Nearest:
        other = parts.swept[b]  # a prism comes first: one call for both ways round costs half of two
        bar, prism = np.where(other, b, a), np.where(other, a, b)
        return swept_prism(parts.bars, parts.prisms, parts.row[bar], parts.row[prism]).swapped(other)

    def two_prisms(a: Index, b: Index) -> Nearest:
        return prism_prism(parts.prisms, parts.row[a], parts.row[b])

    for which, kernel in (
        (bar_i & bar_j, bars),
        (bar_i ^ bar_j, bar_and_prism),
        (~bar_i & ~bar_j, two_prisms),
    ):
        tables += list(_kept(parts, i[which], j[which], kernel, within))
    tables.append(face_gaps(piers, parts, within))
    table = _sorted(_joined(tables))
    return GapTable(table.pier + offset, table.a, table.b, table.gap, table.at_a, table.at_b)


def _kept(
    parts: Layout, i: Index, j: Index, kernel: Callable[[Index, Index], Nearest], within: float
) -> Iterator[GapTable]:
    for k in range(0, len(i), CHUNK):
        a, b = i[k : k + CHUNK], j[k : k + CHUNK]

        def some(which: Index, a: Index = a, b: Index = b) -> Nearest:
            return kernel(a[which], b[which])

        found = measured_once(parts.shape[a], parts.shape[b], parts.shift[a], parts.shift[b], some)
        keep = ~(found.gap > within)  # NaN stays: not checked is told, never dropped
        a, b = a[keep], b[keep]
        yield GapTable(
            parts.pier[a], parts.part[a], parts.part[b], found.gap[keep], found.at_a[keep], found.at_b[keep]
        )


def _joined(tables: Sequence[GapTable]) -> GapTable:
    """The rows of several tables, one table after the other."""
    if not tables:
        none = np.zeros(0, dtype=np.intp)
        return GapTable(none, none, none, np.zeros(0), np.zeros((0, 3)), np.zeros((0, 3)))
    return GapTable(
        np.concatenate([t.pier for t in tables]),
        np.concatenate([t.a for t in tables]),
        np.concatenate([t.b for t in tables]),
        np.concatenate([t.gap for t in tables]),
        np.concatenate([t.at_a for t in tables]),
        np.concatenate([t.at_b for t in tables]),
    )


def _sorted(table: GapTable) -> GapTable:
    """By pier, then a, then b: one key of the three sorts in half the time."""
    lowest = int(min(Face))
    wide = max(int(table.a.max(initial=0)), int(table.b.max(initial=0))) - lowest + 1
    key = (table.pier * wide + table.a) * wide + (table.b - lowest)
    return table.take(np.argsort(key, kind="stable"))
