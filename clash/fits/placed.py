"""Piers as placed: where the concrete and the rods came to stand, from located shots."""

from __future__ import annotations

import numpy as np
from msgspec import Struct, field

from clash.fits.locate import Located
from clash.fits.targets import Drawn, Target
from models.motion import Array, Motion
from models.site import Site

ONE_HEIGHT = 25.0
"""mm: shots of one rod nearer in height than this are one height."""
_NAN2 = np.full(2, np.nan)


class PlacedBar(Struct, frozen=True, eq=False):
    """A rod or dowel as placed.

    number: from 1; points: (n, 3) mm, pier's frame, one for each height, lowest first; uncertainty: mm, of
    each point in plan.
    """

    number: int
    points: Array
    uncertainty: float

    @property
    def leans(self) -> bool:
        """Whether two heights were shot, so that its lean is known."""
        return len(self.points) > 1

    @property
    def top(self) -> Array:
        """(3,) mm: the highest point that was shot."""
        top: Array = self.points[-1]
        return top

    def at(self, z: float) -> tuple[Array, float]:
        """Where it passes a height z (mm, pier's frame), (2,) mm, and how sure that is, mm.

        Upright through its only point, or in line with its lowest and highest: then what is sure of the two
        is carried along the line (the weights of the two points, both counted as going wrong).
        """
        low, high = self.points[0], self.points[-1]
        if not self.leans or not np.isfinite(z):
            return high[:2], self.uncertainty
        t = float((z - low[2]) / (high[2] - low[2]))
        return (1.0 - t) * low[:2] + t * high[:2], (abs(1.0 - t) + abs(t)) * self.uncertainty


class Stand(Struct, frozen=True, eq=False):
    """Where a thing of a pier stands in plan: off: (2,) mm, site axes, measured less drawn; turn: rad, NaN
    where it is not known; height: mm, mean elevation of its shots, site axes, NaN where none has one."""

    off: Array = field(default_factory=lambda: _NAN2)
    turn: float = np.nan
    height: float = np.nan

    @property
    def known(self) -> bool:
        """Whether its place in plan is known."""
        return bool(np.isfinite(self.off).all())


class PlacedPier(Struct, frozen=True, eq=False):
    """One pier as placed.

    index: among the site's piers; top, bottom: the concrete's, group: the rods' (all rods together).
    highest: mm, elevation of the highest shot of the top, NaN where none was shot.
    rods, dowels: by number, those that were measured.
    """

    index: int
    top: Stand
    bottom: Stand
    group: Stand
    highest: float
    rods: dict[int, PlacedBar]
    dowels: dict[int, PlacedBar]

    @property
    def stand(self) -> Stand:
        """Where the pier stands: its concrete, else its rods."""
        return self.top if self.top.known else self.group

    @property
    def turn(self) -> float:
        """rad: how the pier is turned, by its corners, else by its rods; NaN where neither says."""
        return self.group.turn if np.isnan(self.top.turn) else self.top.turn


def placed(site: Site, located: Located) -> list[PlacedPier]:
    """Every pier of the site, in its order, as far as it was shot."""
    mine: dict[int, list[int]] = {}
    for k, target in enumerate(located.targets):
        mine.setdefault(target.pier, []).append(k)
    return [
        _pier(site, i, [(located.targets[k], located.at[k]) for k in mine.get(i, [])])
        for i in range(len(site.piers))
    ]


