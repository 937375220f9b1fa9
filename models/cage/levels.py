"""At which elevations the ties of a cage lie."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from math import ceil

from models.spec.cage import Ties

TOUCH = 1e-6
"""mm: the epsilon by which "as much as the spacing" is still the spacing."""


def tie_levels(
    ties: Ties, top_cover: float | None, bottom: float, below: float, above: float
) -> tuple[float, ...]:
    """Elevations (mm, negative) of the ties' centerlines, the highest first.

    below, above: how far a level's steel reaches below and above the centerline of its tie, mm (a crosstie
    or a diamond on top of the tie counts). A level is that of the tie's upper end; the lower end's hook
    hangs one diameter into the space below, at one corner, as it does on site, and is not counted: so the
    published depths of top ties (bars laid one above the other) hold to the underside of the upper end.

    From the top: the highest tie's upper side at `ties.top`; when that is left out, whatever lies highest
    keeps the top cover. The group follows with its clear space between the lowest of one level and the
    highest of the next. From the bottom: the first tie at `ties.first`, then one at every spacing; the last
    of these moves down to the middle of its neighbors when it would come closer than half a spacing to the
    group, so that no space is wider than the spacing. In the end the ties of `ties.moved` go up or down from
    there, each by its own, and keep their numbers.

    Raises ValueError with one plain sentence when the ties do not fit the pier.
    """
    if ties.top is not None:
        level = -ties.top - below
    elif top_cover is not None:
        level = -top_cover - above
    else:
        raise ValueError("the ties need their top, or the concrete its top cover")
    depth = below + above
    if ties.spacing < depth - TOUCH:
        raise ValueError("the ties are spaced closer than they are deep")
    group = [level]
    if ties.top_group is not None:
        pitch = depth + ties.top_group.clear
        group = [level - k * pitch for k in range(ties.top_group.count)]
    if group[-1] - below < bottom:
        raise ValueError("the ties at the top reach below the bottom of the pier")
    first = bottom + (ties.first if ties.first is not None else ties.spacing / 2.0)
    room = group[-1] - first
    if room < depth - TOUCH:
        return _moved(group, ties.moved)
    spaces = max(1, ceil(room / ties.spacing - TOUCH))
    regular = [first + k * ties.spacing for k in range(spaces)]
    if spaces > 1 and group[-1] - regular[-1] < ties.spacing / 2.0 - TOUCH:
        regular[-1] = (group[-1] + regular[-2]) / 2.0
    return _moved(group + regular[::-1], ties.moved)


def _moved(levels: list[float], moved: Mapping[int, float]) -> tuple[float, ...]:
    """The levels, single ones of them moved (mm up, by number from 1 at the top).

    Raises ValueError for a tie that is not there, and for one that would pass another: ties are numbered from
    the top, in every report and on site.
    """
    for number, by in moved.items():
        if number > len(levels):
            have = f"there are {len(levels)} ties" if len(levels) > 1 else "there is one tie"
            raise ValueError(f"tie {number} is moved, but {have}")
        levels[number - 1] += by
    for k, (high, low) in enumerate(pairwise(levels), start=1):
        if low >= high:
            raise ValueError(f"as moved, tie {k + 1} would no longer lie below tie {k}")
    return tuple(levels)
