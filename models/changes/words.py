"""What was tried on a pier, in words, and which holes went along with its rods."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from models.lengths import Units, write_angle, write_length
from models.motion import Motion
from models.pier import Pier
from models.seat.pattern import middle
from models.spec.cage import Ties
from models.spec.pier import PierSpec
from models.spec.seat import Pattern
from models.spec.site import SiteSpec
from models.winds import wind

_SEEN = 1e-3
"""mm: a shift of less is what rounding leaves of a turn."""


def in_words(was: Pier, now: Pier, units: Units) -> tuple[str, ...]:
    """The differences of a pier as tried from the pier as drawn, each in a few words; none where there are
    none."""
    said: list[str] = []
    before, after = _pattern(was.spec), _pattern(now.spec)
    if before is not None and after is not None:
        shift = middle(after) - middle(before)
        if ways := list(_ways(shift.tolist(), was.frame, units)):
            said.append(f"rods {' and '.join(ways)}")
        if turn := (after.turn - before.turn + 180.0) % 360.0 - 180.0:
            sense = "counterclockwise" if turn > 0.0 else "clockwise"
            said.append(f"rods turned {write_angle(abs(turn))}° {sense}")
    old, new = (ties.moved if (ties := _ties(pier.spec)) is not None else {} for pier in (was, now))
    for number in sorted(old.keys() | new.keys()):
        up = new.get(number, 0.0) - old.get(number, 0.0)
        if up:
            name = "tie" if was.spec.outline.round is None else "hoop"
            said.append(f"{name} {number} {'up' if up > 0.0 else 'down'} {write_length(abs(up), units)}")
    return tuple(said)


def what_follows(site: SiteSpec, pier: PierSpec) -> tuple[str, ...]:
    """Which holes go along when the rods of a pier move, and which stay, one sentence each."""
    return tuple(_holes(site, pier))


def _holes(site: SiteSpec, pier: PierSpec) -> Iterator[str]:
    for name, holed in (("plate", pier.seat.plate), ("template", pier.seat.template)):
        if holed is not None:
            own = holed.holes.pattern is not None
            yield f"The holes of the {name} {'have a pattern of their own, and stay' if own else 'follow'}."
    for beam in site.beams:
        if pier.mark in beam.piers:
            listed = beam.holes_at is not None
            yield f"The holes of beam {beam.name} {'are listed, and stay' if listed else 'follow'}."


def _ways(shift: list[float], frame: Motion, units: Units) -> Iterator[str]:
    for axis, size in zip(np.eye(2), shift, strict=True):
        if abs(size) > _SEEN:
            x, y = (np.sign(size) * axis).tolist()
            yield f"{write_length(abs(size), units)} {wind(frame, x, y)}"


def _pattern(spec: PierSpec) -> Pattern | None:
    return None if spec.seat.rods is None else spec.seat.rods.pattern


def _ties(spec: PierSpec) -> Ties | None:
    return None if spec.cage is None else spec.cage.ties
