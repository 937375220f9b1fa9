"""Concrete off face by face, or down to a level."""

from __future__ import annotations

from math import floor

from models.lengths import INCH, Units, show_length
from viewer.scene.cameras import View, turn_of, view_words
from viewer.window.desk import Desk
from viewer.window.feature import Command, Feature


def face(desk: Desk) -> None:
    """The face that one looks at, off or back; from free, all four and the top."""
    state = desk.state
    wanted = frozenset({state.view}) if state.view is not View.FREE else frozenset(View) - {View.FREE}
    on = wanted <= state.faces
    state.faces = state.faces - wanted if on else state.faces | wanted
    where = view_words(state.view, turn_of(desk.looked.pier.frame)) if len(wanted) == 1 else "all its faces"
    state.said = f"Concrete {'back on' if on else 'taken off'} at {where}."


def down(desk: Desk) -> None:
    """One step of concrete off from above."""
    _cut(desk, -1)


def up(desk: Desk) -> None:
    """One step of concrete back."""
    _cut(desk, 1)


def _cut(desk: Desk, steps: int) -> None:
    """6 in, or 150 mm, at a time."""
    state, bottom = desk.state, desk.looked.pier.concrete.bottom
    step = 6.0 * INCH if desk.work.units is Units.FT_IN else 150.0
    count = round((state.level or 0.0) / step) + steps
    state.level = None if count >= 0 else max(count, -floor(-bottom / step)) * step
    if state.level is None:
        state.said = "The concrete is whole."
    else:
        state.said = f"Concrete off down to {show_length(-state.level, desk.work.units)} below its top."


FEATURE = Feature(
    "Concrete",
    (
        Command(("c",), "c", "the face that you look at, off or back", face),
        Command(("d",), "d", "a step down from the top, off", down),
        Command(("u",), "u", "a step up, back", up),
    ),
    order=40,
)
