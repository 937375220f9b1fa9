"""Points that cannot be where a file says: swapped axes, other units, lost decimal points, wrong names."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from clash.fits.best_fit import best_fit
from clash.fits.targets import Target
from models.lengths import show_length
from models.motion import Array
from models.problems import Place, Problem
from models.site import Site
from models.survey.shots import UNITS, Shots

CREDIBLE = 600.0
"""mm: nothing is cast 2 ft beside its place; a point off by more is a mistake of the file (practice)."""
HITS = 150.0
"""mm: an explanation explains a point when it brings it this near to where it was drawn."""
SAME_HEIGHT = 25.0
"""mm: two shots of one rod nearer in height than this are one height, and have to agree."""
_SHARE = 0.5
"""The share of points beyond belief from which on the whole file is wrong, not single lines of it."""


def cannot_be(
    site: Site,
    shots: Shots,
    aimed: list[Target],
    drawn: Array,
    measured: Array,
    off: Array,
    deciding: NDArray[np.bool_],
    turn: float,
    stands: bool,
) -> list[Problem]:
    """One line for each point that lies beyond belief, or one for the whole file where it explains them all.

    drawn, measured: (n, 2) mm, each from its own origin; off: (n, 2) mm, measured less drawn after the fit;
    deciding: (n,) the points that the fit is of; turn: rad, of the fit; stands: whether nothing was fitted.
    """
    far = np.hypot(off[:, 0], off[:, 1])
    wrong = far > CREDIBLE
    if not wrong.any():
        return []
    if wrong.mean() > _SHARE:
        return [_whole_file(site, shots, drawn, measured, off, deciding, stands)]
    units = site.units
    problems = []
    for k in np.flatnonzero(wrong):
        t = aimed[k]
        where = (
            f"point {t.shot.point} ({t.shot.label}) lies {show_length(far[k], units)} from where it is drawn"
        )
        problems.append(Problem(t.shot.place, where, _why(int(k), aimed, drawn, off, turn, shots)))
    return problems


def too_far(site: Site, found: list[Target], at: Array) -> list[Problem]:
    """One line for each point without a number that lies beyond belief from all that it could be."""
    units = site.units
    problems = []
    for t, place in zip(found, at, strict=True):
        far = float(np.hypot(*(place - t.drawn)))
        if far > CREDIBLE:
            wrong = f"point {t.shot.point} lies {show_length(far, units)} from the nearest {t.shot.label}"
            problems.append(Problem(t.shot.place, wrong, "check its numbers and its mark"))
    return problems


def disagreeing(site: Site, aimed: list[Target], at: Array) -> list[Problem]:
    """One line for each point that was shot twice at one height, at two places; at: (n, 3) mm, site axes."""
    units = site.units
    limit = 2.0 * site.spec.shots.uncertainty
    groups: dict[tuple[str, str, str, int], list[int]] = {}
    for k, t in enumerate(aimed):
        which = "" if t.number else t.shot.which
        groups.setdefault((t.shot.mark, t.shot.what, which, t.number), []).append(k)
    problems = []
    for group in groups.values():
        for i, later in enumerate(group):
            for earlier in group[:i]:
                away = at[later] - at[earlier]
                level = not abs(away[2]) > SAME_HEIGHT or aimed[later].number == 0
                apart = float(np.hypot(away[0], away[1]))
                if level and apart > limit:
                    shot, first = aimed[later].shot, aimed[earlier].shot
                    wrong = (
                        f"{shot.label} was shot twice, as points {first.point} and {shot.point}, "
                        f"{show_length(apart, units)} apart"
                    )
                    problems.append(
                        Problem(shot.place, wrong, "keep the one that holds, or name what the other is")
                    )
    return problems


def _whole_file(
    site: Site,
    shots: Shots,
    drawn: Array,
    measured: Array,
    off: Array,
    deciding: NDArray[np.bool_],
    stands: bool,
) -> Problem:
    """What is wrong where most points lie beyond belief."""
    place, units = Place(shots.file), site.units
    here, seen = drawn[deciding], measured[deciding]
    if len(here) >= 2 and np.ptp(here, axis=0).max() > 0.0:
        swapped = best_fit(here, seen[:, ::-1], HITS)
        if np.median(np.hypot(*swapped.residuals.T)) <= HITS:
            wrong = "northing and easting are swapped: read the other way round, the points fit the drawing"
            return Problem(
                place, wrong, "swap the two columns, or say shots: columns: PENZD in the site file"
            )
        spread = _spread(here, seen)
        for unit, size in UNITS.items():
            ratio = size / UNITS[shots.unit]
            if abs(spread * ratio - 1.0) < 0.01 and abs(ratio - 1.0) > 0.01:
                wrong = (
                    f"the points are as far apart as drawn when their numbers are in {unit}, not {shots.unit}"
                )
                return Problem(place, wrong, f"say shots: units: {unit} in the site file")
        if stands and np.median(np.hypot(*best_fit(here, seen, HITS).residuals.T)) <= HITS:
            wrong = "the points fit the drawing only after the whole site is turned and moved"
            return Problem(
                place, wrong, "shoot two control points, or say shots: fit: best fit in the site file"
            )
    usual = show_length(float(np.median(np.hypot(off[:, 0], off[:, 1]))), units)
    wrong = f"the points do not fit the drawing: half of them are off by {usual} and more"
    return Problem(place, wrong, "check the units, the columns and that this is the right site")


def _why(k: int, aimed: list[Target], drawn: Array, off: Array, turn: float, shots: Shots) -> str:
    """What explains one point that lies beyond belief, as what to do about it."""
    c, s = np.cos(turn), np.sin(turn)
    raw = np.array(aimed[k].shot.at[:2])
    target = raw - off[k] @ np.array([[c, s], [-s, c]])
    size = UNITS[shots.unit]
    if np.hypot(*(raw[::-1] - target)) <= HITS:
        return "its northing and easting are swapped: swap the two"
    for unit, other in UNITS.items():
        if unit != shots.unit and np.hypot(*(raw * other / size - target)) <= HITS:
            return f"it fits when its numbers are in {unit}: write them in {shots.unit}"
    for axis, name in ((1, "northing"), (0, "easting")):
        for power in (-4, -3, -2, -1, 1, 2, 3, 4):
            tried = raw.copy()
            tried[axis] *= 10.0**power
            if np.hypot(*(tried - target)) <= HITS:
                return (
                    f"its {name} fits as {tried[axis] / size:.3f}: is a decimal point missing or misplaced?"
                )
    near = [
        t.shot.label
        for i, t in enumerate(aimed)
        if i != k and t.shot.what == aimed[k].shot.what and np.hypot(*(drawn[i] - drawn[k] - off[k])) <= HITS
    ]
    if near:
        return f"it lies where {near[0]} is drawn: is it named rightly?"
    return "check its numbers and its name"


def _spread(drawn: Array, measured: Array) -> float:
    """How many times as far apart neighbors in the list are measured as drawn (the median); 1 without any."""
    here, seen = (np.hypot(*np.diff(points, axis=0).T) for points in (drawn, measured))
    apart = here > 1.0  # of what is drawn: what is read in too small a unit lies nearer together than that
    return float(np.median(seen[apart] / here[apart])) if apart.any() else 1.0
