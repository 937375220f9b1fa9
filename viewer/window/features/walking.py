"""From finding to finding, and from flagged pier to flagged pier as one walks the site."""

from __future__ import annotations

from viewer.window.desk import Desk
from viewer.window.feature import Command, Feature


def next_finding(desk: Desk) -> None:
    """The next finding of the pier; after its last the first of the next flagged pier."""
    _finding(desk, 1)


def finding_before(desk: Desk) -> None:
    """The finding before; before a pier's first the last of the flagged pier before."""
    _finding(desk, -1)


def next_flagged(desk: Desk) -> None:
    """The next flagged pier along the walk."""
    _flagged(desk, 1)


def flagged_before(desk: Desk) -> None:
    """The flagged pier before along the walk."""
    _flagged(desk, -1)


def next_pier(desk: Desk) -> None:
    """The next pier of the walk, flagged or not."""
    _step(desk, desk.work.walk, 1)


def pier_before(desk: Desk) -> None:
    """The pier before, flagged or not."""
    _step(desk, desk.work.walk, -1)


def _finding(desk: Desk, step: int) -> None:
    state, folds = desk.state, desk.looked.folds
    if not state.site and folds:
        at = state.finding + step if state.finding is not None else (0 if step > 0 else len(folds) - 1)
        if 0 <= at < len(folds):
            desk.go(state.pier, at)
            return
    _flagged(desk, step)
    if step < 0 and desk.looked.folds:
        desk.go(desk.state.pier, len(desk.looked.folds) - 1)


def _flagged(desk: Desk, step: int) -> None:
    if not desk.work.flagged:
        desk.state.said = "No pier is flagged: nothing was found, within what was checked."
        return
    _step(desk, desk.work.flagged, step)


def _step(desk: Desk, stops: tuple[str, ...], step: int) -> None:
    """To the next of `stops` along the walk, round from its end to its beginning."""
    order = {mark: k for k, mark in enumerate(desk.work.walk)}
    here = order[desk.state.pier]
    beyond = [mark for mark in stops[::step] if (order[mark] - here) * step > 0]
    desk.go(beyond[0] if beyond else stops[::step][0])
    if not beyond and len(stops) > 1:
        desk.state.said = "Round the site: begun again at the other end of the walk."


FEATURE = Feature(
    "Walk",
    (
        Command(("space",), "space", "next finding, then the next flagged pier", next_finding),
        Command(("BackSpace",), "backspace", "the finding before", finding_before),
        Command(("Next", "bracketright"), "page down  ]", "next flagged pier", next_flagged),
        Command(("Prior", "bracketleft"), "page up  [", "flagged pier before", flagged_before),
        Command(("period",), ".", "next pier, flagged or not", next_pier),
        Command(("comma",), ",", "pier before", pier_before),
    ),
    order=10,
)
