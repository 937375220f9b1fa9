"""Whether a point lies at the hook of a tie or crosstie: which of its ends somebody has to look at."""

from __future__ import annotations

from math import atan2, tau

import numpy as np

from models.motion import Array
from models.part import LATERAL, Part
from models.solids import Swept


def at_hook(part: Part, at: Array) -> bool:
    """Whether `at` (3,) mm, in the part's own axes, is nearer to a free straight end than to all else of it.

    Only ties, crossties and hoops: both of their ends are hooks where they end straight, behind a bend.
    """
    bar = part.solid
    if part.role not in LATERAL or not isinstance(bar, Swept) or not np.all(np.isfinite(at)):
        return False
    last = len(bar.angles) - 1
    tails = {i for i, beside in ((0, 1), (last, last - 1)) if last >= 2 and _is_tail(bar, i, beside)}
    if not tails:
        return False
    far = [_to_piece(bar, i, at) for i in range(last + 1)]
    return min(far[i] for i in tails) < min(d for i, d in enumerate(far) if i not in tails)


def _is_tail(bar: Swept, piece: int, beside: int) -> bool:
    return bool(bar.angles[piece] == 0.0 and bar.angles[beside] > 0.0)


def _to_piece(bar: Swept, i: int, at: Array) -> float:
    """mm from a point to piece i of the centerline."""
    a, b = bar.knots[i], bar.knots[i + 1]
    if bar.angles[i] == 0.0:
        along = b - a
        s = min(1.0, max(0.0, float((at - a) @ along) / float(along @ along)))
        return float(np.linalg.norm(at - a - s * along))
    center, axis = bar.centers[i], bar.axes[i]
    out, beside = a - center, np.cross(axis, a - center)
    rise = float((at - center) @ axis)
    x, y = float((at - center) @ out), float((at - center) @ beside)
    if atan2(y, x) % tau <= bar.angles[i]:
        radius = float(np.linalg.norm(out))
        return float(np.hypot(np.hypot(x, y) / radius - radius, rise))
    return float(min(np.linalg.norm(at - a), np.linalg.norm(at - b)))
