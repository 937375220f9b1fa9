"""Beams over beam seats, as one pier sees them: where each runs, where it is drilled, how high it lies."""

from __future__ import annotations

from functools import lru_cache
from math import atan2, hypot, radians

import numpy as np
from msgspec import Struct

from models.motion import Array, Motion, turned_points
from models.outline import Loop, Outline, rectangle
from models.seat.drilled import drilled, holes_fit
from models.seat.pattern import rod_positions
from models.seat.rods import measures
from models.setting import Setting
from models.solids import Prism
from models.spec.pier import PierSpec
from models.spec.site import BeamSpec, SiteSpec


class BeamPlan(Struct, frozen=True, eq=False):
    """A beam, in the frame of one pier.

    solid: its outline has x along the run from the first pier's center, y to the left; the motion carries it
    into the pier's frame, whose elevations it shares.
    """

    spec: BeamSpec
    solid: Prism

    @property
    def part_id(self) -> str:
        """The beam's id, the same at every pier."""
        return f"{self.spec.name}/beam"

    @property
    def turn(self) -> float:
        """rad from the pier's x to the beam's run."""
        rotation = self.solid.motion.rotation
        return atan2(rotation[1, 0], rotation[0, 0])

    def carries(self, x: float, y: float) -> bool:
        """Whether a point of the pier's plan lies under the beam."""
        along, left, _ = self.solid.motion.inverse().points(np.array([x, y, 0.0]))
        low, _, high, _ = self.solid.outline.outer.starts
        return bool(low[0] <= along <= high[0] and low[1] <= left <= high[1])


@lru_cache(maxsize=2)  # the builders of a pier's parts ask one after the other
def beams_at(setting: Setting) -> tuple[BeamPlan, ...]:
    """Every beam that lists this pier. Raises ValueError with one sentence for a beam that cannot exist."""
    mark = setting.spec.mark
    return tuple(_plan(setting, beam) for beam in setting.site.beams if mark in beam.piers)


def beam_under(beams: tuple[BeamPlan, ...], x: float, y: float) -> BeamPlan | None:
    """The first beam that a rod at (x, y) of the pier's plan comes up through; None when there is none."""
    return next((beam for beam in beams if beam.carries(x, y)), None)


def _plan(setting: Setting, beam: BeamSpec) -> BeamPlan:
    piers = _listed(setting.site, beam)
    first, here = piers[0], setting.spec
    run, length = _run(beam, piers)
    before, after = beam.overhang if isinstance(beam.overhang, tuple) else (beam.overhang, beam.overhang)
    total = before + length + after
    if total <= 0.0:
        raise ValueError(f"beam {beam.name} has no length: give the overhang past its pier")
    outer = rectangle(total, beam.width, ((length + after - before) / 2.0, beam.offset))
    # Differences first: a survey's coordinates must not cost a digit.
    toward = np.array([first.x - here.x, first.y - here.y])
    turn = radians(here.turn)
    shift = turned_points(toward[None, :], -turn)[0]
    motion = Motion.turned(run - turn, (float(shift[0]), float(shift[1]), 0.0))
    bottom = max(pier.top for pier in piers) + beam.above - here.top
    return BeamPlan(beam, Prism(_drilled(beam, piers, outer, run), bottom, bottom + beam.depth, motion))


def _listed(site: SiteSpec, beam: BeamSpec) -> list[PierSpec]:
    wanted = set(beam.piers)
    found = {pier.mark: pier for pier in site.piers if pier.mark in wanted}
    missing = [mark for mark in beam.piers if mark not in found]
    if missing:
        raise ValueError(f"beam {beam.name} runs over {missing[0]}, but there is no such pier")
    return [found[mark] for mark in beam.piers]


def _run(beam: BeamSpec, piers: list[PierSpec]) -> tuple[float, float]:
    """Direction (rad from site x) and distance (mm) from the first pier's center to the last's."""
    dx, dy = piers[-1].x - piers[0].x, piers[-1].y - piers[0].y
    length = hypot(dx, dy)
    if length > 0.0:
        return atan2(dy, dx), length
    if beam.direction is None:
        raise ValueError(f"beam {beam.name} needs its direction, because it stands on a single place")
    return radians(beam.direction), 0.0


def _drilled(beam: BeamSpec, piers: list[PierSpec], outer: Loop, run: float) -> Outline:
    """The beam's plan with its holes.

    Listed holes are cut as listed. Else one is cut at every rod that leaves wood all round; where a rod
    stands too near the beam's edge there is no hole, and the rod is measured as running through it. A hole
    whose diameter nobody gave has the rod's own.
    """
    what = f"beam {beam.name}"
    if beam.holes_at is not None:
        if beam.hole is None:
            raise ValueError(f"{what} needs the diameter of its holes")
        centers = np.array(beam.holes_at, dtype=float).reshape(-1, 2) + np.array([0.0, beam.offset])
        return drilled(outer, centers, beam.hole, (), what)
    outline = Outline(outer)
    for diameter, centers in _at_rods(beam, piers, run).items():
        fitting = centers[holes_fit(outer, centers, diameter)]
        outline = Outline(outer, outline.holes + drilled(outer, fitting, diameter, (), what).holes)
    return outline


def _at_rods(beam: BeamSpec, piers: list[PierSpec], run: float) -> dict[float, Array]:
    """Centers (n, 2) of the rods of every beam seat under the beam, in the beam's frame, by hole diameter."""
    found: dict[float, list[Array]] = {}
    for pier in piers:
        rods = pier.seat.rods
        if pier.seat.type != "beam" or rods is None:
            continue
        from_first = np.array([pier.x - piers[0].x, pier.y - piers[0].y])
        in_site = turned_points(rod_positions(pier), radians(pier.turn)) + from_first
        found.setdefault(beam.hole or measures(rods)[0], []).append(turned_points(in_site, -run))
    return {diameter: np.concatenate(centers) for diameter, centers in found.items()}
