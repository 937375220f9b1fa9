"""Placed against drawn: arrows from where things were drawn to where they were placed, drawn larger."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from viewer.legend.placed_marks import What
from viewer.window.desk import Desk
from viewer.window.feature import Arrow, Command, Feature

COLOR = "#7a1fa0"
_HIDDEN = "placed"


def toggle(desk: Desk) -> None:
    """Show or hide the arrows."""
    state = desk.state
    if desk.work.placed is None:
        state.said = "Nothing was measured: open the window with --shots SHOTS.csv."
        return
    state.notes[_HIDDEN] = not state.notes.get(_HIDDEN, False)
    state.said = "Placed against drawn: " + ("hidden." if state.notes[_HIDDEN] else "shown.")


def says(desk: Desk) -> Iterator[str]:
    """How large the arrows are; what was not measured."""
    if desk.work.placed is None or desk.state.notes.get(_HIDDEN, False) or desk.state.site:
        return
    marks = desk.work.placed.get(desk.state.pier)
    if marks is None:
        yield "Placed against drawn: NOT CHECKED, nothing was measured at this pier."
        return
    missing = f" Not measured: {', '.join(marks.missing)}." if marks.missing else ""
    yield marks.beside + missing


def draws(desk: Desk) -> Iterator[Arrow]:
    """An arrow for all that is off by more than the measuring is sure to, with how far in words."""
    marks = None if desk.work.placed is None else desk.work.placed.get(desk.state.pier)
    if marks is None or desk.state.notes.get(_HIDDEN, False):
        return
    for mark in marks.of(What.ROD, What.DOWEL, What.CENTER, What.FOOT, What.TOP):
        tip = marks.tip(mark)
        if mark.told and float(np.linalg.norm(tip - mark.drawn)) > 0.0:
            factor = "" if marks.factor == 1 else f" (x{marks.factor})"
            yield Arrow(mark.drawn, tip, f"{mark.label}: {mark.words(desk.work.units)}{factor}", COLOR)


FEATURE = Feature(
    "Placed",
    (Command(("x",), "x", "placed against drawn, or not", toggle),),
    order=60,
    says=says,
    draws=draws,
)
