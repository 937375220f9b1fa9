"""Show and hide by trade part."""

from __future__ import annotations

from collections.abc import Callable

from viewer.scene.cameras import View
from viewer.scene.groups import Group
from viewer.window.desk import Desk
from viewer.window.feature import Command, Feature


def _toggle(group: Group) -> Callable[[Desk], None]:
    def toggle(desk: Desk) -> None:
        shown = group in desk.state.hidden
        desk.show(group, shown)
        desk.state.said = f"{group.value.capitalize()} {'shown' if shown else 'hidden'}."

    return toggle


def when(desk: Desk) -> None:
    """As in the pour, with the template, or as after it, with plate, beam, washers and nuts."""
    state = desk.state
    state.after = not state.after
    place = desk.place
    if place is not None and state.view is not View.FREE:
        state.off = desk.looked.outlook.sight(place.spot, state.view, desk.absent).off
    state.said = (
        "After the pour: plate and beam are set." if state.after else "Before the pour: the template is on."
    )


def everything(desk: Desk) -> None:
    """All trades shown, and what was taken off put back."""
    state = desk.state
    state.hidden, state.off, state.faces, state.level = frozenset(), frozenset(), frozenset(), None
    state.said = "Everything is shown, also what is in the way."


def alone(desk: Desk) -> None:
    """Steel and embeds alone, or all again."""
    keep = {Group.CAGE, Group.DOWELS, Group.RODS, Group.EMBEDS}
    rest = frozenset(Group) - keep
    state = desk.state
    state.hidden = frozenset() if state.hidden == rest else rest
    state.said = "Steel and embeds alone." if state.hidden else "Every trade is shown."


FEATURE = Feature(
    "Show and hide",
    (
        *(
            Command((str(k % 10),), str(k % 10), group.value, _toggle(group))
            for k, group in enumerate(Group, start=1)
        ),
        Command(("g",), "g", "before the pour, or after it", when),
        Command(("a",), "a", "everything, also what was taken off", everything),
        Command(("i",), "i", "steel and embeds alone", alone),
    ),
    order=30,
)
