"""Notes over the close view: dimensions, arrows and names, kept clear of each other."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from models.motion import Array
from viewer.window.panel import INK, actor_2d
from viewer.window.signs import Flat, closed, fills_data, lines_data
from viewer.window.text import cut, width

SIZE = 15
_ROUND = (90.0, 270.0, 60.0, 120.0, 300.0, 240.0, 20.0, 160.0, 340.0, 200.0)
_OUT = (58.0, 84.0, 116.0, 156.0, 205.0, 262.0, 330.0)
_MARGIN = 8.0


class Note(Struct, frozen=True, eq=False):
    """Something to point at. points: (n, 3) a line in site directions; its middle is what words are of.

    words: beside it, "" for none. ends: ticks at both ends (a dimension); head: an arrow's head at the last
    point; ring: a ring about it; bold: words in bold.
    """

    points: Array
    words: str = ""
    color: str = INK
    thick: float = 3.0
    ends: bool = False
    head: bool = False
    ring: bool = False
    bold: bool = False


class Notes:
    """Draws notes anew whenever the camera has moved."""

    def __init__(self, renderer: Any, camera_of: Any, size: Callable[[], tuple[int, int]]) -> None:
        """renderer: the overlay; camera_of: the renderer whose camera it follows; size: of both, pixels."""
        self._renderer, self._from, self._size = renderer, camera_of, size
        self._notes: Sequence[Note] = ()
        self._sides = ("", "", "")
        self._props: list[Any] = []
        self._last: Any = None
        self.boxes: list[tuple[float, float, float, float]] = []
        camera_of.AddObserver("StartEvent", lambda *_: self._update())

    def show(self, notes: Sequence[Note], sides: tuple[str, str, str] = ("", "", "")) -> None:
        """These and no others. sides: what stands in the upper left corner, at the left, at the right."""
        self._notes, self._sides, self._last = notes, sides, None

    def _update(self) -> None:
        matrix = _projection(self._from)
        key = (matrix.tobytes(), self._size())
        if key == self._last:
            return
        self._last = key
        for prop in self._props:
            self._renderer.RemoveViewProp(prop)
        self._props, self.boxes = [], []
        across, high = self._size()
        flats = {True: Flat(), False: Flat()}
        runs = [_on_screen(note.points, matrix, across, high) for note in self._notes]
        taken = [_box_of(run, 14.0) for run in runs]
        taken += [(0.0, high - 36.0, 240.0, high), (0.0, high / 2 - 14, 30.0, high / 2 + 14)]
        taken += [(across - 30.0, high / 2 - 14, float(across), high / 2 + 14)]
        words = []
        for note, run in zip(self._notes, runs, strict=True):
            _mark(flats[note.thick >= 3.0], note, run)
            if note.words and _in_sight(run, across, high):
                note = replace(note, words=cut(note.words, SIZE, int(across - 2 * _MARGIN - 14), note.bold))
                wide = width(note.words, SIZE, note.bold) + 14.0
                box = _free(run.mean(axis=0), wide, SIZE + 12.0, [*taken, *self.boxes], across, high)
                self.boxes.append(box)
                words.append((note, box))
                self._lead(flats[False], run.mean(axis=0), box)
        labels = self._frames(across, high)
        for note, (left, low, right, top) in words:
            ring = np.array([[left, low], [right, low], [right, top], [left, top]])
            labels.fills.append((ring, "#ffffff"))
            labels.lines.append((closed(ring), note.color))
        for flat, thick in ((flats[False], 1.5), (flats[True], 3.0), (labels, 1.5)):
            for data, line in ((fills_data(flat), 1.0), (lines_data(flat), thick)):
                if data.n_points:
                    self._add(actor_2d(data, line))
        for note, box in words:
            self._write(note.words, box[0] + 7.0, (box[1] + box[3]) / 2.0, note.bold)
        corner, left_word, right_word = self._sides
        self._write(corner, 12.0, high - 18.0, True)
        self._write(left_word, 7.0, high / 2.0, True)
        self._write(right_word, across - 8.0 - width(right_word, SIZE, True), high / 2.0, True)

    def _frames(self, across: int, high: int) -> Flat:
        """White behind what stands in the corner and at the edges."""
        flat = Flat()
        corner, left, right = (width(word, SIZE, True) for word in self._sides)
        ends = (
            (0.0, corner + 22.0, high - 32.0, float(high)),
            (0.0, left + 16.0, high / 2 - 13, high / 2 + 13),
        )
        for x0, x1, y0, y1 in (*ends, (across - right - 16.0, float(across), high / 2 - 13, high / 2 + 13)):
            if corner:
                flat.fills.append((np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]]), "#ffffff"))
        return flat

    @staticmethod
    def _lead(flat: Flat, at: Array, box: tuple[float, float, float, float]) -> None:
        """A thin line from what is meant to the nearest point of its words."""
        near = np.clip(at, [box[0], box[1]], [box[2], box[3]])
        if np.linalg.norm(near - at) > 6.0:
            flat.lines.append((np.array([at, near]), INK))

    def _write(self, words: str, x: float, y: float, bold: bool) -> None:
        from vtkmodules.vtkRenderingCore import vtkTextActor

        actor = vtkTextActor()
        if not words:
            return
        actor.SetInput(words)
        style = actor.GetTextProperty()
        style.SetFontFamilyToArial()
        style.SetFontSize(SIZE)
        style.SetBold(bold)
        style.SetColor(0.07, 0.09, 0.1)
        style.SetVerticalJustificationToCentered()
        actor.SetPosition(x, y)
        self._add(actor)

    def _add(self, prop: Any) -> None:
        self._renderer.AddViewProp(prop)
        self._props.append(prop)


def _projection(renderer: Any) -> Array:
    """(4, 4): from site directions to the picture, -1 to 1."""
    matrix = renderer.GetActiveCamera().GetCompositeProjectionTransformMatrix(
        renderer.GetTiledAspectRatio(), -1.0, 1.0
    )
    return np.array([[matrix.GetElement(i, j) for j in range(4)] for i in range(4)])


def _on_screen(points: Array, matrix: Array, across: int, high: int) -> Array:
    """(n, 2) pixels of (n, 3) points."""
    seen = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    flat: Array = (seen[:, :2] / seen[:, 3:] + 1.0) / 2.0 * [across, high]
    return flat


def _mark(flat: Flat, note: Note, run: Array) -> None:
    """The line of a note, with what stands at its ends."""
    if float(np.ptp(run, axis=0).max()) > 1.0:
        flat.lines.append((run, note.color))
    along = run[-1] - run[0]
    length = float(np.linalg.norm(along))
    if length > 1.0:
        unit = along / length
        side = np.array([-unit[1], unit[0]])
        if note.ends:
            for end in (run[0], run[-1]):
                flat.lines.append((np.array([end - 9.0 * side, end + 9.0 * side]), note.color))
        if note.head:
            back = run[-1] - 13.0 * unit
            flat.fills.append((np.array([run[-1], back + 5.0 * side, back - 5.0 * side]), note.color))
    if note.ring:
        angle = np.linspace(0.0, 2.0 * np.pi, 41)
        flat.lines.append(
            (run.mean(axis=0) + 17.0 * np.column_stack([np.cos(angle), np.sin(angle)]), note.color)
        )


def _in_sight(run: Array, across: int, high: int) -> bool:
    """Whether some of a line can lie in the picture: words of what lies beside it would crowd its edge."""
    low, top = run.min(axis=0), run.max(axis=0)
    return bool(np.all(top >= 0.0) and np.all(low <= [across, high]))


def _box_of(run: Array, more: float) -> tuple[float, float, float, float]:
    low, top = run.min(axis=0) - more, run.max(axis=0) + more
    return float(low[0]), float(low[1]), float(top[0]), float(top[1])


def _free(
    at: Array,
    wide: float,
    tall: float,
    taken: Sequence[tuple[float, float, float, float]],
    across: int,
    high: int,
) -> tuple[float, float, float, float]:
    """A box for words beside a point that meets nothing that is taken; the least bad where all do."""
    best, least = None, np.inf
    for out in _OUT:
        for angle in np.radians(_ROUND):
            x = at[0] + np.cos(angle) * (out + wide / 2.0) - wide / 2.0
            y = at[1] + np.sin(angle) * out - tall / 2.0
            x = float(np.clip(x, _MARGIN, max(across - wide - _MARGIN, _MARGIN)))
            y = float(np.clip(y, _MARGIN, max(high - tall - _MARGIN, _MARGIN)))
            box = (x, y, x + wide, y + tall)
            over = sum(_overlap(box, other) for other in taken)
            if over == 0.0:
                return box
            if over < least:
                best, least = box, over
    assert best is not None
    return best


def _overlap(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> float:
    x, y = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
    return max(x, 0.0) * max(y, 0.0)
