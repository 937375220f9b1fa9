"""The bends and hooks of a bar: inside diameters, turns, and the straight tails past its end bends."""

from __future__ import annotations

from math import degrees

import numpy as np
from msgspec import Struct

from models.motion import Array
from models.solids import Swept

HOOKS = (90, 135, 180)
"""degrees: the hooks that codes know."""
_SLACK = 2.0
"""degrees: a tie's climb tilts its hooks by less; a bend within it counts as the hook that it is near."""
_HOOP = 20.0
"""An arc whose radius is more than this many bar diameters is part of a hoop, no bend."""


class End(Struct, frozen=True):
    """A hook at the end of a bar: degrees of turn, mm of straight tail, (3,) where the tail begins."""

    degrees: int
    tail: float
    at: Array


def tightest(bar: Swept) -> tuple[float, Array] | None:
    """Inside diameter of the tightest bend, mm, and (3,) where it begins; None for a straight bar."""
    bends = np.flatnonzero(bar.angles > 0.0)
    if not len(bends):
        return None
    radius = np.linalg.norm(bar.knots[bends] - bar.centers[bends], axis=1)
    k = int(np.argmin(np.round(radius, 6)))
    return 2.0 * (float(radius[k]) - bar.radius), bar.knots[bends[k]]


def ends(bar: Swept) -> list[End]:
    """The hooks at a bar's two ends; an end that is no hook that codes know is left out.

    Of a bar with one bend only, the shorter leg is the tail.
    """
    n = len(bar.angles)
    if n < 2:
        return []
    lengths = bar.lengths
    shorter = 0 if lengths[0] < lengths[-1] else n - 1
    found = []
    for tail, bend, knot in ((0, 1, 1), (n - 1, n - 2, n - 1)):
        if n == 3 and tail != shorter:
            continue
        straight = bar.angles[tail] == 0.0
        turn = degrees(float(bar.angles[bend if straight else tail]))
        if not straight and np.linalg.norm(bar.knots[tail] - bar.centers[tail]) > _HOOP * bar.radius:
            continue
        hook = next((hook for hook in HOOKS if abs(hook - turn) <= _SLACK), None)
        if hook is not None:
            found.append(End(hook, float(lengths[tail]) if straight else 0.0, bar.knots[knot]))
    return found
