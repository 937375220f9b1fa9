"""A panel: a part of the window in pixels, with words, signs and boxes, from its upper left corner."""

from __future__ import annotations

from typing import Any

import numpy as np

from viewer.legend.looks import LevelLook
from viewer.scene.meshes import shares
from viewer.window.signs import Flat, closed, fills_data, lines_data, sign

INK = "#1c2326"
FAINT = "#55626a"


class Panel:
    """Words and flat shapes in a renderer of their own."""

    def __init__(self, window: Any, layer: int = 0, background: str | None = "#ffffff") -> None:
        """A renderer of `window` (vtkRenderWindow); background: None where it lies over another."""
        from vtkmodules.vtkRenderingCore import vtkRenderer

        self.renderer = vtkRenderer()
        self.renderer.SetLayer(layer)
        self.renderer.SetInteractive(0)
        if background is None:
            self.renderer.SetPreserveColorBuffer(1)
        else:
            self.renderer.SetBackground(*shares(background))
        window.AddRenderer(self.renderer)
        self._window = window
        self._flat = Flat()
        self._props: list[Any] = []
        self._words: list[Any] = []

    @property
    def size(self) -> tuple[int, int]:
        """Width and height, pixels."""
        across, high = self._window.GetSize()
        x0, y0, x1, y1 = self.renderer.GetViewport()
        return round((x1 - x0) * across), round((y1 - y0) * high)

    def clear(self) -> None:
        """Nothing on it."""
        for prop in self._props:
            self.renderer.RemoveViewProp(prop)
        self._props, self._words, self._flat = [], [], Flat()

    def write(
        self, x: float, y: float, text: str, size: int = 14, bold: bool = False, color: str = INK
    ) -> None:
        """A line of words: its left end and the middle of its height at (x, y)."""
        from vtkmodules.vtkRenderingCore import vtkTextActor

        if not text:
            return
        actor = vtkTextActor()
        actor.SetInput(text)
        style = actor.GetTextProperty()
        style.SetFontFamilyToArial()
        style.SetFontSize(size)
        style.SetBold(bold)
        style.SetColor(*shares(color))
        style.SetVerticalJustificationToCentered()
        actor.SetPosition(x, self.size[1] - y)
        self._words.append(actor)

    def sign(self, x: float, y: float, radius: float, look: LevelLook) -> None:
        """The sign of a level about (x, y)."""
        self._flat.add(sign(look, x, self.size[1] - y, radius))

    def box(
        self, left: float, top: float, right: float, low: float, color: str, rim: str | None = None
    ) -> None:
        """A filled rectangle."""
        high = self.size[1]
        ring = np.array([[left, high - low], [right, high - low], [right, high - top], [left, high - top]])
        self._flat.fills.append((ring, color))
        if rim is not None:
            self._flat.lines.append((closed(ring), rim))

    def finish(self, opacity: float = 1.0) -> None:
        """Put on it what was written: flat shapes first, words over them (drawn in the order of adding)."""
        for data, thick in ((fills_data(self._flat), 1.0), (lines_data(self._flat), 1.5)):
            if data.n_points:
                self._add(actor_2d(data, thick, opacity))
        for actor in self._words:
            self._add(actor)

    def _add(self, prop: Any) -> None:
        self.renderer.AddViewProp(prop)
        self._props.append(prop)


def actor_2d(data: Any, thick: float = 1.0, opacity: float = 1.0) -> Any:
    """Flat shapes in pixels as a VTK actor, colored by their cell data."""
    from vtkmodules.vtkRenderingCore import vtkActor2D, vtkPolyDataMapper2D

    mapper = vtkPolyDataMapper2D()
    mapper.SetInputData(data)
    mapper.SetScalarModeToUseCellData()
    actor = vtkActor2D()
    actor.SetMapper(mapper)
    actor.GetProperty().SetLineWidth(thick)
    actor.GetProperty().SetOpacity(opacity)
    return actor
