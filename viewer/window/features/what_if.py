"""What if: rods nudged and turned, ties raised and lowered, judged at once, undone, written into a copy."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from math import radians
from typing import TYPE_CHECKING

import numpy as np

from models.motion import Motion
from models.problems import BadInput
from models.solids import Swept
from viewer.scene.cameras import View, toward, turn_of
from viewer.window.desk import Desk
from viewer.window.feature import Arrow, Command, Feature
from viewer.window.features.measuring import measuring
from viewer.wording.fold import counted

if TYPE_CHECKING:
    from clash.what_if import Trial
    from models.changes.change import Change
    from models.motion import Array

TRIAL, TIE, COPY = "what if", "tie", "copy"
"""The feature's own places in the notes of the state: what was tried, which tie is meant, the last copy."""
_COLOR = "#7a3e00"
_OUT = 90.0
"""mm: how long the arrow is that points at the chosen tie."""


def trial(desk: Desk) -> Trial:
    """What has been tried so far, at first nothing; what of a large site is still to be judged is judged."""
    from clash.what_if import Trial

    kept = desk.state.notes.get(TRIAL)
    if not isinstance(kept, Trial):
        kept = desk.state.notes[TRIAL] = Trial((desk.work.as_drawn(),))
    return kept


def _nudge(right: int, up: int) -> Callable[[Desk], None]:
    def nudge(desk: Desk) -> None:
        _try(desk, _nudged(desk, right, up))

    return nudge


def _nudged(desk: Desk, right: int, up: int) -> Change:
    """A nudge as the picture shows it: from the top (and from free) by the winds, before a face along it."""
    from models.changes.change import NUDGE, NudgeRods, nudge_as_seen

    spec, view, units = desk.looked.pier.spec, desk.state.view, desk.work.units
    if view in (View.TOP, View.FREE):
        return nudge_as_seen(spec, right, up, units)
    out = toward(view, turn_of(desk.looked.pier.frame))
    across = np.cross([0.0, 0.0, 1.0], out)
    x, y, _ = Motion.turned(-radians(spec.turn)).vectors(right * across - up * out).round().tolist()
    return NudgeRods(x * NUDGE[units], y * NUDGE[units])


def _turn(sense: int) -> Callable[[Desk], None]:
    def turn(desk: Desk) -> None:
        from models.changes.change import TURN, TurnRods

        _try(desk, TurnRods(sense * TURN))

    return turn


def _lift(sense: int) -> Callable[[Desk], None]:
    def lift(desk: Desk) -> None:
        from models.changes.change import NUDGE, MoveTie

        number = chosen_tie(desk)
        if number is None:
            desk.state.said = f"{desk.state.pier} has no ties."
            return
        _choose_tie(desk, number)
        _try(desk, MoveTie(number, sense * NUDGE[desk.work.units]))

    return lift


def chosen_tie(desk: Desk) -> int | None:
    """The number of the tie that is meant: the one chosen, else that of the finding, else the highest."""
    count = len(_ties(desk))
    if not count:
        return None
    kept = _kept_tie(desk)
    if kept is not None:
        return min(kept, count)
    parts = () if desk.fold is None else desk.fold.worst.parts
    return next((number for part in parts if (number := _number(part)) is not None), 1)


def _choose(step: int) -> Callable[[Desk], None]:
    def choose(desk: Desk) -> None:
        count, now = len(_ties(desk)), chosen_tie(desk)
        if now is None:
            desk.state.said = f"{desk.state.pier} has no ties."
            return
        chosen = now if _kept_tie(desk) is None else now + step
        desk.state.said = ""
        if 1 <= chosen <= count:
            _choose_tie(desk, chosen)
        else:
            desk.state.notes.pop(TIE)
            desk.state.said = "No tie is chosen."

    return choose


def undo(desk: Desk) -> None:
    """One step back."""
    now = trial(desk)
    if now.at == 0:
        desk.state.said = "Nothing is tried: this is the site file."
        return
    _show(desk, now.undone())
    desk.state.said = f"Undone. {desk.state.said}"


def redo(desk: Desk) -> None:
    """One step forward again."""
    now = trial(desk)
    if now.at == len(now.steps) - 1:
        desk.state.said = "Nothing was undone."
        return
    _show(desk, now.redone())
    desk.state.said = f"Done again. {desk.state.said}"


def write(desk: Desk) -> None:
    """Write what was tried into a copy of the site file, beside it; the site file stays as it is."""
    from viewer.window.what_if_copy import free_name, write_copy

    now = trial(desk).now
    if not now.changed:
        desk.state.said = "Nothing is tried, so there is nothing to write."
        return
    try:
        target = free_name(desk.file)
        write_copy(desk.file, target, now.drawn, now.site)
    except BadInput as error:
        desk.state.said = str(error.problems[0])
        return
    desk.state.notes[COPY] = (now, target.name)
    desk.state.said = f"Written into a copy and read back: {target.name}"


def says(desk: Desk) -> Iterator[str]:
    """What is tried, as long as something is; and which tie is meant."""
    from clash.what_if import Trial
    from models.changes.words import in_words

    kept = desk.state.notes.get(TRIAL)
    now = kept.now if isinstance(kept, Trial) else None
    if now is not None and now.changed:
        told = {was.mark: "; ".join(in_words(was, is_, desk.work.units)) for was, is_ in now.changed}
        here = told.pop(desk.state.pier, "")
        if here:
            yield f"WHAT IF at {desk.state.pier}: {here}. {_where(desk)}"
        if told and here:
            yield f"Also tried at {', '.join(told)}."
        elif told:
            yield f"WHAT IF at {', '.join(told)}. {_where(desk)}"
    if _kept_tie(desk) is not None:
        yield f"{_tie_word(desk).capitalize()} from top is chosen: shift up and shift down move it."


