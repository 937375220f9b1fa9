"""Piers by tape: rods where their offsets from two faces put them, checked by distances between them."""

from __future__ import annotations

from collections.abc import Iterable
from math import sqrt

import numpy as np

from clash.fits.placed import PlacedBar, PlacedPier, Stand
from clash.fits.targets import Drawn
from models.lengths import show_length
from models.motion import Array
from models.problems import BadInput, Problem
from models.site import Site
from models.survey.tape import Taped

_SURE = 3.0
"""Times what tape is sure to: offsets of two rods and the distance between them may disagree by so much."""


def taped(site: Site, tape: Iterable[Taped]) -> list[PlacedPier]:
    """Every pier of the site, in its order, its rods as far as they were measured; by their own concrete.

    Raises BadInput for faces that an outline does not have, for rods that there are not, and for distances
    that disagree with the offsets.
    """
    unsure = site.spec.shots.tape_uncertainty
    across = sqrt(2.0) * unsure  # two offsets, square to each other, may both be off
    index = {pier.mark: i for i, pier in enumerate(site.piers)}
    at: dict[tuple[int, int], Array] = {}
    problems: list[Problem] = []
    for rod in tape:
        i = index[rod.mark]
        of = Drawn(site.piers[i])
        if not 1 <= rod.number <= len(of.rods):
            wrong = f"{rod.mark} has {len(of.rods)} rods, and this is rod {rod.number}"
            problems.append(Problem(rod.place, wrong, "check the number"))
            continue
        found = _place(rod, of)
        if isinstance(found, Problem):
            problems.append(found)
        else:
            at[i, rod.number] = found
    problems += _disagreeing(site, tape, index, at, unsure)
    if problems:
        raise BadInput(problems)
    rods: dict[int, dict[int, PlacedBar]] = {}
    for (i, number), (x, y) in at.items():
        rods.setdefault(i, {})[number] = PlacedBar(number, np.array([[x, y, np.nan]]), across)
    nowhere = Stand()
    return [
        PlacedPier(i, nowhere, nowhere, nowhere, np.nan, dict(sorted(rods.get(i, {}).items())), {})
        for i in range(len(site.piers))
    ]


def _place(rod: Taped, of: Drawn) -> Array | Problem:
    """(2,) mm, pier's frame: the point as far inside two faces as measured."""
    normals, reach = [], []
    for which, inside in rod.faces:
        found = of.on_outline(which)
        if found is None or found[1] is None or of.pier.spec.outline.round is not None:
            wrong = f"{rod.mark} has no flat face that looks {which}"
            return Problem(rod.place, wrong, "name the face by the way it looks, N, NE, E and so on")
        point, normal = found[0], found[1]
        normals.append(normal)
        reach.append(float(normal @ point) - inside)
    across = np.array(normals)
    if abs(np.linalg.det(across)) < 0.1:
        wrong = (
            f"{rod.mark} rod {rod.number}: the two faces are opposite each other, so its place is not known"
        )
        return Problem(rod.place, wrong, "measure from two faces that meet")
    place: Array = np.linalg.solve(across, np.array(reach))
    return place


def _disagreeing(
    site: Site, tape: Iterable[Taped], index: dict[str, int], at: dict[tuple[int, int], Array], unsure: float
) -> list[Problem]:
    units = site.units
    problems = []
    for rod in tape:
        i = index[rod.mark]
        for other, measured in rod.others:
            if (i, rod.number) not in at or (i, other) not in at:
                continue
            by_offsets = float(np.hypot(*(at[i, rod.number] - at[i, other])))
            if abs(by_offsets - measured) > _SURE * unsure:
                wrong = (
                    f"{rod.mark} rod {rod.number} to rod {other}: {show_length(measured, units)} by tape, "
                    f"{show_length(by_offsets, units)} by their offsets from the faces"
                )
                problems.append(Problem(rod.place, wrong, "measure both again"))
    return problems
