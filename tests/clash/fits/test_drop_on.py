"""Does it drop on: against a fine grid over shift and turn, in closed form, and by its own bound."""

from __future__ import annotations

import numpy as np
import pytest

from clash.fits.drop_on import TOLERANCE, Fits, Plates, best_moves

SQUARE = np.array([[90.0, 90.0], [-90.0, 90.0], [-90.0, -90.0], [90.0, -90.0]])


def plates(
    holes: np.ndarray, rods: np.ndarray, slack: np.ndarray | float, turn: float = np.pi, shift: float = np.inf
) -> Plates:
    """Plates (n, k) of one kind of play; a single plate comes without its first axis."""
    holes, rods = np.atleast_3d(holes), np.atleast_3d(rods)
    if holes.shape[-1] == 1:
        holes, rods = holes[None, ..., 0], rods[None, ..., 0]
    n, k = holes.shape[:2]
    return Plates(
        holes,
        rods,
        np.broadcast_to(np.asarray(slack, float), (n, k)).copy(),
        np.full(n, turn),
        np.full(n, shift),
    )


def by_grid(
    p: Plates, turn: float, shift: float, center: np.ndarray, steps: int = 15
) -> tuple[float, np.ndarray]:
    """The most room of one plate on a grid of shifts and turns about `center` (x, y, turn), and its move."""
    best, move = -np.inf, center
    for angle in center[2] + np.linspace(-turn, turn, steps):
        c, s = np.cos(angle), np.sin(angle)
        left = p.rods[0] - p.holes[0] @ np.array([[c, s], [-s, c]])
        across = np.linspace(-shift, shift, steps)
        x, y = np.meshgrid(center[0] + across, center[1] + across)
        off = np.hypot(left[:, 0, None, None] - x, left[:, 1, None, None] - y)
        room = np.min(p.slack[0][:, None, None] - off, axis=0)
        inside = np.hypot(x, y) <= p.shift[0] + 1e-12
        room = np.where(inside & (abs(angle) <= p.turn[0] + 1e-12), room, -np.inf)
        k = np.unravel_index(np.argmax(room), room.shape)
        if room[k] > best:
            best, move = float(room[k]), np.array([x[k], y[k], angle])
    return best, move


