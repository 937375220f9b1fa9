"""From a surveyor's coordinates to the drawing's: the fit, and where every shot lies on the drawing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from clash.fits.best_fit import BestFit, as_it_stands, best_fit
from clash.fits.doubtful import cannot_be, disagreeing, too_far
from clash.fits.targets import Drawn, Target, in_site, targets
from models.motion import Array
from models.problems import BadInput, Place, Problem
from models.site import Site
from models.survey.shots import Shot, Shots

SUSPECT = 3.0
"""Times what a shot is sure to: what lies farther off than that, and than most points do, has no say."""
LEAST_SUSPECT = 3.0
"""mm: nearer than this nothing is suspect, however sure the site file says the shots are."""
FEWEST_PIERS = 3
"""Piers that a best fit over piers needs: over fewer it would take their misplacement for the site's."""
_NEAR = 1e6
"""mm: a drawing whose first pier lies nearer than 1 km to its origin is moved about that origin."""
Way = Literal["control points", "best fit", "as it stands"]


class Located(Struct, frozen=True, eq=False):
    """Shots in the drawing's axes.

    way: how the fit was found; fit: of the points in `fitted`, less `origin` (drawn) and `start` (measured),
    (2,) mm each, so that a survey's coordinates cost no digit.
    targets: every matched shot; at: (n, 3) mm, site axes, where it was measured (elevation NaN where none).
    lift: mm, how much higher the control points were measured than they are, on the mean; told, not applied.
    """

    way: Way
    fit: BestFit
    fitted: tuple[Target, ...]
    origin: Array
    start: Array
    targets: tuple[Target, ...]
    at: Array
    lift: float | None

    @property
    def about(self) -> Array:
        """(2,) mm, site axes: the point of the drawing whose move is told."""
        return np.zeros(2) if np.hypot(*self.origin) < _NEAR else self.origin

    @property
    def move(self) -> Array:
        """(2,) mm: measured less drawn, for the point `about` of the drawing."""
        c, s = np.cos(self.fit.turn), np.sin(self.fit.turn)
        from_origin = (self.about - self.origin) @ np.array([[c, s], [-s, c]])
        move: Array = from_origin + self.fit.move + self.start - self.about
        return move


def locate(site: Site, shots: Shots) -> Located:
    """Lay the shots over the drawing. Raises BadInput with one line for each point that cannot be."""
    aimed, unnumbered, problems = targets(site, shots.shots)
    if problems:
        raise BadInput(problems)
    if not aimed and unnumbered:
        wrong = (
            f"point {unnumbered[0].point} and all others have no number, so nothing says where the site is"
        )
        raise BadInput([Problem(unnumbered[0].place, wrong, "number the rods and dowels, like P7 ROD 3")])
    if not aimed:
        wrong = "no line names a part of this site"
        shown = f', like "{shots.unmatched[0][1][:60]}"' if shots.unmatched else ""
        instead = (
            "descriptions like P7 ROD 3, P7 TOP NE or P7 DOWEL 2 do; or say shots: pattern: in the site file"
        )
        raise BadInput([Problem(Place(shots.file), wrong + shown, instead)])
    origin = np.array([site.piers[0].spec.x, site.piers[0].spec.y])
    seen = _plan(t.shot for t in aimed)
    middle = np.median(seen, axis=0)
    start = origin if np.hypot(*(middle - origin)) < _NEAR else middle
    drawn, measured = np.array([t.drawn for t in aimed]) - origin, seen - start
    way, who = _who_decides(site, aimed)
    usual = max(SUSPECT * site.spec.shots.uncertainty, LEAST_SUSPECT)
    way, fit = _fit(way, drawn[who], measured[who], origin - start, usual)
    if way == "best fit" and site.spec.shots.fit is None:
        _, as_is = _fit("as it stands", drawn[who], measured[who], origin - start, usual)
        if _usually(as_is) <= _usually(fit) + site.spec.shots.uncertainty:
            way, fit = "as it stands", as_is  # a fit over piers would only spread what is misplaced
    at = fit.to_drawing(measured) + origin
    problems = cannot_be(
        site, shots, aimed, drawn, measured, at - origin - drawn, who, fit.turn, way == "as it stands"
    )
    if problems:
        raise BadInput(problems)
    more = _nearest(site, unnumbered, fit.to_drawing(_plan(unnumbered) - start) + origin, aimed)
    everything = [*aimed, *more]
    plan = fit.to_drawing(_plan(t.shot for t in everything) - start) + origin
    heights = np.array([t.shot.at[2] for t in everything])
    whole = np.column_stack([plan, heights])
    problems = [*too_far(site, more, plan[len(aimed) :]), *disagreeing(site, everything, whole)]
    if problems:
        raise BadInput(problems)
    fitted = tuple(aimed[k] for k in np.flatnonzero(who))
    return Located(way, fit, fitted, origin, start, tuple(everything), whole, _lift(site, aimed))


