"""Random pairs of bars, family by family, as cages hold them: what the proofs of the kernel run over."""

from __future__ import annotations

from collections.abc import Callable
from math import pi

import numpy as np

from models.motion import Motion
from models.solids import Swept
from tests.support.bars import Walk, moved_anyhow, straight_bar

Pair = tuple[Swept, Swept]
Draw = Callable[[np.random.Generator], Pair]


def skew(rng: np.random.Generator) -> Pair:
    """Two straight bars lying anyhow, apart or through each other."""

    def one() -> Swept:
        return straight_bar(rng.normal(size=3) * 60.0, rng.normal(size=3) * 60.0, rng.uniform(3.0, 20.0))

    return one(), one()


def square_to_each_other(rng: np.random.Generator) -> Pair:
    """Bars along the axes on a coarse grid: parallel, crossing, end on, flush and touching exactly."""

    def one() -> Swept:
        start = rng.integers(-3, 4, 3) * 10.0
        along = np.eye(3)[rng.integers(3)] * rng.choice([20.0, 50.0, 80.0])
        return straight_bar(start, start + along, float(rng.choice([5.0, 10.0])))

    return one(), one()


def nearly_parallel(rng: np.random.Generator) -> Pair:
    """Bars side by side or in line, exactly parallel or off by 1e-11 to 0.1 rad or so."""
    start, end = rng.normal(size=3) * 60.0, rng.normal(size=3) * 60.0
    along, off = end - start, rng.normal(size=3) * 15.0
    first = rng.uniform(-1.0, 2.0)
    last = first + rng.uniform(-1.0, 1.0)
    turn = rng.normal(size=3) * 10.0 ** rng.uniform(-9.0, 1.0) * rng.integers(2)
    return (
        straight_bar(start, end, rng.uniform(3.0, 20.0)),
        straight_bar(start + first * along + off, start + last * along + off + turn, rng.uniform(3.0, 20.0)),
    )


def end_on(rng: np.random.Generator) -> Pair:
    """A bar that ends near another's side or end: T, L and butt, apart, touching or poking in."""
    radius, other = rng.uniform(3.0, 20.0, 2)
    turn = Walk(np.zeros(3), np.eye(3)[0], np.eye(3)[1]).roll(rng.uniform(0.0, 2.0 * pi))
    heading = turn.heading * rng.uniform(-0.3, 0.3) + turn.side
    heading /= np.linalg.norm(heading)
    tip = np.array([rng.choice([rng.uniform(0.0, 100.0), rng.normal() * 2.0]), 0.0, 0.0])
    tip = tip + turn.side * (other + rng.normal() * 5.0)
    whole = moved_anyhow(rng, 50.0)
    pair = (
        straight_bar((0.0, 0.0, 0.0), (100.0, 0.0, 0.0), other),
        straight_bar(tip, tip + 80.0 * heading, radius),
    )
    return pair[0].moved(whole), pair[1].moved(whole)


def any_bend(rng: np.random.Generator) -> float:
    """An angle that bars are bent by, or any other, rad."""
    return float(rng.choice([pi / 2.0, pi * 0.75, pi, rng.uniform(0.2, 3.1)]))


def bent_bar(rng: np.random.Generator, reach: float) -> Swept:
    """A hooked bar, a bare bend, a bar bent in two planes, or a tie with its hooks, lying anyhow."""
    radius = rng.uniform(3.0, 12.0)
    bend = radius * rng.uniform(1.5, 7.0)
    walk = Walk(np.zeros(3), np.eye(3)[0], np.eye(3)[1])
    kind = rng.integers(5)
    if kind == 0:
        walk.ahead(rng.uniform(5.0, 150.0)).bend(any_bend(rng), bend).ahead(rng.uniform(20.0, 100.0))
    elif kind == 1:
        walk.bend(any_bend(rng), bend)
    elif kind == 2:
        walk.ahead(60.0).bend(any_bend(rng), bend).roll(rng.uniform(0.0, 6.0))
        walk.ahead(60.0).bend(any_bend(rng), bend).ahead(40.0)
    elif kind == 3:
        walk.bend(any_bend(rng), bend).ahead(50.0).bend(any_bend(rng), bend)
    else:
        walk.ahead(60.0).bend(pi * 0.75, bend)
        for _ in range(3):
            walk.ahead(rng.uniform(60.0, 100.0)).bend(pi / 2.0, bend)
        walk.ahead(50.0).bend(pi * 0.75, bend).ahead(60.0)
    return walk.bar(radius).moved(moved_anyhow(rng, reach))


def bend_and_bar(rng: np.random.Generator) -> Pair:
    """A bent bar and a straight one."""
    reach = float(rng.choice([20.0, 50.0, 90.0]))
    start, end = rng.normal(size=3) * reach, rng.normal(size=3) * reach * 2.0
    return bent_bar(rng, reach), straight_bar(start, end, rng.uniform(3.0, 12.0))


def two_bends(rng: np.random.Generator) -> Pair:
    """Two bent bars."""
    reach = float(rng.choice([20.0, 50.0, 90.0]))
    return bent_bar(rng, reach), bent_bar(rng, reach)


def stacked(rng: np.random.Generator) -> Pair:
    """A bent bar and its like a little way off, as ties are stacked; now and then turned a quarter."""
    bar = bent_bar(rng, 0.0)
    shift = rng.normal(size=3) * 30.0
    off = Motion.turned(
        float(rng.integers(4)) * pi / 2.0, (float(shift[0]), float(shift[1]), float(shift[2]))
    )
    return bar, bar.moved(off)


STRAIGHT: dict[str, Draw] = {
    "skew": skew,
    "square to each other": square_to_each_other,
    "nearly parallel": nearly_parallel,
    "end on": end_on,
}
BENT: dict[str, Draw] = {"bend and bar": bend_and_bar, "two bends": two_bends, "stacked": stacked}
