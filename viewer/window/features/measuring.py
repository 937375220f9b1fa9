"""Measure between two things that are clicked: the exact gap from the kernel, however far apart they are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from msgspec import Struct

from models.lengths import show_gap
from models.motion import Array
from viewer.window.desk import Desk
from viewer.window.feature import Arrow, Command, Feature

if TYPE_CHECKING:
    from clash.between import Between

NOTE = "measuring"
"""The feature's own place in the notes of the state, while it measures."""
_COLOR = "#0b4f8a"
_FACES = ("side", "top", "bottom")
_ROUNDING = 1e-6
"""mm: a part that lies on a face is not through it."""


class Measuring(Struct, frozen=True):
    """What was clicked: ids, none of them yet, one, or both; labels: the same in words."""

    ids: tuple[str, ...] = ()
    labels: tuple[str, ...] = ()


def measuring(desk: Desk) -> Measuring | None:
    """What is being measured; None while nothing is."""
    kept = desk.state.notes.get(NOTE)
    return kept if isinstance(kept, Measuring) else None


def measured(desk: Desk) -> Between | None:
    """The gap between the two things as the site is now; None before both are clicked."""
    kept = measuring(desk)
    if kept is None or len(kept.ids) < 2:
        return None
    from clash.between import between

    first, second = kept.ids
    return between(desk.work.site, first, second, at=desk.state.pier)


def on_off(desk: Desk) -> None:
    """Begin to measure, or end it."""
    if desk.state.notes.pop(NOTE, None) is None:
        desk.state.notes[NOTE] = Measuring()
        desk.state.said = ""


def clicked(desk: Desk, part: int | None, point: Array | None) -> bool:
    """Take what was clicked for the first thing or the second; after both, for a new first."""
    kept = measuring(desk)
    if kept is None:
        return False
    first = kept if len(kept.ids) == 1 else Measuring()
    if part is None:
        if not first.ids:
            return False
        thing = _concrete(desk, first.ids[0])
    else:
        pier = desk.looked.pier
        thing = pier.parts[part].id, pier.parts[part].label
    if thing[0] not in first.ids:
        desk.state.notes[NOTE] = Measuring((*first.ids, thing[0]), (*first.labels, thing[1]))
    return True


def _concrete(desk: Desk, from_id: str) -> tuple[str, str]:
    """The face of the pier's concrete that a part is nearest to, of those that it is not out through."""
    from clash.between import between

    mark = desk.state.pier
    gaps = {f: between(desk.work.site, from_id, f"{mark}/concrete/{f}", at=mark).gap for f in _FACES}
    face = min(gaps, key=lambda f: (not gaps[f] >= -_ROUNDING, abs(gaps[f])))
    outside = len({round(gap, 6) for gap in gaps.values()}) == 1
    return f"{mark}/concrete/{face}", "the concrete" if outside else f"the {face} of the concrete"


def says(desk: Desk) -> Iterator[str]:
    """What to click, or what was measured."""
    kept = measuring(desk)
    if kept is None:
        return
    if not kept.ids:
        yield "Measure: click a part."
    elif len(kept.ids) == 1:
        yield f"Measure from {kept.labels[0]}: click another part, or beside all of them for the concrete."
    else:
        found = measured(desk)
        assert found is not None
        first, second = kept.labels
        yield f"{first[:1].upper()}{first[1:]} to {second}: {_words(desk, found)}."


def draws(desk: Desk) -> Iterator[Arrow]:
    """The gap with its dimension, between its two nearest points."""
    found = measured(desk)
    if found is None or found.gap != found.gap:
        return
    here = desk.looked.pier.frame.inverse()
    a, b = (here.points(point) for point in found.in_site())
    if found.pier is desk.looked.pier:  # without the way round by the site, which costs digits far from it
        a, b = found.at_a, found.at_b
    yield Arrow(a, b, _words(desk, found), _COLOR, head=False)


def _words(desk: Desk, found: Between) -> str:
    units = desk.work.units
    if found.gap != found.gap:
        return "could not be measured"
    if found.gap < -_ROUNDING:
        kept = measuring(desk)
        to_face = kept is not None and any("/concrete/" in thing for thing in kept.ids)
        into = "out through it" if to_face else "into each other"
        return f"{show_gap(-found.gap, units, 'measured most')} {into}"
    return f"{show_gap(found.gap, units, 'measured least')} clear"


FEATURE = Feature(
    "Measure",
    (Command(("m",), "m, click", "measure between two things", on_off),),
    order=60,
    says=says,
    draws=draws,
    clicked=clicked,
)
