"""The key plan: all piers in plan, north up, each with the sign of its worst level and its mark."""

from __future__ import annotations

from typing import Any

import numpy as np

from models.part import Role
from viewer.legend.ground import beams_of, origin_of, pier_outline
from viewer.legend.looks import role_look
from viewer.legend.rows import usual_spacing
from viewer.scene.meshes import rgb
from viewer.window.desk import Desk
from viewer.window.signs import Flat, closed, fills_data, lines_data, sign
from viewer.window.text import width

_SIGN, _MARK = 0.2, 0.17
"""Radius of a sign and height of a mark, as shares of the distance between piers."""
_CLICK = 1.6
"""How far from a sign's center a click still means it, in its radii."""
_NAME = 15
_READABLE = 9.0
"""Pixels that a mark has to be high to be read; smaller ones are left out until one goes nearer (wheel)."""
_STEP = 110.0
"""Pixels from pier to pier, at most: two piers do not fill a plan."""
_CLOSEST, _ALONE = 0.05, 3000.0
"""The share of piers that may stand nearer than the plan's step; mm, the step of a pier alone."""
_LETTER = 0.72
"""mm that a letter is wide, at most, where letters are 1 mm high."""


class KeyPlan:
    """The plan in a renderer of its own."""

    def __init__(self, renderer: Any, desk: Desk) -> None:
        """Nothing drawn yet."""
        self.renderer, self._desk = renderer, desk
        renderer.SetBackground(1.0, 1.0, 1.0)
        specs = [pier.spec for pier in desk.work.site.piers]
        self._marks = [spec.mark for spec in specs]
        self.origin = origin_of(desk.work.site)
        self._places = np.array([[spec.x, spec.y] for spec in specs]) - self.origin
        self._step = usual_spacing(self._places, _CLOSEST) or _ALONE
        self._shown: tuple[Any, ...] | None = None
        self._ring: Any = None
        self._signs: list[Any] = []
        self._marks_drawn, self._mark_height = self._letters()
        self._ground()
        self._name = _label()
        renderer.AddViewProp(self._name)
        renderer.AddObserver("StartEvent", lambda *_: self._readable())

    def update(self) -> None:
        """Bring the signs and the ring to the state."""
        desk = self._desk
        levels = tuple(look and look.word for look in map(desk.work.level, self._marks))
        if self._shown is None or self._shown != levels:
            self._shown = levels
            for actor in self._signs:
                self.renderer.RemoveActor(actor)
            flat = Flat()
            for mark, (x, y) in zip(self._marks, self._places.tolist(), strict=True):
                look = desk.work.level(mark)
                if look is not None:
                    flat.add(sign(look, x, y, _SIGN * self._step))
            self._signs = [_actor(fills_data(flat, 10.0)), _actor(lines_data(flat, 20.0), 1.3)]
            for actor in self._signs:
                self.renderer.AddActor(actor)
        if self._ring is not None:
            self.renderer.RemoveActor(self._ring)
        here = self._places[self._marks.index(desk.state.pier)]
        angle = np.linspace(0.0, 2.0 * np.pi, 49)
        ring = here + 1.36 * _SIGN * self._step * np.column_stack([np.cos(angle), np.sin(angle)])
        self._ring = _actor(lines_data(Flat(lines=[(ring, "#000000")]), 30.0), 3.0)
        self.renderer.AddActor(self._ring)

    def fit(self, aspect: float) -> None:
        """Show all of it in a picture `aspect` times as wide as it is high."""
        low, high = self._places.min(axis=0) - self._step * 0.62, self._places.max(axis=0) + self._step * 0.62
        middle, size = (low + high) / 2.0, high - low
        camera = self.renderer.GetActiveCamera()
        camera.SetParallelProjection(True)
        camera.SetFocalPoint(middle[0], middle[1], 0.0)
        camera.SetPosition(middle[0], middle[1], 1e5)
        camera.SetViewUp(0.0, 1.0, 0.0)
        _, pixels = self.renderer.GetSize()
        widest = self._step * max(pixels, 1) / (2.0 * _STEP)
        camera.SetParallelScale(max(size[1] / 2.0, size[0] / aspect / 2.0, widest))
        camera.SetClippingRange(1e4, 2e5)

    def pier_at(self, x: float, y: float) -> str | None:
        """The mark of the pier at a point of the screen, pixels from the lower left; None beside all."""
        self.renderer.SetDisplayPoint(x, y, 0.0)
        self.renderer.DisplayToWorld()
        at = self.renderer.GetWorldPoint()
        away = np.linalg.norm(self._places - np.array(at[:2]) / (at[3] or 1.0), axis=1)
        nearest = int(np.argmin(away))
        return self._marks[nearest] if away[nearest] <= _CLICK * _SIGN * self._step else None

    def on_screen(self, mark: str) -> tuple[float, float]:
        """Where a pier's sign is, pixels from the lower left of the window."""
        x, y = self._places[self._marks.index(mark)].tolist()
        self.renderer.SetWorldPoint(x, y, 0.0, 1.0)
        self.renderer.WorldToDisplay()
        at = self.renderer.GetDisplayPoint()
        return at[0], at[1]

    def _ground(self) -> None:
        """Grade beams and beams, and the outlines of the piers, as they lie."""
        flat, site = Flat(), self._desk.work.site
        for role in (Role.GRADE_BEAM, Role.BEAM):
            color = role_look(role).color
            for beam in beams_of(site, role, self.origin):
                flat.fills.append((beam.outline, _paled(color, 0.55)))
                flat.lines.append((closed(beam.outline), _paled(color, 0.1)))
        flat.lines += [(closed(pier_outline(pier, self.origin)), "#6d787d") for pier in site.piers]
        for data, thick in ((fills_data(flat), 1.0), (lines_data(flat, 5.0), 1.0)):
            if data.n_points:
                self.renderer.AddActor(_actor(data, thick))

    def _readable(self) -> None:
        """Marks where they can be read; else the mark of the pier that is shown alone, beside its ring."""
        _, high = self.renderer.GetSize()
        pixels = high / (2.0 * self.renderer.GetActiveCamera().GetParallelScale())
        read = self._mark_height * pixels >= _READABLE
        self._marks_drawn.SetVisibility(read)
        self._name.SetVisibility(not read)
        mark = self._desk.state.pier
        self._name.SetInput(mark)
        x, y = self.on_screen(mark)
        left, low = self.renderer.GetOrigin()
        across, _ = self.renderer.GetSize()
        x, y = x - left, y - low
        wide = width(mark, _NAME, True)
        aside = 1.5 * _SIGN * self._step * pixels + 6.0
        self._name.SetPosition(x + aside if x + aside + wide < across - 4 else x - aside - wide, y)

    def _letters(self) -> tuple[Any, float]:
        """Marks under their signs, in letters of the plan, so that they grow with it and never meet."""
        import pyvista as pv
        from vtkmodules.vtkRenderingFreeType import vtkVectorText

        longest = max(len(mark) for mark in self._marks)
        high = min(_MARK, 0.9 / (longest * _LETTER)) * self._step
        points, faces, first = [], [], 0
        for mark, (x, y) in zip(self._marks, self._places.tolist(), strict=True):
            text = vtkVectorText()
            text.SetText(mark)
            text.Update()
            data = pv.wrap(text.GetOutput())
            if data.n_points == 0:
                continue
            at = np.array(data.points, dtype=float) * high
            at[:, 0] += x - (at[:, 0].min() + at[:, 0].max()) / 2.0
            at[:, 1] += y - 1.68 * _SIGN * self._step - high
            at[:, 2] = 25.0
            triangles = np.asarray(data.faces).reshape(-1, 4)[:, 1:]
            faces.append(triangles + first)
            points.append(at)
            first += len(at)
        corners = np.concatenate(faces)
        cells = np.column_stack([np.full(len(corners), 3), corners]).ravel()
        letters = pv.PolyData(np.concatenate(points).astype(np.float32), faces=cells)
        actor = _actor(letters)
        actor.GetProperty().SetColor(0.1, 0.13, 0.14)
        self.renderer.AddActor(actor)
        return actor, high


def _label() -> Any:
    """The mark of the pier that is shown, where the others are too small."""
    from vtkmodules.vtkRenderingCore import vtkTextActor

    actor = vtkTextActor()
    style = actor.GetTextProperty()
    style.SetFontFamilyToArial()
    style.SetFontSize(_NAME)
    style.SetBold(True)
    style.SetColor(0.0, 0.0, 0.0)
    style.SetBackgroundColor(1.0, 1.0, 1.0)
    style.SetBackgroundOpacity(0.85)
    style.SetVerticalJustificationToCentered()
    return actor


def _paled(color: str, share: float) -> str:
    return "#" + "".join(f"{round(c + (255 - c) * share):02x}" for c in rgb(color))


def _actor(data: Any, thick: float = 1.0) -> Any:
    import pyvista as pv

    mapper = pv.DataSetMapper(data)
    if "rgb" in data.cell_data:
        mapper.SetScalarModeToUseCellData()
        mapper.SetColorModeToDirectScalars()
    actor = pv.Actor(mapper=mapper)
    actor.GetProperty().SetLighting(False)
    actor.GetProperty().SetLineWidth(thick)
    actor.SetPickable(False)
    return actor
