"""Pairs that are exact translates of each other: cages and hardware repeat, so each such pair is measured
once.

Shapes and shifts are compared to 1e-7 mm, well under what a gap is told to.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np
from msgspec.structs import fields
from numpy.typing import NDArray

from clash.gap_table import Index
from clash.kernel.nearest import Nearest
from clash.kernel.prism_table import PrismTable
from clash.kernel.tables import SweptTable
from models.motion import Array

Whole = NDArray[np.int64]
_PER_MM = 1e7
_MIX = np.array(
    [
        0x9E3779B97F4A7C15,
        0xC2B2AE3D27D4EB4F,
        0x165667B19E3779F9,
        0xD6E8FEB86659FD93,
        0xA0761D6478BD642F,
        0xE7037ED1A0B428DB,
        0x8EBC6AF09C88C6E3,
    ]
)


def bar_shapes(bars: SweptTable) -> tuple[Index, Array]:
    """(n,) the shape of each bar, equal where two are the same but for a shift; (n, 3) mm, that shift."""
    first = bars.first
    shift = bars.start[first[:-1]]
    owner = np.repeat(np.arange(len(shift)), np.diff(first))
    at = shift[owner]
    columns = np.column_stack(
        [bars.start - at, bars.end - at, bars.center - at, bars.axis, bars.angle, bars.radius[owner]]
    )
    return _numbered(columns, first), shift


def prism_shapes(prisms: PrismTable) -> tuple[Index, Array]:
    """(n,) the shape of each prism, equal where two are the same but for a shift; (n, 3) mm, that shift."""
    first = prisms.first
    owner = np.repeat(np.arange(len(prisms)), np.diff(first))
    columns = np.column_stack(
        [
            *(getattr(prisms.edges, f.name) for f in fields(prisms.edges)),
            prisms.bottom[owner],
            prisms.top[owner],
            prisms.rotation.reshape(-1, 9)[owner],
        ]
    )
    return _numbered(columns, first), prisms.shift


def _numbered(columns: Array, first: Index) -> Index:
    """Number the runs of rows first[i] : first[i + 1] so that equal runs have one number."""
    steps = whole(columns)
    every, width = steps.tobytes(), steps.shape[1] * steps.itemsize
    known: dict[bytes, int] = {}
    ends = (first * width).tolist()
    return np.array(
        [known.setdefault(every[a:b], len(known)) for a, b in pairwise(ends)],
        dtype=np.intp,
    )


def distinct(keys: Whole) -> tuple[Index, Index]:
    """Rows (k,) of n keys (n, m) that stand for all, and (n,) which of them stands for each."""
    mixed = (keys.astype(np.uint64) * _MIX[: keys.shape[1]].astype(np.uint64)).sum(axis=1, dtype=np.uint64)
    _, one, which = np.unique(mixed, return_index=True, return_inverse=True)
    if len(one) == len(keys) or not np.array_equal(keys[one][which], keys):
        return np.arange(len(keys)), np.arange(len(keys))
    return one, which


def whole(values: Array) -> Whole:
    """Values in whole steps of 1e-7 mm; what is not finite is one value of its own."""
    # what is not finite (or too large to count) equals nothing that is
    sound = np.abs(values) < 1e11
    return np.rint(np.where(sound, values, 9e11) * _PER_MM).astype(np.int64)


def measured_once(
    shape_a: Index,
    shape_b: Index,
    shift_a: Array,
    shift_b: Array,
    measure: Callable[[Index], Nearest],
) -> Nearest:
    """Measure n pairs, those that repeat only once.

    shape_a, shape_b (n,) and shift_a, shift_b (n, 3) of each pair; measure: the kernel, for some of the n
    pairs.
    """
    one, which = distinct(np.column_stack([shape_a, shape_b, whole(shift_b - shift_a)]))
    if len(one) == len(shape_a):
        return measure(one)
    found = measure(one)
    moved = shift_a - shift_a[one][which]
    return Nearest(found.gap[which], found.at_a[which] + moved, found.at_b[which] + moved)
