"""What keeps a plate from dropping on: which rod, which way, by how much."""

from __future__ import annotations

import numpy as np
import pytest

from clash.fits.drop_on import Plates, best_moves
from clash.fits.remedies import CLOSE, rods_in_the_way

SQUARE = np.array([[90.0, 90.0], [-90.0, 90.0], [-90.0, -90.0], [90.0, -90.0]])


def plate(rods: np.ndarray, slack: float, turn: float = 0.2, shift: float = np.inf) -> Plates:
    n = len(rods)
    return Plates(SQUARE[None, :n], rods[None], np.full((1, n), slack), np.array([turn]), np.array([shift]))


def test_one_rod_far_off_is_named_with_its_way_and_its_least_move() -> None:
    """Without play, the rod 10 off in 4 of slack has to come back by 6 for no room, by 8 for 2 of room."""
    rods = SQUARE.copy()
    rods[2] += [6.0, 8.0]
    p = plate(rods, 4.0, turn=0.0, shift=0.0)
    found = best_moves(p)
    assert found.room[0] == pytest.approx(4.0 - 10.0)
    for need, by in ((0.0, 6.0), (2.0, 8.0)):
        ways = rods_in_the_way(p, found, need, np.arange(4))
        assert [(w.plate, w.rod) for w in ways] == [(0, 2)]
        assert ways[0].by == pytest.approx(by, abs=CLOSE)
        assert ways[0].toward == pytest.approx((-0.6, -0.8), abs=1e-6)


def test_with_play_the_rod_has_to_go_less_and_that_much_will_do() -> None:
    rods = SQUARE.copy()
    rods[0] += [9.0, 9.0]
    p = plate(rods, 4.0)
    found = best_moves(p)
    assert found.room[0] < 0.0
    (way,) = [w for w in rods_in_the_way(p, found, 0.0, np.arange(4)) if w.rod == 0]
    assert way.by < np.hypot(9.0, 9.0) - 4.0
    moved = rods.copy()
    moved[0] += (way.by + CLOSE) * np.array(way.toward)
    assert best_moves(plate(moved, 4.0)).room[0] >= -2.0 * CLOSE
    grown = Plates(p.holes, p.rods, p.slack.copy(), p.turn, p.shift)
    grown.slack[0, 0] += way.by
    assert best_moves(grown).room[0] >= -CLOSE
    grown.slack[0, 0] -= 2.0 * CLOSE
    assert best_moves(grown).room[0] < 0.0


def test_where_two_are_off_no_single_rod_is_to_blame() -> None:
    rods = SQUARE.copy()
    rods[0] += [14.0, 0.0]
    rods[1] -= [14.0, 0.0]
    rods[2] -= [0.0, 14.0]
    p = plate(rods, 2.0)
    assert rods_in_the_way(p, best_moves(p), 0.0, np.arange(4)) == []


def test_a_leaning_rod_is_named_once() -> None:
    rods = np.concatenate([SQUARE, SQUARE])
    rods[4] += [12.0, 0.0]
    p = Plates(
        np.concatenate([SQUARE, SQUARE])[None], rods[None], np.full((1, 8), 4.0), np.zeros(1), np.zeros(1)
    )
    ways = rods_in_the_way(p, best_moves(p), 0.0, np.tile(np.arange(4), 2))
    assert [(w.rod, round(w.by, 1)) for w in ways] == [(0, 8.0)]


def test_a_plate_that_drops_on_blames_nobody() -> None:
    p = plate(SQUARE, 4.0)
    assert rods_in_the_way(p, best_moves(p), 0.0, np.arange(4)) == []
