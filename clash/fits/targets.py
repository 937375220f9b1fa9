"""Where each shot was drawn: rods, dowels, corners and faces of piers, control points."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from math import cos, pi, radians, sin

import numpy as np
from msgspec import Struct

from models.motion import Array
from models.part import ANCHORS, Part, Role
from models.pier import Pier
from models.problems import Problem
from models.shapes.outline_from import loop_of
from models.site import Site
from models.solids import Swept
from models.survey.shots import Shot
from models.winds import WINDS, wind

_NUMBERED = {"rod": "rods", "dowel": "dowels"}


class Target(Struct, frozen=True, eq=False):
    """What a shot was aimed at.

    pier: index of the pier, -1 for a control point; number: of the rod or dowel, from 1, 0 for others.
    drawn: (2,) mm, site axes; normal: (2,) unit, outward, where only the distance along it is known (a point
    anywhere on a face, or on the side of a round pier), else None; corner: whether it is a corner.
    """

    shot: Shot
    pier: int
    number: int
    drawn: Array
    normal: Array | None = None
    corner: bool = False


class Drawn:
    """The drawn places of one pier, in its own frame."""

    def __init__(self, pier: Pier) -> None:
        self.pier = pier

    @cached_property
    def rods(self) -> Array:
        """(n, 2) mm: the rods or bar anchors, in their order."""
        return _tops(part for part in self.pier.parts if part.role in ANCHORS)

    @cached_property
    def dowels(self) -> Array:
        """(n, 2) mm: the dowels where they stand highest, in their order."""
        return _tops(part for part in self.pier.parts if part.role is Role.DOWEL)

    @cached_property
    def corners(self) -> tuple[Array, Array, Array]:
        """Corners (n, 2), and the normals (n, 2) of the straight edges that arrive and leave there.

        The corners of the outline as drawn, before any chamfer is cut: where two faces would meet.
        """
        loop = loop_of(self.pier.spec.outline)
        edges = loop.ends - loop.starts
        lengths = np.maximum(np.hypot(edges[:, 0], edges[:, 1]), 1e-300)
        normals = np.column_stack([edges[:, 1], -edges[:, 0]]) / lengths[:, None]
        straight = (loop.sweeps == 0.0) & (np.roll(loop.sweeps, 1) == 0.0)
        return loop.starts[straight], np.roll(normals, 1, axis=0)[straight], normals[straight]

    def on_outline(self, which: str) -> tuple[Array, Array | None, bool] | None:
        """The place on the outline that a wind names: point, normal of a face, whether it is a corner.

        A corner looks the way between its two faces; of all corners and faces, the one that looks most the
        named way. None where the outline has none that looks within 30 degrees of it.
        """
        angle = WINDS.index(which) * pi / 4.0 - radians(self.pier.spec.turn)
        way = np.array([cos(angle), sin(angle)])
        outline = self.pier.spec.outline
        if outline.round is not None:
            return np.array(outline.center) + way * outline.round / 2.0, way, False
        corners, arriving, leaving = self.corners
        if not len(corners):
            return None
        looks = arriving + leaving
        looks = looks / np.maximum(np.hypot(looks[:, 0], looks[:, 1]), 1e-300)[:, None]
        at_corner, on_face = looks @ way, leaving @ way
        if max(at_corner.max(), on_face.max()) < cos(pi / 6.0):
            return None
        if at_corner.max() > on_face.max():
            return corners[np.argmax(at_corner)], None, True
        k = int(np.argmax(on_face))
        return corners[k], leaving[k], False


def targets(site: Site, shots: tuple[Shot, ...]) -> tuple[list[Target], list[Shot], list[Problem]]:
    """What each shot was aimed at; the shots of rods and dowels that have no number; what cannot be."""
    index = {pier.mark: i for i, pier in enumerate(site.piers)}
    controls = {c.name: np.array([c.x, c.y]) for c in site.spec.site.control_points}
    drawn: dict[int, Drawn] = {}
    aimed: list[Target] = []
    unnumbered: list[Shot] = []
    problems: list[Problem] = []
    for shot in shots:
        if shot.what == "control":
            aimed.append(Target(shot, -1, 0, controls[shot.mark]))
            continue
        i = index[shot.mark]
        of = drawn.setdefault(i, Drawn(site.piers[i]))
        found = _aimed(shot, i, of)
        if isinstance(found, Target):
            aimed.append(found)
        elif found is None:
            unnumbered.append(shot)
        else:
            problems.append(found)
    return aimed, unnumbered, problems


def in_site(pier: Pier, points: Array) -> Array:
    """Points (n, 2) of a pier's plan, mm, in site axes."""
    flat: Array = pier.frame.points(np.column_stack([points, np.zeros(len(points))]))[:, :2]
    return flat


def _aimed(shot: Shot, i: int, of: Drawn) -> Target | Problem | None:
    pier = of.pier
    if shot.what in _NUMBERED:
        places = of.rods if shot.what == "rod" else of.dowels
        if not shot.which:
            return None if len(places) else _no(shot, pier, 0)
        number = _number(shot.which, pier, places)
        if number is None:
            return _no(shot, pier, len(places))
        return Target(shot, i, number, in_site(pier, places[number - 1 : number])[0])
    if not shot.which:
        return Target(shot, i, 0, in_site(pier, np.zeros((1, 2)))[0])
    found = of.on_outline(shot.which) if shot.which in WINDS else None
    if found is None:
        wrong = f"{shot.label}: the outline of {pier.mark} has no corner or face called {shot.which}"
        return Problem(shot.place, wrong, f"name a wind: {', '.join(WINDS)}")
    point, normal, corner = found
    turned = None if normal is None else pier.frame.vectors(np.array([*normal, 0.0]))[:2]
    return Target(shot, i, 0, in_site(pier, point[None, :])[0], turned, corner)


def _number(which: str, pier: Pier, places: Array) -> int | None:
    """The number that a number or a wind names, from 1; None where it names none, or more than one."""
    if which.isdigit():
        return int(which) if 1 <= int(which) <= len(places) else None
    looks = [wind(pier.frame, x, y) == which for x, y in places.tolist()]
    return looks.index(True) + 1 if sum(looks) == 1 else None


def _no(shot: Shot, pier: Pier, count: int) -> Problem:
    things = _NUMBERED[shot.what]
    have = f"{count} {things}" if count else f"no {things}"
    wrong = f"point {shot.point} is {shot.label}, and {pier.mark} has {have}"
    instead = f"number them 1 to {count}, or name a wind that only one of them stands in" if count else ""
    return Problem(shot.place, wrong, instead or "check the mark")


def _tops(parts: Iterator[Part]) -> Array:
    """(n, 2): plan of the first knot of each bar, which is its upper end."""
    points = [p.solid.knots[np.argmax(p.solid.knots[:, 2]), :2] for p in parts if isinstance(p.solid, Swept)]
    return np.array(points, dtype=float).reshape(-1, 2)
