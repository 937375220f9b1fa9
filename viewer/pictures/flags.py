"""The flagged spots of a pier in its views: a ring at each, and the number of its finding beside it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from models.motion import Array
from models.pier import Pier
from viewer.drawing.marks import Box
from viewer.drawing.page import Draft
from viewer.legend.spots import Watch
from viewer.pictures.markers import flag, ring
from viewer.pictures.projection import View

Views = Sequence[tuple[View, Box, str]]
"""A view, the room on paper that its flags may take, and its name in a sentence."""


def local_spots(pier: Pier, note: Watch) -> list[Array]:
    """The places of a finding and of those like it, (3,) mm in the pier's frame; its own first."""
    into = pier.frame.inverse()
    return [into.points(np.array(at)) for at in (note.at, *note.others) if at is not None]


def ring_spots(draft: Draft, pier: Pier, watch: Sequence[Watch], views: Views) -> None:
    """A ring round every spot in every view, before words and numbers, so that none comes to lie on it."""
    for view, box, _ in views:
        for note in watch:
            for at in local_spots(pier, note):
                x, y = view.on(at[None])[0].tolist()
                if Box(x, y, x, y).grown(2.0).within(box):
                    ring(draft, note.level, (x, y))


def flag_spots(draft: Draft, pier: Pier, watch: Sequence[Watch], views: Views) -> dict[int, list[str]]:
    """The numbers; by number, the names of the views in which there was no room for it."""
    missing: dict[int, list[str]] = {}
    for view, box, name in views:
        for note in watch:
            if note.at is None:
                continue
            x, y = view.on(local_spots(pier, note)[0][None])[0].tolist()
            shown = Box(x, y, x, y).grown(2.0).within(box)
            if not shown or not flag(draft, note.level, note.number, (x, y), box):
                missing.setdefault(note.number, []).append(name)
    return missing
