"""What a feature of the window is: its keys, and, where it has some, its words, its drawing, its clicks.

A feature is one module in `viewer/window/features/` with a `FEATURE`; it is found by its name, and its keys
stand on the card of keys without a change elsewhere.
"""

from __future__ import annotations

import pkgutil
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from importlib import import_module

from msgspec import Struct

import viewer.window.features
from models.motion import Array
from viewer.window.desk import Desk


class Command(Struct, frozen=True):
    """keys: by their names (`space`, `Next`, `n`, `shift+Up`); shown: on the card; words: what it does.

    shown is empty where the line of the command before says it too.
    """

    keys: tuple[str, ...]
    shown: str
    words: str
    does: Callable[[Desk], None]


class Arrow(Struct, frozen=True, eq=False):
    """To draw in the close view, from `start` to `end`, (3,) mm in the pier's frame; and its words."""

    start: Array
    end: Array
    words: str = ""
    color: str = "#000000"
    head: bool = True


class Feature(Struct, frozen=True):
    """title: over its keys on the card; order: where on the card, least first.

    says: lines for the panel under the close view. draws: arrows and lines in it. clicked: a click there on a
    part (its index, None beside all parts) at a point, (3,) mm in the pier's frame; True when it was used.
    """

    title: str
    commands: tuple[Command, ...] = ()
    order: int = 50
    says: Callable[[Desk], Iterable[str]] | None = None
    draws: Callable[[Desk], Iterable[Arrow]] | None = None
    clicked: Callable[[Desk, int | None, Array | None], bool] | None = None


@cache
def features() -> tuple[Feature, ...]:
    """Every feature, in the order of the card. Raises ValueError where two want one key: a fault of ours."""
    names = sorted(module.name for module in pkgutil.iter_modules(viewer.window.features.__path__))
    found = [import_module(f"viewer.window.features.{name}").FEATURE for name in names]
    found.sort(key=lambda feature: feature.order)
    _by_key(found)
    return tuple(found)


@cache
def commands() -> dict[str, Command]:
    """Commands by key."""
    return _by_key(features())


def _by_key(found: Sequence[Feature]) -> dict[str, Command]:
    by_key: dict[str, Command] = {}
    for command in (command for feature in found for command in feature.commands):
        for key in command.keys:
            if key in by_key:
                raise ValueError(f"two commands want the key {key}")
            by_key[key] = command
    return by_key
