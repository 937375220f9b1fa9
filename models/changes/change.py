"""What can be tried on a pier: its rods nudged or turned, a tie raised or lowered.

A change takes a pier's spec to a new one, validated like one that was read. Its figures are rounded to what
can be written into the site file, so that a copy of the file reads back to the very same spec.

Plate holes, template holes and what is on the rods follow the rods where the site file has them at the rods;
holes with a pattern of their own, cutouts and pour openings stay.
"""

from __future__ import annotations

from math import floor, radians
from typing import Any, Protocol, TypeVar

import numpy as np
from msgspec import Struct
from pydantic import ValidationError

from models.lengths import INCH, Units, angle_from, length_from, write_angle, write_length
from models.motion import Motion
from models.reading.consistency import wrongs_in, wrongs_of_kind, wrongs_of_pier
from models.seat.pattern import middle
from models.spec.base import Spec
from models.spec.pier import PierSpec
from models.spec.seat import Pattern, Rods

NUDGE = {Units.FT_IN: INCH / 8.0, Units.MM: 5.0}
"""mm: how far rods or a tie go at one step."""
TURN = 1.0
"""Degrees: how far rods turn at one step."""

S = TypeVar("S", bound=Spec)


class Change(Protocol):
    """One change of one pier."""

    def applied(self, spec: PierSpec, units: Units) -> PierSpec:
        """The spec with this change. Raises ValueError with one sentence where it cannot be."""


class NudgeRods(Struct, frozen=True):
    """The rods moved along the pier's own axes; x, y: mm."""

    x: float
    y: float

    def applied(self, spec: PierSpec, units: Units) -> PierSpec:
        """The spec with its rods moved. Raises ValueError for a pier without rods."""
        pattern = _rods(spec).pattern
        x, y = pattern.offset
        return _with_pattern(spec, units, offset=(_exact(x + self.x, units), _exact(y + self.y, units)))


class TurnRods(Struct, frozen=True):
    """The rods turned about the middle of their pattern; degrees counterclockwise, seen from above."""

    degrees: float

    def applied(self, spec: PierSpec, units: Units) -> PierSpec:
        """The spec with its rods turned. Raises ValueError for a pier without rods."""
        pattern = _rods(spec).pattern
        half_way_round = (pattern.turn + self.degrees + 180.0) % 360.0 - 180.0
        turn = angle_from(write_angle(half_way_round))
        offset = pattern.offset
        if pattern.at is not None:  # it turns about its own origin, so what that moves is taken back
            own = np.append(np.mean(pattern.at, axis=0), 0.0)
            x, y = (middle(pattern) - Motion.turned(radians(turn)).points(own)[:2]).tolist()
            offset = _exact(x, units), _exact(y, units)
        return _with_pattern(spec, units, turn=turn, offset=offset)


class MoveTie(Struct, frozen=True):
    """One tie raised (or lowered) with what lies on it; number: from the top; up: mm."""

    number: int
    up: float

    def applied(self, spec: PierSpec, units: Units) -> PierSpec:
        """The spec with that tie moved. Raises ValueError for a pier without ties.

        Whether there is such a tie, and room for it among the others, is known when the cage is built.
        """
        cage = spec.cage
        if cage is None or cage.ties is None:
            raise ValueError(f"{spec.mark} has no ties")
        moved = {
            **cage.ties.moved,
            self.number: _exact(cage.ties.moved.get(self.number, 0.0) + self.up, units),
        }
        ties = _valid(cage.ties, moved={number: up for number, up in moved.items() if up != 0.0})
        return _checked(spec.model_copy(update={"cage": cage.model_copy(update={"ties": ties})}), units)


def nudge_as_seen(spec: PierSpec, right: int, up: int, units: Units) -> NudgeRods:
    """A nudge by one step as seen from above with north up; right, up: -1, 0 or 1.

    It goes along the axis of the pier that points most nearly that way (at 45 degrees the one clockwise of
    it), so that a pier that stands turned keeps dimensions to its own faces that a tape can show.
    """
    quarters = floor(spec.turn / 90.0 + 0.5 + 1e-9)
    x, y, _ = Motion.turned(radians(-90.0 * quarters)).vectors(np.array([right, up, 0.0])).tolist()
    return NudgeRods(round(x) * NUDGE[units], round(y) * NUDGE[units])


def _rods(spec: PierSpec) -> Rods:
    if spec.seat.rods is None:
        raise ValueError(f"{spec.mark} has no rods")
    return spec.seat.rods


def _exact(mm: float, units: Units) -> float:
    """The length that the site file can say, mm."""
    return length_from(write_length(mm, units), units)


def _with_pattern(spec: PierSpec, units: Units, **fields: Any) -> PierSpec:
    rods = _rods(spec)
    pattern: Pattern = _valid(rods.pattern, **fields)
    seat = spec.seat.model_copy(update={"rods": rods.model_copy(update={"pattern": pattern})})
    return _checked(spec.model_copy(update={"seat": seat}), units)


def _valid(block: S, **fields: Any) -> S:
    """A block with some fields anew, validated; what it left out stays left out."""
    said = {name: getattr(block, name) for name in block.model_fields_set}
    try:
        return type(block).model_validate({**said, **fields})
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        raise ValueError(str(first.get("ctx", {}).get("error", first["msg"]))) from None


def _checked(spec: PierSpec, units: Units) -> PierSpec:
    for found in (wrongs_in(spec), wrongs_of_kind(spec, units), wrongs_of_pier(spec, units)):
        for _, wrong, instead in found:
            raise ValueError(f"{wrong}; {instead}")
    return spec
