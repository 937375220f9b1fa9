"""The state together with what it is about: what keys and clicks work on. Nothing here draws."""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct, field

from models.part import Stage
from viewer.scene.cameras import View, turn_of, view_words
from viewer.scene.groups import Group
from viewer.window.spots import Place
from viewer.window.state import State
from viewer.window.work import Looked, Work
from viewer.wording.fold import Fold


class Desk(Struct, eq=False):
    """state: what is shown; work: what it is about. file: the site file. pictures: asked for, to be saved."""

    state: State
    work: Work
    file: Path
    pictures: list[Path] = field(default_factory=list)

    @property
    def looked(self) -> Looked:
        """The pier that is shown."""
        return self.work.looked(self.state.pier)

    @property
    def fold(self) -> Fold | None:
        """The finding that is shown, with those like it."""
        at, folds = self.state.finding, self.looked.folds
        return folds[at] if at is not None and at < len(folds) else None

    @property
    def place(self) -> Place | None:
        """Where that finding is."""
        return (
            None if self.fold is None or self.state.finding is None else self.looked.place(self.state.finding)
        )

    def go(self, mark: str, finding: int | None = 0) -> None:
        """Go to a pier and one of its findings, as it is seen best; to the whole pier where it has none."""
        state = self.state
        state.pier, state.site, state.said = mark, False, ""
        state.finding = finding if finding is not None and finding < len(self.looked.folds) else None
        state.level, state.whole = None, state.finding is None
        place = self.place
        if place is None:
            state.view, state.off, state.faces, state.whole = View.FREE, frozenset(), frozenset(), True
            state.after = self.work.placed is not None
        else:
            parts = self.looked.pier.parts
            placed = self.work.placed is not None  # what was surveyed was surveyed after the pour
            state.after = placed or any(parts[i].stage is Stage.SET for i in place.spot.own)
            sight = self.looked.outlook.best(place.spot, self.absent)
            state.view, state.off, state.faces = sight.view, sight.off, sight.faces
        state.turned += 1

    def look(self, view: View) -> None:
        """Stand elsewhere; what is in the way of the finding from there comes off, what was comes back."""
        state = self.state
        state.view, state.off, state.faces = view, frozenset(), frozenset()
        state.turned += 1
        place = self.place
        if place is not None and view is not View.FREE and not state.site:
            sight = self.looked.outlook.sight(place.spot, view, self.absent)
            state.off, state.faces = sight.off, sight.faces

    @property
    def absent(self) -> frozenset[int]:
        """Parts that are not there at the time that is shown: a template and a plate never meet."""
        other = Stage.POUR if self.state.after else Stage.SET
        return frozenset(i for i, part in enumerate(self.looked.pier.parts) if part.stage is other)

    def show(self, group: Group, shown: bool) -> None:
        """Show or hide a trade group."""
        self.state.hidden = self.state.hidden - {group} if shown else self.state.hidden | {group}

    @property
    def seen_from(self) -> str:
        """`Seen from the S face. Taken off: 2 nuts, template, the concrete of the S face.`"""
        turn = turn_of(self.looked.pier.frame)
        view = self.state.view
        words = "Turned freely." if view is View.FREE else f"Seen from {view_words(view, turn)}."
        gone = [part.label for i, part in enumerate(self.looked.pier.parts) if i in self.state.off]
        gone += [f"concrete at {view_words(face, turn)}" for face in sorted(self.state.faces)]
        words += " After the pour." if self.state.after else " Before the pour."
        return words + (f" Taken off: {_listed(gone)}." if gone else "")


def _listed(names: list[str]) -> str:
    """Names in few words, no more than six of them."""
    unique = list(dict.fromkeys(names))
    return "; ".join(unique[:6]) + (f" and {len(unique) - 6} more" if len(unique) > 6 else "")
