"""A picture to keep, the card of keys, and the end."""

from __future__ import annotations

import re
from pathlib import Path

from viewer.window.desk import Desk
from viewer.window.feature import Command, Feature


def picture(desk: Desk) -> None:
    """Save what is shown as a PNG in the folder that the command was run from; nothing is written over."""
    state = desk.state
    name = "site" if state.site else state.pier
    if state.finding is not None and not state.site:
        name += f"-{state.finding + 1}"
    name = re.sub(r"[^\w.-]+", "_", name)
    target = next(p for k in range(1, 10_000) if not (p := Path(_numbered(name, k))).exists())
    desk.pictures.append(target)


def _numbered(name: str, count: int) -> str:
    return f"{name}.png" if count == 1 else f"{name}-{count}.png"


def card(desk: Desk) -> None:
    """The card of keys, or away with it."""
    desk.state.card = not desk.state.card


def close(desk: Desk) -> None:
    """Away with the card, or the end."""
    if desk.state.card:
        desk.state.card = False
    else:
        desk.state.closing = True


FEATURE = Feature(
    "Keep",
    (
        Command(("p",), "p", "save a picture of the window", picture),
        Command(("h", "question", "F1"), "h", "this card", card),
        Command(("q", "Escape"), "q  esc", "close", close),
    ),
    order=90,
)
