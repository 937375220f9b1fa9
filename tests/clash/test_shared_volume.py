"""Shared volumes against closed form."""

from __future__ import annotations

from math import isnan, pi

import numpy as np
import pytest

import clash.shared_volume
from clash.shared_volume import SharedVolumes, shared_volume
from models.motion import Motion
from models.outline import Outline, rectangle
from models.part import Part, Role
from models.solids import Prism, Solid
from tests.support.bars import Walk, straight_bar


def part(solid: Solid) -> Part:
    return Part("P1/embed/a", Role.EMBED, "a", solid)


def test_bars_through_each_other_share_steinmetz_solid() -> None:
    # two cylinders of one radius crossing at right angles share 16/3 r^3
    a, b = straight_bar((-50, 0, 0), (50, 0, 0), 10.0), straight_bar((0, -50, 0), (0, 50, 0), 10.0)
    assert shared_volume(part(a), part(b), 0.002) == pytest.approx(16.0 / 3.0 * 10.0**3, rel=2e-3)


def test_bars_end_in_end_share_a_short_cylinder() -> None:
    a, b = straight_bar((0, 0, 0), (100, 0, 0), 10.0), straight_bar((98, 0, 0), (200, 0, 0), 10.0)
    assert shared_volume(part(a), part(b), 0.002) == pytest.approx(pi * 10.0**2 * 2.0, rel=2e-3)


def test_blocks_share_a_block() -> None:
    a = Prism(Outline(rectangle(100.0, 60.0)), 0.0, 20.0)
    b = a.moved(Motion(np.eye(3), np.array([90.0, 20.0, 5.0])))
    assert shared_volume(part(a), part(b)) == pytest.approx(10.0 * 40.0 * 15.0, abs=1e-6)


def test_a_hundredth_of_a_millimeter_is_not_lost_far_from_the_origin() -> None:
    far = Motion(np.eye(3), np.array([1e5, 0.0, 0.0]))
    a = Prism(Outline(rectangle(100.0, 100.0)), 0.0, 20.0).moved(far)
    b = a.moved(Motion(np.eye(3), np.array([0.0, 0.0, 19.99])))
    assert shared_volume(part(a), part(b)) == pytest.approx(100.0 * 100.0 * 0.01, rel=1e-6)


def test_parts_that_are_apart_or_touch_share_nothing() -> None:
    a = Prism(Outline(rectangle(100.0, 100.0)), 0.0, 20.0)
    for shift in (20.0, 30.0):
        b = a.moved(Motion(np.eye(3), np.array([0.0, 0.0, shift])))
        assert shared_volume(part(a), part(b)) == 0.0


def test_the_order_does_not_matter() -> None:
    a = Walk(np.zeros(3), np.eye(3)[0], np.eye(3)[1]).ahead(50.0).bend(pi / 2.0, 40.0).ahead(50.0).bar(8.0)
    b = straight_bar((80.0, -40.0, 3.0), (80.0, 80.0, 3.0), 10.0)
    first, second = shared_volume(part(a), part(b)), shared_volume(part(b), part(a))
    assert first > 0.0
    assert first == pytest.approx(second, rel=1e-9)


def test_a_mesh_without_volume_is_not_measured() -> None:
    flat = Prism(Outline(rectangle(100.0, 100.0)), 0.0, 0.0)
    assert isnan(shared_volume(part(flat), part(Prism(Outline(rectangle(100.0, 100.0)), -5.0, 5.0))))


def test_pairs_that_repeat_are_as_if_each_were_alone() -> None:
    shared = SharedVolumes(0.02)
    bar, tie = straight_bar((0, 0, -100), (0, 0, 100), 10.0), straight_bar((-80, 5, 0), (80, 5, 0), 6.0)
    block = Prism(Outline(rectangle(30.0, 30.0)), -4.0, 9.0)
    shifts = [(0.0, 0.0, 0.0), (0.0, 0.0, 20.0), (500.0, 300.0, 20.0), (3.0, 4.0, 0.0)]
    for a, b in ((bar, tie), (bar, block), (tie, block), (block, block)):
        for one in shifts:
            for other in shifts:
                pair = [
                    part(solid.moved(Motion(np.eye(3), np.array(by)))) for solid, by in ((a, one), (b, other))
                ]
                alone = shared_volume(pair[0], pair[1], 0.02)
                assert shared.of(pair[0], pair[1]) == pytest.approx(alone, rel=1e-9, abs=1e-6)


def test_a_full_store_makes_room(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clash.shared_volume, "KEPT", 2)
    shared = SharedVolumes()
    # in a block of 100 high, blocks of so many square
    outer = Prism(Outline(rectangle(100.0, 100.0)), 0.0, 100.0)
    for side in (10.0, 20.0, 30.0, 10.0):
        inner = Prism(Outline(rectangle(side, side)), -5.0, 50.0)
        assert shared.of(part(outer), part(inner)) == pytest.approx(side * side * 50.0, rel=1e-9)
