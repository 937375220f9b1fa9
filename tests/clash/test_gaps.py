"""The gaps of whole piers: who is measured against whom, and that batching changes nothing."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from math import pi
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

import clash.gaps
from clash.gap_table import Face, GapTable
from clash.gaps import measure
from clash.kernel.bars.swept import swept_swept
from clash.kernel.nearest import Nearest
from clash.kernel.prism_table import PrismTable
from clash.kernel.tables import SweptTable
from models.outline import circle, rectangle
from models.part import Part, Role
from models.pier import Pier
from models.solids import Swept
from tests.support import tiny
from tests.support.bars import Walk


def hooked_tie(number: int, z: float, reach: float = 180.0, radius: float = 5.0) -> Part:
    """A square tie with two hooks, its bends 20 mm to the centerline."""
    bend = 20.0
    walk = Walk(np.array([-reach + bend, -reach, z]), np.eye(3)[0], np.eye(3)[1])
    for _ in range(3):
        walk.ahead(2.0 * (reach - bend)).bend(pi / 2.0, bend)
    walk.ahead(2.0 * (reach - bend)).bend(pi * 0.75, bend).ahead(75.0)
    return replace(tiny.tie(number), solid=walk.bar(radius))


def cage(dx: float = 0.0) -> list[Part]:
    """Four verticals, three ties, a rod, a plate with a hole that the rod passes, a washer on it."""
    corners = [(-165.0, -165.0), (165.0, -165.0), (165.0, 165.0), (-165.0, 165.0 + dx)]
    return [
        *(tiny.vertical(k + 1, x, y) for k, (x, y) in enumerate(corners)),
        *(hooked_tie(k + 1, -100.0 - 60.0 * k) for k in range(3)),
        tiny.rod(1, 40.0 + dx, 0.0),
        tiny.slab(
            "P1/plate/1", Role.PLATE, rectangle(300.0, 300.0), 40.0, 52.0, holes=[circle(50.0, (40.0, 0.0))]
        ),
        tiny.slab(
            "P1/washer/1",
            Role.WASHER,
            rectangle(76.0, 76.0, (40.0, 0.0)),
            52.0,
            58.0,
            holes=[circle(28.0, (40.0, 0.0))],
        ),
    ]


def piers(count: int) -> list[Pier]:
    return [tiny.site(cage(dx=0.5 * k)).piers[0] for k in range(count)]


def same(a: GapTable, b: GapTable) -> None:
    for column in ("pier", "a", "b"):
        assert np.array_equal(getattr(a, column), getattr(b, column))
    for column in ("gap", "at_a", "at_b"):
        assert getattr(a, column) == pytest.approx(getattr(b, column), abs=1e-6)


def test_bars_of_a_pier_pair_by_pair() -> None:
    pier = piers(1)[0]
    table = measure([pier], 150.0)
    told = {(int(a), int(b)): float(g) for a, b, g in zip(table.a, table.b, table.gap, strict=True)}
    bars = [(k, p.solid) for k, p in enumerate(pier.parts) if isinstance(p.solid, Swept)]
    expected = {}
    for (i, a), (j, b) in combinations(bars, 2):
        gap = float(swept_swept(SweptTable.of([a, b]), np.array([0]), np.array([1])).gap[0])
        if gap <= 150.0:
            expected[i, j] = gap
    kept = {pair: gap for pair, gap in told.items() if pair in expected or (pair[1] < 7 and pair[1] >= 0)}
    assert kept.keys() == expected.keys()
    assert list(kept.values()) == pytest.approx([expected[pair] for pair in kept], abs=1e-6)
    # three ties, 60 apart from centerline to centerline, 10 thick
    assert expected[4, 5] == pytest.approx(50.0, abs=1e-9)
    assert (4, 6) in expected


def test_rows_are_sorted_and_each_pair_stands_once() -> None:
    table = measure(piers(3))
    keys = list(zip(table.pier.tolist(), table.a.tolist(), table.b.tolist(), strict=True))
    assert keys == sorted(set(keys))
    assert np.all((table.a < table.b) | (table.b < 0))
    assert set(table.pier.tolist()) == {0, 1, 2}


def test_piers_measured_together_or_alone_are_the_same() -> None:
    several = piers(4)
    together = measure(several)
    for k, pier in enumerate(several):
        alone = measure([pier])
        rows = together.rows(k)
        same(replace(rows, pier=rows.pier - k), alone)


def test_batches_and_chunks_change_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    several = piers(5)
    whole = measure(several)
    monkeypatch.setattr(clash.gaps, "BATCH", 15)
    monkeypatch.setattr(clash.gaps, "CHUNK", 7)
    same(measure(several), whole)


def test_measuring_repeats_once_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    several = [tiny.site(cage(dx)).piers[0] for dx in (0.0, 0.0, 0.5, 0.5)]
    counted = []

    def counting(*given: Any) -> Nearest:
        counted.append(len(given[1]))
        return swept_swept(*given)

    monkeypatch.setattr(clash.gaps, "swept_swept", counting)
    once = measure(several)
    monkeypatch.setattr(
        clash.gaps, "measured_once", lambda sa, sb, ta, tb, kernel: kernel(np.arange(len(sa)))
    )
    same(measure(several), once)
    # two pairs of equal piers, and equal pairs within each: less than half is left to measure
    assert counted[0] < counted[1] / 2


def test_within_is_kept() -> None:
    pier = piers(1)[0]
    far, near = measure([pier], 150.0), measure([pier], 60.0)
    assert np.all(near.gap <= 60.0)
    same(near, far.take(far.gap <= 60.0))


def test_what_could_not_be_measured_stays(monkeypatch: pytest.MonkeyPatch) -> None:
    def unmeasured(prisms: PrismTable, i: np.ndarray, j: np.ndarray) -> Nearest:
        return Nearest.unmeasured(len(i))

    monkeypatch.setattr(clash.gaps, "prism_prism", unmeasured)
    table = measure(piers(1))
    plate, washer = 8, 9
    row = (table.a == plate) & (table.b == washer)
    assert np.isnan(table.gap[row]).tolist() == [True]


def test_a_part_nowhere_to_be_found_is_told_not_dropped() -> None:
    parts = [*cage(), tiny.vertical(5, np.nan, 0.0)]
    table = measure([tiny.site(parts).piers[0]])
    bars = [k for k, p in enumerate(parts) if isinstance(p.solid, Swept)]
    row = (table.b == 10) & np.isin(table.a, bars)
    assert np.sum(row) == len(bars) - 1
    assert np.isnan(table.gap[row]).all()


def test_the_concrete_is_measured_as_faces_only() -> None:
    parts = [*cage(), tiny.slab("P1/concrete", Role.CONCRETE, rectangle(500.0, 500.0), -1000.0, 0.0)]
    table = measure([tiny.site(parts).piers[0]])
    assert 10 not in table.a
    assert 10 not in table.b
    assert int(Face.SIDE) in table.b


@pytest.mark.parametrize(
    "parts", [[], [tiny.vertical(1)], [tiny.slab("P1/plate/1", Role.PLATE, rectangle(9.0, 9.0), 0.0, 9.0)]]
)
def test_piers_with_next_to_nothing_in_them(parts: Sequence[Part]) -> None:
    table = measure([tiny.site(parts).piers[0]])
    assert np.all(table.b < 0)


def test_no_piers() -> None:
    assert len(measure([])) == 0