def _where(desk: Desk) -> str:
    kept = desk.state.notes.get(COPY)
    if kept is not None and kept[0] is trial(desk).now:
        return f"Not in the site file; in the copy {kept[1]}."
    return "Not in the site file."


def draws(desk: Desk) -> Iterator[Arrow]:
    """An arrow at the chosen tie, from outside of the pier."""
    number = None if _kept_tie(desk) is None else chosen_tie(desk)
    if number is None:
        return
    solid = desk.looked.pier.parts[_ties(desk)[number - 1]].solid
    assert isinstance(solid, Swept)
    frame, view = desk.looked.pier.frame, desk.state.view
    out = frame.inverse().vectors(
        toward(View.SOUTH if view in (View.TOP, View.FREE) else view, turn_of(frame))
    )
    side = np.cross([0.0, 0.0, 1.0], out)
    point = solid.knots[int(np.argmax(np.round(solid.knots @ side, 3) + 1e-4 * (solid.knots @ out)))]
    yield Arrow(point + _OUT * side, point, _tie_word(desk), _COLOR)


def clicked(desk: Desk, part: int | None, point: Array | None) -> bool:
    """A click on a tie, or on what lies on it, chooses it, unless something is being measured."""
    if part is None or measuring(desk) is not None:
        return False
    number = _number(desk.looked.pier.parts[part].id)
    if number is None:
        return False
    _choose_tie(desk, number)
    desk.state.said = ""
    return True


def _choose_tie(desk: Desk, number: int) -> None:
    desk.state.notes[TIE] = (desk.state.pier, number)


def _kept_tie(desk: Desk) -> int | None:
    """The number of the tie that was chosen at this pier; None where none was."""
    mark, number = desk.state.notes.get(TIE, ("", 0))
    return number if mark == desk.state.pier else None


def _tie_word(desk: Desk) -> str:
    number = chosen_tie(desk)
    assert number is not None
    part = desk.looked.pier.parts[_ties(desk)[number - 1]]
    return f"{part.role.value} {number}"


def _number(part: str) -> int | None:
    """The number of the tie that a part is, or lies on, by its id; None for a part that does neither."""
    found = re.fullmatch(r".*/(?:tie|hoop|diamond|crosstie)/(\d+)(?:-\d+)?", part)
    return None if found is None else int(found[1])


def _ties(desk: Desk) -> list[int]:
    """The closed ties or hoops of the pier, by index, the highest first."""
    parts = desk.looked.pier.parts
    return [i for i, part in enumerate(parts) if part.id.split("/")[-2] in ("tie", "hoop")]


def _try(desk: Desk, change: Change) -> None:
    if desk.state.site:
        desk.state.said = "Go to a pier first."
        return
    try:
        now = trial(desk).tried(desk.state.pier, change)
    except ValueError as refused:
        desk.state.said = f"That cannot be: {refused}."
        return
    along = _along(desk, change)
    _show(desk, now)
    desk.state.said += along


def _along(desk: Desk, change: Change) -> str:
    """At the first move of a pier's rods: which holes stay, and which beam's go along."""
    from models.changes.change import MoveTie
    from models.changes.words import what_follows

    now = trial(desk).now
    drawn, tried = (next(p for p in s.spec.piers if p.mark == desk.state.pier) for s in (now.drawn, now.site))
    if isinstance(change, MoveTie) or drawn.seat.rods != tried.seat.rods:
        return ""
    told = what_follows(now.site.spec, desk.looked.pier.spec)
    return "".join(f" {sentence}" for sentence in told if "beam" in sentence or "stay" in sentence)


def _show(desk: Desk, shown: Trial) -> None:
    """Bring the desk to a step of the trial; the finding that is shown stays where it is still one."""
    before, now = trial(desk).now, shown.now
    at = None if desk.fold is None else desk.fold.worst.id
    old = {f.id for f in before.findings(desk.state.pier)}
    desk.state.notes[TRIAL] = shown
    desk.work.show(now)
    folds = desk.looked.folds
    ids = [fold.worst.id for fold in folds]
    desk.state.finding = ids.index(at) if at in ids else None
    new = {f.id for f in now.findings(desk.state.pier)}
    desk.state.said = _change(len(new - old), len(old - new))


def _change(new: int, gone: int) -> str:
    told = [f"{counted(count, 'finding')} {what}" for count, what in ((gone, "gone"), (new, "new")) if count]
    return f"Judged again: {', '.join(told) or 'the same findings'}."


FEATURE = Feature(
    "What if",
    (
        Command(("Right",), "arrows", "nudge the rods, as the picture shows it", _nudge(1, 0)),
        Command(("Left",), "", "nudge to the left", _nudge(-1, 0)),
        Command(("Up",), "", "nudge up, or away", _nudge(0, 1)),
        Command(("Down",), "", "nudge down, or toward you", _nudge(0, -1)),
        Command(("less",), "<  >", "turn the rods by a degree", _turn(1)),
        Command(("greater",), "", "turn clockwise", _turn(-1)),
        Command(("j",), "j  k, click", "choose a tie: the one below, above", _choose(1)),
        Command(("k",), "", "the tie above", _choose(-1)),
        Command(("shift+Up",), "shift up, down", "raise or lower it", _lift(1)),
        Command(("shift+Down",), "", "lower it", _lift(-1)),
        Command(("ctrl+z",), "ctrl z  y", "undo, and do again", undo),
        Command(("ctrl+y",), "", "do again", redo),
        Command(("ctrl+s",), "ctrl s", "write it into a copy of the site file", write),
    ),
    order=70,
    says=says,
    draws=draws,
    clicked=clicked,
)
