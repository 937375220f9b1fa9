"""Where to stand: the top, four faces, free; near the spot or back from the whole pier."""

from __future__ import annotations

from collections.abc import Callable

from viewer.scene.cameras import View
from viewer.window.desk import Desk
from viewer.window.feature import Command, Feature


def _look(view: View) -> Callable[[Desk], None]:
    def look(desk: Desk) -> None:
        desk.look(view)
        desk.state.said = ""

    return look


def best(desk: Desk) -> None:
    """Back to where the finding is seen best, everything as it was on arrival."""
    state = desk.state
    desk.go(state.pier, state.finding)


def nearer(desk: Desk) -> None:
    """The whole pier, or the spot alone."""
    desk.state.whole = not desk.state.whole if desk.place is not None else True
    desk.state.turned += 1


def site(desk: Desk) -> None:
    """Every pier in elevation, or this pier."""
    state = desk.state
    state.site = not state.site
    if state.site:
        state.view = View.SOUTH
        state.turned += 1
    else:
        desk.go(state.pier, state.finding)


FEATURE = Feature(
    "Stand",
    (
        Command(("t",), "t", "top, north up, as the template sees it", _look(View.TOP)),
        Command(("n",), "n", "before the north face", _look(View.NORTH)),
        Command(("e",), "e", "before the east face", _look(View.EAST)),
        Command(("s",), "s", "before the south face", _look(View.SOUTH)),
        Command(("w",), "w", "before the west face", _look(View.WEST)),
        Command(("f",), "f, drag", "free: turn it with the mouse", _look(View.FREE)),
        Command(("b",), "b", "back to where the finding is seen best", best),
        Command(("z",), "z, wheel", "the whole pier, or the spot", nearer),
        Command(("v",), "v", "the site: every pier in true elevation", site),
    ),
    order=20,
)
