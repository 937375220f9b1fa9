"""Holes that rods go through, in plates, beams and templates."""

from __future__ import annotations

from functools import lru_cache
from math import hypot

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from clash.gap_table import Index
from clash.measures.straight import runs
from clash.pier_view import PierView
from models.motion import Array
from models.outline import Loop
from models.part import ANCHORS, Part, Role
from models.solids import Prism
from models.spec.site import BeamSpec

HOLED = (Role.PLATE, Role.BEAM, Role.TEMPLATE)
"""What rods go through: from outside of the concrete, each rod through a hole of its own."""
SAME = 1e-6
"""mm: a round opening is a hole for a rod when its diameter is the specified one within this."""


class Holes(Struct, frozen=True, eq=False):
    """The holes for rods in one part, against the rods of the pier.

    part: its index; rods: (n,) the pier's rods, by index; centers: (m, 3) mm in the pier's frame, at half the
    part's thickness, and radii: (m,) mm; rod_at: (n, 3) mm, where the rods' center lines pass there; hole:
    (n,) the hole that each rod's center line passes through, -1 where it passes through none.
    """

    part: int
    rods: Index
    centers: Array
    radii: Array
    rod_at: Array
    hole: Index

    @property
    def empty(self) -> NDArray[np.bool_]:
        """(m,) which holes no rod's center line passes through."""
        return ~np.isin(np.arange(len(self.centers)), self.hole)


@lru_cache(maxsize=2)  # the rules of a pier ask one after the other
def holes(view: PierView) -> tuple[Holes, ...]:
    """Every part that rods go through, with its holes that belong to this pier."""
    rods = np.flatnonzero(view.roles(*ANCHORS))
    shanks = runs([view.parts[i] for i in rods])
    found: list[Holes] = []
    for i in np.flatnonzero(view.roles(*HOLED)):
        part = view.parts[i]
        solid = part.solid
        if not isinstance(solid, Prism):
            raise TypeError(f"{part.id} is no prism")
        middle = (solid.bottom + solid.top) / 2.0
        rings = [ring for ring in solid.outline.holes if for_rods(view, part, ring)]
        flat = np.array([ring.centers[0] for ring in rings], dtype=float).reshape(-1, 2)
        centers = solid.motion.points(np.column_stack([flat, np.full(len(flat), middle)]))
        radii = np.array([_radius(ring) for ring in rings], dtype=float)
        if part.role is Role.BEAM:
            own = _nearest_is(view, part, centers)
            centers, radii = centers[own], radii[own]
        z = float(solid.motion.points(np.array([0.0, 0.0, middle]))[2])
        rod_at = np.column_stack([shanks.at(z), np.full(len(rods), z)])
        found.append(Holes(int(i), rods, centers, radii, rod_at, _through(rod_at, centers, radii)))
    return tuple(found)


def _through(rod_at: Array, centers: Array, radii: Array) -> Index:
    hole = np.full(len(rod_at), -1, dtype=np.intp)
    if len(rod_at) and len(centers):
        apart = np.linalg.norm(rod_at[:, None, :2] - centers[None, :, :2], axis=2)
        nearest = np.argmin(apart, axis=1)
        within = apart[np.arange(len(rod_at)), nearest] < radii[nearest]
        hole[within] = nearest[within]
    return hole


def for_rods(view: PierView, part: Part, ring: Loop) -> bool:
    """Whether an opening is a hole for a rod: round, and in a plate or template of the specified diameter."""
    if len(ring.sweeps) != 1:
        return False
    seat = view.pier.spec.seat
    if part.role is Role.BEAM:
        return True
    holed = seat.plate if part.role is Role.PLATE else seat.template
    return holed is not None and abs(2.0 * _radius(ring) - holed.holes.diameter) < SAME


def _radius(ring: Loop) -> float:
    (x, y), (cx, cy) = ring.starts[0].tolist(), ring.centers[0].tolist()
    return hypot(x - cx, y - cy)


def beam_of(view: PierView, part: Part) -> BeamSpec | None:
    """What the site file says of a beam; None for a part that is no beam of it."""
    name = part.id.rpartition("/")[0]
    return next((beam for beam in view.site.beams if beam.name == name), None)


def undrilled(view: PierView, part: int) -> bool:
    """Whether a part is a beam whose holes nobody gave a diameter: they are drawn as wide as the rods."""
    beam = beam_of(view, view.parts[part]) if view.parts[part].role is Role.BEAM else None
    return beam is not None and beam.hole is None


def _nearest_is(view: PierView, part: Part, centers: Array) -> NDArray[np.bool_]:
    """(m,) which holes of a beam lie nearer to this pier than to any other that the beam goes over."""
    beam = beam_of(view, part)
    marks = set() if beam is None else set(beam.piers)
    others = [(*view.places[mark], 0.0) for mark in marks if mark != view.pier.mark]
    here = view.pier.frame.inverse().points(np.array(others, dtype=float).reshape(-1, 3))[:, :2]
    own = np.linalg.norm(centers[:, :2], axis=1)
    apart = np.linalg.norm(centers[:, None, :2] - here[None], axis=2)
    return np.asarray(np.all(own[:, None] <= apart, axis=1))
