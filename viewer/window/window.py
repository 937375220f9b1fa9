"""The window itself: one plotter with the key plan and the close view, panels of words, keys and mouse."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from models.problems import BadInput
from viewer.files import outputs
from viewer.scene.cameras import View
from viewer.scene.meshes import shares
from viewer.window.close_view import GROUND, CloseView
from viewer.window.desk import Desk
from viewer.window.feature import commands, features
from viewer.window.key_plan import KeyPlan
from viewer.window.notes import Notes
from viewer.window.panel import Panel
from viewer.window.pointing import notes, shared, sides
from viewer.window.site_view import SiteView
from viewer.window.words import card, findings, legend
from viewer.window.work import SLICE

SIZE = (1280, 800)
_PLAN, _LEGEND, _WORDS = 0.36, 172, 216
"""Share of the width that the plan takes; height in pixels of what is under it and under the close view."""
_CLICK = 4
"""Pixels that the mouse may move in a click."""
_FRAME = 1.0 / 60.0
_PAUSE = 15
"""ms between two slices of judging."""
Heard = Callable[[Desk], None]


class Window:
    """Draws a desk, and turns keys and clicks into changes of it."""

    def __init__(self, desk: Desk, heard: Heard | None = None, size: tuple[int, int] = SIZE) -> None:
        """heard: called after every frame that a key, a click or the beginning asked for."""
        import pyvista as pv

        self.desk, self._heard = desk, heard
        self.plotter = pv.Plotter(shape=(1, 2), border=False, window_size=list(size))
        self.plotter.disable_anti_aliasing()
        toolkit: Any = self.plotter.iren
        self._interactor: Any = toolkit.interactor
        window: Any = self.plotter.render_window
        self._window = window
        toolkit.clear_key_event_callbacks()
        toolkit.remove_observers()  # pyvista's own: on a double click they would put its style back
        window.SetWindowName(f"pierclear: {desk.work.report.site}")
        window.SetNumberOfLayers(4)
        left, right = self.plotter.renderers[0], self.plotter.renderers[1]
        self.plan, self.close = KeyPlan(left, desk), CloseView(right, desk)
        self.site = SiteView(right, desk)
        right.SetBackground(*shares(GROUND))
        self._overlay = self._over(window, right)
        self._legend, self._words = Panel(window), Panel(window)
        self._card = Panel(window, 3, None)
        self._card.renderer.SetDraw(False)
        self._notes = Notes(self._overlay, right, lambda: _size(right, window))
        self._shared: Any = None
        self._timer: Any = None
        self._sentences: list[tuple[float, float, int]] = []
        self._laid_out: tuple[int, int] | None = None
        self._legend_drawn: tuple[object, ...] | None = None
        self._pressed: tuple[int, int] | None = None
        self._card_drawn: tuple[int, int] | None = None
        self._listen()

    def run(self) -> None:
        """Show the window until it is closed."""
        interactor = self._interactor
        interactor.Initialize()
        self.draw()
        if self.desk.work.pending:
            interactor.AddObserver("TimerEvent", lambda *_: self._go_on())
            self._timer = interactor.CreateRepeatingTimer(_PAUSE)
        if os.name == "nt":  # pyvista #8383: Start() stops answering there after the focus went elsewhere
            while not interactor.GetDone():
                begun = time.perf_counter()
                interactor.ProcessEvents()
                time.sleep(max(_FRAME - (time.perf_counter() - begun), 0.0))
        else:
            interactor.Start()

    def shut(self) -> None:
        """Free the window."""
        self.plotter.close()

    def draw(self) -> None:
        """Bring everything to the state, and show it."""
        desk, window = self.desk, self._window
        self._lay_out()
        aspect = self._aspect(self.close.renderer)
        self.plan.update()
        shown, away = (self.site, self.close) if desk.state.site else (self.close, self.site)
        away.hide()
        shown.update(aspect)
        self._notes.show(self.site.notes() if desk.state.site else notes(desk), sides(desk))
        self._show_shared()
        self._show_legend()
        self._sentences = findings(self._words, desk)
        self._show_card()
        window.Render()
        for target in desk.pictures:
            self._save(target)
        if desk.pictures:
            desk.pictures.clear()
            self._sentences = findings(self._words, desk)
            window.Render()
        if self._heard is not None:
            self._heard(desk)

    def picture(self) -> bytes:
        """What the window shows, as a PNG."""
        from vtkmodules.vtkIOImage import vtkPNGWriter
        from vtkmodules.vtkRenderingCore import vtkWindowToImageFilter

        shot = vtkWindowToImageFilter()
        shot.SetInput(self._window)
        shot.SetInputBufferTypeToRGB()
        shot.ReadFrontBufferOff()
        shot.Update()
        writer = vtkPNGWriter()
        writer.SetInputConnection(shot.GetOutputPort())
        writer.WriteToMemoryOn()
        writer.Write()
        return bytes(memoryview(writer.GetResult()))

    @property
    def size(self) -> tuple[int, int]:
        """Width and height, pixels."""
        across, high = self._window.GetSize()
        return across, high

    def sentences_on_screen(self) -> list[tuple[float, float, int]]:
        """Top and bottom of each finding's words, pixels from the top of the window, and which it is."""
        top = self.size[1] - self._words.size[1]
        return [(top + begin, top + end, k) for begin, end, k in self._sentences]

    def close_box(self) -> tuple[float, float, float, float]:
        """The close view: left, top, right, low, pixels from the upper left of the window."""
        across, high = self.size
        x0, y0, x1, y1 = self.close.renderer.GetViewport()
        return x0 * across, (1.0 - y1) * high, x1 * across, (1.0 - y0) * high

    def note_boxes(self) -> list[tuple[float, float, float, float]]:
        """The words over the close view, as `close_box` is."""
        left, _, _, low = self.close_box()
        return [(left + x0, low - y1, left + x1, low - y0) for x0, y0, x1, y1 in self._notes.boxes]

    def press(self, key: str) -> None:
        """What a key does; an unknown one does nothing."""
        command = commands().get(key)
        if command is None:
            return
        if self.desk.state.card and key not in {"h", "question", "F1", "q", "Escape"}:
            self.desk.state.card = False
        command.does(self.desk)
        if self.desk.state.closing:
            self._interactor.TerminateApp()
            return
        self.draw()

    def click(self, x: int, y: int) -> None:
        """What a click does; pixels from the lower left."""
        desk = self.desk
        if desk.state.card:
            desk.state.card = False
        elif _inside(self.plan.renderer, self._window, x, y):
            mark = self.plan.pier_at(x, y)
            if mark is None:
                return
            desk.go(mark)
        elif _inside(self._words.renderer, self._window, x, y):
            top = self._words.size[1] - y
            hit = [k for begin, end, k in self._sentences if begin <= top <= end]
            if not hit:
                return
            desk.go(desk.state.pier, hit[0])
        elif not self._clicked_part(x, y):
            return
        self.draw()

    def _go_on(self) -> None:
        """Judge some more of a large site, and show what came out."""
        if self._timer is None:
            return
        self.desk.work.judge(SLICE)
        if not self.desk.work.pending:
            self._interactor.DestroyTimer(self._timer)
            self._timer = None
        self.plan.update()
        self._show_legend()
        self._window.Render()

    def _show_legend(self) -> None:
        """Write the legend anew where something that it tells has changed."""
        work = self.desk.work
        told = (self._legend.size, *map(work.level, work.marks), len(work.pending), len(work.elsewhere))
        if told != self._legend_drawn:
            legend(self._legend, self.desk)
            self._legend_drawn = told

    def _clicked_part(self, x: int, y: int) -> bool:
        asking = [feature.clicked for feature in features() if feature.clicked is not None]
        if not asking or not _inside(self.close.renderer, self._window, x, y):
            return False
        part, point = self.close.part_at(x, y)
        answers = [clicked(self.desk, part, point) for clicked in asking]
        return any(answers)

    def _show_shared(self) -> None:
        import pyvista as pv

        if self._shared is not None:
            self._overlay.RemoveActor(self._shared)
            self._shared = None
        data = shared(self.desk)
        if data is not None:
            mapper = pv.DataSetMapper(data)
            mapper.SetScalarModeToUseCellData()
            mapper.SetColorModeToDirectScalars()
            self._shared = pv.Actor(mapper=mapper)
            self._shared.GetProperty().SetLighting(False)
            self._overlay.AddActor(self._shared)

    def _show_card(self) -> None:
        shown = self.desk.state.card
        self._card.renderer.SetDraw(shown)
        if shown and self._card_drawn != self._laid_out:
            self._card_drawn = self._laid_out
            card(self._card)

    def _save(self, target: Path) -> None:
        try:
            with outputs(target) as out:
                out.put(target, self.picture())
        except BadInput as error:
            self.desk.state.said = str(error.problems[0])
        else:
            self.desk.state.said = f"Saved as {target}."

    def _lay_out(self) -> None:
        """Give every panel its part of the window, anew when that has another size."""
        window = self._window
        across, high = window.GetSize()
        if (across, high) == self._laid_out:
            return
        self._laid_out = (across, high)
        under, words = min(_LEGEND / high, 0.4), min(_WORDS / high, 0.5)
        self.plan.renderer.SetViewport(0.0, under, _PLAN, 1.0)
        self._legend.renderer.SetViewport(0.0, 0.0, _PLAN, under)
        for renderer in (self.close.renderer, self._overlay):
            renderer.SetViewport(_PLAN, words, 1.0, 1.0)
        self._words.renderer.SetViewport(_PLAN, 0.0, 1.0, words)
        self._card.renderer.SetViewport(0.0, 0.0, 1.0, 1.0)
        self.plan.fit(self._aspect(self.plan.renderer))

    def _aspect(self, renderer: Any) -> float:
        across, high = _size(renderer, self._window)
        return across / max(high, 1)

    def _over(self, window: Any, below: Any) -> Any:
        """A renderer over another, with its camera."""
        from vtkmodules.vtkRenderingCore import vtkRenderer

        over = vtkRenderer()
        over.SetLayer(2)
        over.SetInteractive(0)
        over.SetPreserveColorBuffer(1)
        over.SetActiveCamera(below.GetActiveCamera())
        window.AddRenderer(over)
        return over

    def _listen(self) -> None:
        """Take keys and mouse away from the toolkit's own habits."""
        from vtkmodules.vtkInteractionStyle import vtkInteractorStyleTrackballCamera

        interactor = self._interactor
        style: Any = vtkInteractorStyleTrackballCamera()  # VTK's types know no observers by name
        style.AddObserver("CharEvent", lambda *_: None)
        for event in ("LeftButtonPressEvent", "LeftButtonDoubleClickEvent"):  # VTK sends one or the other
            style.AddObserver(event, lambda *_: self._down(style))
        style.AddObserver("LeftButtonReleaseEvent", lambda *_: self._up(style))
        style.AddObserver("InteractionEvent", lambda *_: self._turned())
        interactor.SetInteractorStyle(style)
        self._style = style
        interactor.AddObserver("KeyPressEvent", lambda *_: self._key())
        self._window.AddObserver("WindowResizeEvent", lambda *_: self._resized())

    def _key(self) -> None:
        interactor = self._interactor
        key = interactor.GetKeySym() or ""
        held = "".join(
            name
            for name, on in (("ctrl+", interactor.GetControlKey()), ("alt+", interactor.GetAltKey()))
            if on
        )
        shift = "shift+" if interactor.GetShiftKey() and f"shift+{key}" in commands() else ""
        self.press(held + shift + (key.lower() if len(key) == 1 else key))

    def _down(self, style: Any) -> None:
        x, y = self._interactor.GetEventPosition()
        self._pressed = (x, y)
        if _inside(self.close.renderer, self._window, x, y) and not self.desk.state.card:
            style.OnLeftButtonDown()

    def _up(self, style: Any) -> None:
        x, y = self._interactor.GetEventPosition()
        style.OnLeftButtonUp()
        pressed, self._pressed = self._pressed, None
        if pressed is not None and max(abs(x - pressed[0]), abs(y - pressed[1])) <= _CLICK:
            self.click(x, y)
        elif pressed is not None and self.desk.state.view is View.FREE:
            self.draw()

    def _turned(self) -> None:
        """The mouse has moved the camera: from a turn on, the view is free."""
        if self._style.GetState() == 1:  # VTKIS_ROTATE
            self.desk.state.view = View.FREE

    def _resized(self) -> None:
        if self._laid_out is not None and self._window.GetSize() != self._laid_out:
            self.draw()


def _size(renderer: Any, window: Any) -> tuple[int, int]:
    """Width and height of a renderer, pixels."""
    across, high = window.GetSize()
    x0, y0, x1, y1 = renderer.GetViewport()
    return round((x1 - x0) * across), round((y1 - y0) * high)


def _inside(renderer: Any, window: Any, x: int, y: int) -> bool:
    across, high = window.GetSize()
    x0, y0, x1, y1 = renderer.GetViewport()
    return bool(x0 <= x / across < x1 and y0 <= y / high < y1)