def nowhere() -> Located:
    """No shots at all: nothing is known of where the site is."""
    none = np.zeros((0, 2))
    as_is = as_it_stands(none, none, 0.0)
    return Located("as it stands", as_is, (), np.zeros(2), np.zeros(2), (), np.zeros((0, 3)), None)


def _plan(shots: Iterable[Shot]) -> Array:
    """(n, 2) mm: easting and northing."""
    return np.array([shot.at[:2] for shot in shots], dtype=float).reshape(-1, 2)


def _fit(way: Way, drawn: Array, measured: Array, stands: Array, usual: float) -> tuple[Way, BestFit]:
    if way != "as it stands":
        try:
            return way, best_fit(drawn, measured, usual)
        except ValueError:
            pass  # every point is one point: nothing turns about it, so nothing can be fitted
    as_is = as_it_stands(drawn, measured - stands, usual)
    return "as it stands", BestFit(0.0, stands, as_is.residuals, as_is.outliers, as_is.rms, as_is.ppm)


def _usually(fit: BestFit) -> float:
    """mm: the median distance of its points from where they were drawn."""
    return float(np.median(np.hypot(fit.residuals[:, 0], fit.residuals[:, 1])))


def _who_decides(site: Site, aimed: list[Target]) -> tuple[Way, NDArray[np.bool_]]:
    """How the fit is found, and which of the shots have a say in it.

    Control points where the site wants them, or where two were shot. Else rods and corners at the top, over
    three piers or more: a pier's foot may be out of plumb, and dowels stand where they like.
    """
    wanted = site.spec.shots.fit
    control = np.array([t.pier < 0 for t in aimed])
    steady = np.array([t.pier >= 0 and t.normal is None and t.shot.what in ("rod", "top") for t in aimed])
    if not steady.any():
        steady = np.array([t.pier >= 0 and t.normal is None for t in aimed])
    if wanted == "as it stands":
        return "as it stands", steady | control
    if wanted != "best fit" and len({t.shot.mark for t in aimed if t.pier < 0}) >= 2:
        return "control points", control
    if wanted == "control points":
        named = ", ".join(c.name for c in site.spec.site.control_points) or "none"
        wrong = "shots: fit: control points, but fewer than two of them are in the shots"
        raise BadInput([Problem(Place("site file"), wrong, f"the site's control points: {named}")])
    piers = {t.pier for t, says in zip(aimed, steady, strict=True) if says}
    if len(piers) >= FEWEST_PIERS or wanted == "best fit":
        return "best fit", steady
    return "as it stands", steady | control


def _nearest(site: Site, shots: list[Shot], at: Array, taken: list[Target]) -> list[Target]:
    """Rods and dowels without a number: each is the nearest that has none of its own yet, nearest first."""
    used = {(t.pier, t.shot.what, t.number) for t in taken}
    index = {pier.mark: i for i, pier in enumerate(site.piers)}
    pairs: list[tuple[float, int, int, int]] = []
    places: dict[tuple[int, str], Array] = {}
    for k, shot in enumerate(shots):
        i = index[shot.mark]
        if (i, shot.what) not in places:
            of = Drawn(site.piers[i])
            places[i, shot.what] = in_site(site.piers[i], of.rods if shot.what == "rod" else of.dowels)
        away = np.hypot(*(places[i, shot.what] - at[k]).T)
        pairs += [(float(d), k, i, n) for n, d in enumerate(away, start=1)]
    found: dict[int, Target] = {}
    for _, k, i, n in sorted(pairs):
        what = shots[k].what
        if k not in found and (i, what, n) not in used:
            used.add((i, what, n))
            found[k] = Target(shots[k], i, n, places[i, what][n - 1])
    left = [shots[k] for k in range(len(shots)) if k not in found]
    if left:
        raise BadInput(
            [
                Problem(
                    s.place, f"point {s.point}: {s.mark} has more {s.what}s shot than it has", "number them"
                )
                for s in left
            ]
        )
    return [found[k] for k in sorted(found)]


def _lift(site: Site, aimed: list[Target]) -> float | None:
    heights = {c.name: c.z for c in site.spec.site.control_points}
    lifts = [
        t.shot.at[2] - z
        for t in aimed
        if t.pier < 0 and (z := heights[t.shot.mark]) is not None and np.isfinite(t.shot.at[2])
    ]
    return float(np.mean(lifts)) if lifts else None