def _pier(site: Site, index: int, shots: list[tuple[Target, Array]]) -> PlacedPier:
    pier = site.piers[index]
    of: dict[str, list[tuple[Target, Array]]] = {"rod": [], "dowel": [], "top": [], "bottom": []}
    for target, at in shots:
        of[target.shot.what].append((target, at))
    heights = [float(at[2]) for _, at in of["top"] if np.isfinite(at[2])]
    unsure = site.spec.shots.uncertainty
    back = pier.frame.inverse()
    rods, dowels = (_bars(of[what], back, unsure) for what in ("rod", "dowel"))
    center = np.array([pier.spec.x, pier.spec.y])
    drawn = Drawn(pier).rods
    numbers = sorted(rods)
    moved = np.array([rods[n].top[:2] for n in numbers]).reshape(-1, 2)
    # Rods count where their tops are: a lean shows between their two heights, not as the group's place.
    at_top = pier.frame.points(np.column_stack([moved, np.zeros(len(moved))]))[:, :2]
    drawn_at = pier.frame.points(np.column_stack([drawn, np.zeros(len(drawn))]))[:, :2]
    group = _stand(
        [(drawn_at[n - 1], at, None, True) for n, at in zip(numbers, at_top, strict=True)], center, []
    )
    return PlacedPier(
        index,
        _stand(_rows(of["top"]), center, heights),
        _stand(_rows(of["bottom"]), center, [float(at[2]) for _, at in of["bottom"] if np.isfinite(at[2])]),
        group,
        max(heights, default=np.nan),
        rods,
        dowels,
    )


_Row = tuple[Array, Array, Array | None, bool]
"""Drawn and measured (2,), the normal along which alone it is known, whether it says how the thing turned."""


def _rows(shots: list[tuple[Target, Array]]) -> list[_Row]:
    return [(t.drawn, at[:2], t.normal, t.corner) for t, at in shots]


def _stand(rows: list[_Row], center: Array, heights: list[float]) -> Stand:
    """The shift and turn of least squares about a pier's center, as far as the points say."""
    height = float(np.mean(heights)) if heights else np.nan
    turning = sum(row[3] for row in rows) >= 2
    left, right = [], []
    for drawn, at, normal, _ in rows:
        arm, off = drawn - center, at - drawn
        for way in np.eye(2) if normal is None else (normal,):
            swing = float(way[1] * arm[0] - way[0] * arm[1]) if normal is None else 0.0
            left.append([way[0], way[1], *([swing] if turning else [])])
            right.append(float(way @ off))
    if not left:
        return Stand(height=height)
    a = np.array(left)
    # Lengths of millimeters beside arms of hundreds of them: scaled, so that rank means what it says.
    scale = np.maximum(np.abs(a).max(axis=0), 1e-300)
    solved, _, rank, _ = np.linalg.lstsq(a / scale, np.array(right), rcond=1e-9)
    solved = solved / scale
    if rank < a.shape[1]:
        return Stand(height=height)
    return Stand(solved[:2], float(solved[2]) if turning else np.nan, height)


def _bars(shots: list[tuple[Target, Array]], back: Motion, unsure: float) -> dict[int, PlacedBar]:
    """The bars that were shot, by number; back: carries site axes into the pier's frame."""
    by_number: dict[int, list[Array]] = {}
    for target, at in shots:
        by_number.setdefault(target.number, []).append(at)
    return {
        number: PlacedBar(number, _by_height(_in_pier(np.array(some), back)), unsure)
        for number, some in sorted(by_number.items())
    }


def _in_pier(at: Array, back: Motion) -> Array:
    """Points (n, 3) in the pier's frame; one without an elevation stays without one."""
    lacking = np.isnan(at[:, 2])
    points = back.points(np.where(np.isnan(at), 0.0, at))
    points[lacking, 2] = np.nan
    return points


def _by_height(at: Array) -> Array:
    """One point for each height, lowest first: the mean of what was shot there; one where heights lack."""
    if not np.isfinite(at[:, 2]).all():
        return np.array([[*at[:, :2].mean(axis=0), np.nan]])
    at = at[np.argsort(at[:, 2])]
    steps = np.concatenate([[0], np.cumsum(np.diff(at[:, 2]) > ONE_HEIGHT)])
    heights: Array = np.array([at[steps == k].mean(axis=0) for k in range(int(steps[-1]) + 1)])
    return heights