def random_pattern(seed: int) -> Plates:
    """One to eight rods off their places by a few mm, upright or leaning, with free or limited play."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(1, 9))
    holes = rng.uniform(-150.0, 150.0, (count, 2))
    angle = rng.normal(0.0, 0.02)
    c, s = np.cos(angle), np.sin(angle)
    rods = holes @ np.array([[c, s], [-s, c]]) + rng.normal(0.0, 3.0, 2) + rng.normal(0.0, 3.0, (count, 2))
    slack = rng.uniform(2.0, 9.0, count)
    if seed % 3 == 0:
        holes = np.concatenate([holes, holes])
        rods = np.concatenate([rods, rods + rng.normal(0.0, 1.0, (count, 2))])
        slack = np.concatenate([slack, slack])
    play = [(0.2, np.inf), (0.2, 4.0), (0.01, 2.0), (0.2, 0.5)][seed % 4]
    return plates(holes[None], rods[None], slack[None], *play)


@pytest.mark.parametrize("block", range(6))
def test_no_grid_over_shift_and_turn_beats_it_and_none_is_farther_off_than_its_step(block: int) -> None:
    """40 patterns a block: 33 x 33 x 33 moves over the whole play, then ever closer looks round the best.

    A shift by d moves every hole by d, a turn by a every hole by at most a times its distance: so the grid
    move nearest the best one leaves at most half a step less room.
    """
    for seed in range(40 * block, 40 * block + 40):
        p = random_pattern(seed)
        found = best_moves(p)
        assert found.room[0] <= found.bound[0] <= found.room[0] + TOLERANCE
        turn, shift = float(p.turn[0]), min(float(p.shift[0]), 20.0)
        best, move = by_grid(p, turn, shift, np.zeros(3), 33)
        if np.isinf(p.shift[0]):
            farthest = np.hypot(*p.holes[0].T).max()
            assert best >= found.room[0] - np.sqrt(2.0) * shift / 32 - farthest * turn / 32, seed
        for _ in range(8):
            assert best <= found.bound[0] + 1e-9, seed
            turn, shift = turn / 2.0, shift / 2.0
            best, move = by_grid(p, turn, shift, move, 9)


def test_the_move_really_leaves_that_room() -> None:
    for seed in range(40):
        p = random_pattern(seed)
        found = best_moves(p)
        a, (x, y) = float(found.turn[0]), found.shift[0]
        assert abs(a) <= p.turn[0] + 1e-12
        assert np.hypot(x, y) <= p.shift[0] + 1e-9
        least = min(
            slack
            - np.hypot(
                *(
                    rod
                    - (np.array([hx * np.cos(a) - hy * np.sin(a) + x, hx * np.sin(a) + hy * np.cos(a) + y]))
                )
            )
            for (hx, hy), rod, slack in zip(p.holes[0], p.rods[0], p.slack[0], strict=True)
        )
        assert found.room[0] == pytest.approx(least, abs=1e-9)


@pytest.mark.parametrize(("slack", "other"), [(5.0, 5.0), (5.0, 3.0), (9.0, 1.0)])
@pytest.mark.parametrize("longer", [-6.0, 0.0, 2.5, 12.0])
def test_two_rods_in_closed_form(slack: float, other: float, longer: float) -> None:
    """Rods `longer` apart than the holes: the plate turns along them and shares the misfit out.

    In line with the rods, |off 1| + |off 2| is the misfit m at least, so the least room is at most half of
    (slack 1 + slack 2 - m), at most either slack alone, and a shift along the line reaches the lesser.
    """
    holes = np.array([[-100.0, 0.0], [100.0, 0.0]])
    way = np.array([np.cos(0.3), np.sin(0.3)])
    middle = np.array([7.0, -4.0])
    half = 100.0 + longer / 2.0
    found = best_moves(plates(holes, np.array([middle - half * way, middle + half * way]), [slack, other]))
    assert found.room[0] == pytest.approx(
        min(slack, other, (slack + other - abs(longer)) / 2.0), abs=TOLERANCE
    )


@pytest.mark.parametrize("shift", [(0.0, 0.0), (3.0, -4.0), (300.0, 20.0)])
def test_a_pure_shift_costs_no_room(shift: tuple[float, float]) -> None:
    found = best_moves(plates(SQUARE, SQUARE + shift, 6.0))
    assert found.room[0] == pytest.approx(6.0, abs=TOLERANCE)
    assert found.shift[0] == pytest.approx(shift, abs=1e-3)
    assert found.turn[0] == pytest.approx(0.0, abs=1e-5)


def test_a_shift_beyond_the_play_costs_what_is_beyond_it() -> None:
    """Off by 5 along 3-4-5, play 2: 3 are left in every hole of a square, and a turn helps no two of them."""
    found = best_moves(plates(SQUARE, SQUARE + np.array([3.0, 4.0]), 6.0, turn=0.1, shift=2.0))
    assert found.room[0] == pytest.approx(6.0 - 3.0, abs=TOLERANCE)
    assert found.shift[0] == pytest.approx([1.2, 1.6], abs=1e-2)


def test_a_turn_beyond_the_play_costs_the_chord_of_the_rest() -> None:
    """Turned by .05, play .02: each hole is off by the chord 2 R sin(.03 / 2), whatever the shift."""
    c, s = np.cos(0.05), np.sin(0.05)
    rods = SQUARE @ np.array([[c, s], [-s, c]])
    found = best_moves(plates(SQUARE, rods, 6.0, turn=0.02))
    off = 2.0 * np.hypot(90.0, 90.0) * np.sin(0.03 / 2.0)
    assert found.room[0] == pytest.approx(6.0 - off, abs=TOLERANCE)
    assert found.turn[0] == pytest.approx(0.02, abs=1e-4)


def test_the_right_turn_is_found_however_far_it_is() -> None:
    """A plate that only fits turned by 160 degrees: seven rods, no two alike, so no other turn will do."""
    rng = np.random.default_rng(3)
    holes = rng.uniform(-150.0, 150.0, (7, 2))
    c, s = np.cos(np.radians(160.0)), np.sin(np.radians(160.0))
    found = best_moves(plates(holes, holes @ np.array([[c, s], [-s, c]]) + [12.0, 5.0], 4.0))
    assert found.room[0] == pytest.approx(4.0, abs=TOLERANCE)
    assert np.degrees(found.turn[0]) == pytest.approx(160.0, abs=1e-3)


def test_a_leaning_rod_takes_half_its_lean_through_the_plate() -> None:
    """One rod that leans 2 mm through the plate: centered between, 1 mm is gone. Four that lean alike too."""
    one = best_moves(plates(np.zeros((2, 2)), np.array([[5.0, 5.0], [7.0, 5.0]]), 4.0))
    assert one.room[0] == pytest.approx(3.0, abs=TOLERANCE)
    both = np.concatenate([SQUARE, SQUARE])
    four = best_moves(plates(both, np.concatenate([SQUARE, SQUARE + np.array([0.0, 2.0])]), 4.0))
    assert four.room[0] == pytest.approx(3.0, abs=TOLERANCE)


def moved(found: Fits, other: Fits) -> float:
    return float(np.abs(found.room - other.room).max())


def test_the_room_stays_when_everything_is_turned_or_shifted_or_reordered() -> None:
    for seed in range(0, 40, 4):
        p = random_pattern(seed)
        first = best_moves(p)
        c, s = np.cos(1.1), np.sin(1.1)
        r = np.array([[c, s], [-s, c]])
        turned = Plates(p.holes @ r, p.rods @ r, p.slack, p.turn, p.shift)
        order = np.random.default_rng(seed).permutation(p.slack.shape[1])
        mixed = Plates(p.holes[:, order], p.rods[:, order], p.slack[:, order], p.turn, p.shift)
        assert moved(best_moves(turned), first) < 2.0 * TOLERANCE
        assert moved(best_moves(mixed), first) < 2.0 * TOLERANCE
        assert (
            moved(best_moves(Plates(p.holes, p.rods + 20.0, p.slack, p.turn, p.shift)), first)
            < 2.0 * TOLERANCE
        )


def test_plates_with_fewer_holes_beside_plates_with_more() -> None:
    two = random_pattern(4)
    alone = best_moves(two)
    k = two.slack.shape[1]
    wide = Plates(
        np.concatenate([two.holes, np.zeros((1, 5, 2))], axis=1),
        np.concatenate([two.rods, np.full((1, 5, 2), 1e4)], axis=1),
        np.concatenate([two.slack, np.full((1, 5), np.inf)], axis=1),
        two.turn,
        two.shift,
    )
    found = best_moves(wide)
    assert moved(found, alone) < TOLERANCE
    assert np.all(np.isinf(found.rooms[0, k:]))


def test_a_beam_over_rods_of_five_piers() -> None:
    """12 m of beam, ten rods: one stands 4 mm aside in the middle, so the beam gives 2 and no turn helps.

    The rods beside it stand where they should; of the offset 4 across, the tightest of both kinds of hole
    keeps slack - 2 when the beam shifts 2 across.
    """
    x = np.repeat(np.arange(5) * 3000.0 - 6000.0, 2)
    y = np.tile([-40.0, 40.0], 5)
    holes = np.column_stack([x, y])
    rods = holes.copy()
    rods[4, 1] += 4.0
    found = best_moves(plates(holes, rods, 6.0, turn=0.05))
    assert found.room[0] == pytest.approx(4.0, abs=TOLERANCE)
    assert found.bound[0] - found.room[0] <= TOLERANCE


def test_places_that_are_no_numbers_are_refused() -> None:
    rods = SQUARE.copy()
    rods[1, 0] = np.nan
    with pytest.raises(ValueError, match="has no place"):
        best_moves(plates(SQUARE, rods, 6.0))
