"""What the window shows, as plain data: keys change it, drawing follows it."""

from __future__ import annotations

from typing import Any

from msgspec import Struct, field

from viewer.scene.cameras import View
from viewer.scene.groups import Group


class State(Struct):
    """Everything that a key may change.

    pier: mark; finding: which of its findings, from 0, None for the pier as a whole.
    view: where one stands; whole: whether the whole pier is in the picture, and not the spot alone.
    hidden: trade groups; off: parts taken off because they are in the way of the finding, by index.
    faces: of the concrete, taken off; level: mm from the top of concrete that it is cut at, None for whole.
    after: whether it is as after the pour (plate, beam, nuts), or as in the pour (template).
    site: whether every pier is shown in elevation in place of this one. card: whether the keys are shown.
    said: one line on what the last key did. turned: counts up when the camera has to be placed anew.
    notes: what features keep for themselves, by their names.
    """

    pier: str
    finding: int | None = None
    view: View = View.FREE
    whole: bool = False
    hidden: frozenset[Group] = frozenset()
    off: frozenset[int] = frozenset()
    faces: frozenset[View] = frozenset()
    level: float | None = None
    after: bool = False
    site: bool = False
    card: bool = False
    closing: bool = False
    said: str = ""
    turned: int = 0
    notes: dict[str, Any] = field(default_factory=dict)
