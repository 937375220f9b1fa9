"""The close view: one pier by trade groups, clear concrete round it, what is in the way taken off."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable
from typing import Any

import numpy as np
from msgspec import Struct

from models.motion import Array
from models.part import Role
from models.pier import Pier
from models.solids import Swept
from viewer.legend.looks import part_look, role_look
from viewer.scene.cameras import Camera, at, fitted, turn_of
from viewer.scene.concrete import edge_lines, skin
from viewer.scene.groups import Group, by_group
from viewer.scene.meshes import polydata, rgb, shares, surface, upright
from viewer.window.desk import Desk

_KEPT = 240
"""Surfaces that are kept, of one trade group at one pier each."""
_NEAR, _FAR, _SPOT = 190.0, 450.0, 6.0
"""mm, half the height of the picture of a spot: at least, at most, and in lengths of its gap."""
_PALE = 0.5
"""How far the color of what a finding is not about goes to white."""
_CONCRETE, _EDGE = 0.3, "#5d6a6e"
_SUN, _DIM = np.array([0.36, 0.48, 0.80]), 0.8
"""Where the light on clear surfaces comes from (either side of a face counts), the least share."""
GROUND = "#f4f6f6"
_Key = tuple[Hashable, ...]


class _Layer(Struct, eq=False):
    """One group's surface, opaque or clear. data: with normals; parts: of each triangle; faces: (m, 3)."""

    group: Group
    data: Any
    part: Any
    faces: Any
    rgb: Any
    opacity: float


class CloseView:
    """The pier in a renderer of its own."""

    def __init__(self, renderer: Any, desk: Desk) -> None:
        """Nothing drawn yet."""
        self.renderer, self._desk = renderer, desk
        _light(renderer)
        self._layers: OrderedDict[_Key, list[_Layer]] = OrderedDict()
        self._actors: dict[_Key, Any] = {}
        self._drawn: tuple[Any, ...] | None = None
        self._turned: tuple[Any, ...] | None = None

    def hide(self) -> None:
        """Take everything off; the next update draws anew."""
        if self._drawn is not None:
            self._clear()
            self._drawn = self._turned = None

    def update(self, aspect: float) -> None:
        """Bring the pier, and where it is seen from, to the state."""
        desk, state = self._desk, self._desk.state
        pier = desk.looked.pier
        own = () if desk.place is None else desk.place.spot.own
        off = state.off | desk.absent
        wanted = (pier, state.hidden, off, state.faces, state.level, own)
        if wanted != self._drawn:
            self._drawn = wanted
            self._draw(pier, frozenset(own), off)
        turned = (pier.mark, state.turned, round(aspect, 3))
        if turned != self._turned:
            self._turned = turned
            place_camera(self.renderer, self._camera(pier, aspect))
        self.renderer.ResetCameraClippingRange()

    def part_at(self, x: float, y: float) -> tuple[int | None, Array | None]:
        """The part at a point of the screen and where on it, pier's frame; None beside all."""
        from vtkmodules.vtkRenderingCore import vtkCellPicker

        picker = vtkCellPicker()
        picker.SetTolerance(0.001)
        picker.Pick(x, y, 0.0, self.renderer)
        data, cell = picker.GetDataSet(), picker.GetCellId()
        if data is None or cell < 0:
            return None, None
        part = int(data.GetCellData().GetArray("part").GetTuple1(cell))
        point = upright(self._desk.looked.pier).inverse().points(np.array(picker.GetPickPosition()))
        return part, point

    def _camera(self, pier: Pier, aspect: float) -> Camera:
        state, place = self._desk.state, self._desk.place
        turn = turn_of(pier.frame)
        if place is None or state.whole:
            return fitted(state.view, turn, _extent(pier, self._desk.absent), aspect)
        spot = place.spot
        half = float(np.clip(_SPOT * max(spot.length, abs(place.gap or 0.0)), _NEAR, _FAR))
        return at(state.view, turn, upright(pier).points(spot.middle), half)

    def _draw(self, pier: Pier, own: frozenset[int], off: frozenset[int]) -> None:
        """Put on what is shown; what is shown already stays."""
        state = self._desk.state
        before, self._actors = self._actors, {}
        for layer in self._prepared(pier):
            if layer.group in state.hidden:
                continue
            here = frozenset(layer.part.tolist())
            key = (layer, here & off, bool(own), here & own)
            kept = before.pop(key, None)
            actor = self._colored(layer, off, own) if kept is None else kept
            if actor is not None:
                self._actors[key] = actor
        if Group.CONCRETE not in state.hidden:
            shell = (pier.concrete, pier.mark, state.faces, state.level)
            pair = (before.pop((*shell, k), None) for k in range(2))
            for k, actor in enumerate(pair if (*shell, 1) in before else self._concrete(pier)):
                if actor is not None:
                    self._actors[(*shell, k)] = actor
        for actor in before.values():
            self.renderer.RemoveActor(actor)

    def _colored(self, layer: _Layer, off: frozenset[int], own: frozenset[int]) -> Any:
        """The actor of a layer, less what is taken off, pale where a finding is about other parts."""
        import pyvista as pv

        keep = ~np.isin(layer.part, list(off))
        colors = layer.rgb.copy()
        if own:
            other = ~np.isin(layer.part, list(own))
            colors[other] = (colors[other] + _PALE * (255.0 - colors[other])).astype(np.uint8)
        corners = layer.faces[keep]
        if len(corners) == 0:
            return None
        data = pv.PolyData(
            layer.data.points, faces=np.column_stack([np.full(len(corners), 3), corners]).ravel()
        )
        data.point_data.active_normals = layer.data.point_data["Normals"]
        data.cell_data["part"] = layer.part[keep]
        if layer.opacity < 1.0:
            return self._add_clear(data, colors[keep], layer.opacity, pickable=True)
        data.cell_data["rgb"] = colors[keep]
        return self._add(data, pickable=True)

    def _concrete(self, pier: Pier) -> tuple[Any, Any]:
        state = self._desk.state
        found = skin(pier, state.faces, state.level)
        shell = None
        if len(found.surface.faces):
            gray = np.tile(np.array(rgb(role_look(Role.CONCRETE).color)), (len(found.surface.faces), 1))
            shell = self._add_clear(polydata(found.surface), gray, _CONCRETE)
        lines = self._add(edge_lines(found.edges))
        lines.GetProperty().SetColor(*shares(_EDGE))
        lines.GetProperty().SetLineWidth(1.5)
        lines.GetProperty().SetLighting(False)
        return shell, lines

    def _prepared(self, pier: Pier) -> list[_Layer]:
        """A pier's surfaces by trade group; those of parts that have been drawn before are kept."""
        layers: list[_Layer] = []
        for group, which in by_group(pier).items():
            key = (group, *which, *(pier.parts[i] for i in which))
            kept = self._layers.get(key)
            if kept is None:
                kept = self._layers[key] = _split(pier, group, which)
            self._layers.move_to_end(key)
            layers += kept
        while len(self._layers) > _KEPT:
            self._layers.popitem(last=False)
        return layers

    def _add_clear(self, data: Any, colors: Any, opacity: float, pickable: bool = False) -> Any:
        """A clear surface, shaded by the directions of its faces: lights would cost a fifth of a frame."""
        data.cell_data["rgb"] = _shaded(colors, data.points, data.faces.reshape(-1, 4)[:, 1:])
        actor = self._add(data, pickable)
        actor.GetProperty().SetLighting(False)
        actor.GetProperty().SetOpacity(opacity)
        return actor

    def _add(self, data: Any, pickable: bool = False) -> Any:
        import pyvista as pv

        mapper = pv.DataSetMapper(data)
        if "rgb" in data.cell_data:
            data.cell_data.active_scalars_name = "rgb"
            mapper.SetScalarModeToUseCellData()
            mapper.SetColorModeToDirectScalars()
        else:
            mapper.ScalarVisibilityOff()
        actor = pv.Actor(mapper=mapper)
        style = actor.GetProperty()
        style.SetInterpolationToPhong()
        style.SetAmbient(0.28)
        style.SetDiffuse(0.78)
        style.SetSpecular(0.12)
        style.SetSpecularPower(20)
        actor.SetPickable(pickable)
        self.renderer.AddActor(actor)
        return actor

    def _clear(self) -> None:
        for actor in self._actors.values():
            self.renderer.RemoveActor(actor)
        self._actors = {}


def _split(pier: Pier, group: Group, which: list[int]) -> list[_Layer]:
    """The surface of some parts, split where some of them are clear and some are not."""
    opacity = {i: part_look(pier.parts[i], pier).opacity for i in which}
    made = surface(pier.parts, pier, upright(pier), which)
    layers = []
    for share in sorted(set(opacity.values())):
        data = polydata(made.only([i for i in which if opacity[i] == share]))
        faces = data.faces.reshape(-1, 4)[:, 1:]
        layers.append(_Layer(group, data, np.array(data["part"]), faces, np.array(data["rgb"]), share))
    return layers


def _shaded(colors: Any, points: Any, corners: Any) -> Any:
    """(m, 3) uint8: colors (m, 3) of triangles, darker the more they turn from the light."""
    a, b, c = (np.asarray(points, dtype=float)[corners[:, k]] for k in range(3))
    across = np.cross(b - a, c - a)
    length = np.linalg.norm(across, axis=1)
    toward = np.abs(across @ _SUN) / np.where(length > 0.0, length, 1.0)
    return np.rint(colors * (_DIM + (1.0 - _DIM) * toward)[:, None]).astype(np.uint8)


def _light(renderer: Any) -> None:
    """Two lights that go with the eye, in place of the toolkit's five, which cost half of a frame."""
    from vtkmodules.vtkRenderingCore import vtkLight

    renderer.RemoveAllLights()
    renderer.SetAutomaticLightCreation(False)
    for place, intensity in (((0.35, 0.5, 1.0), 0.75), ((0.0, 0.0, 1.0), 0.2)):
        light = vtkLight()
        light.SetLightTypeToCameraLight()
        light.SetPosition(*place)
        light.SetIntensity(intensity)
        renderer.AddLight(light)


def place_camera(renderer: Any, camera: Camera) -> None:
    """Put a renderer's camera there."""
    eye = renderer.GetActiveCamera()
    eye.SetParallelProjection(True)
    eye.SetPosition(camera.position)
    eye.SetFocalPoint(camera.focal)
    eye.SetViewUp(camera.up)
    eye.SetParallelScale(camera.half)


def _extent(pier: Pier, absent: frozenset[int]) -> Array:
    """(n, 3): what has to be in the picture of a whole pier, site directions: all but what runs on."""
    ring = pier.concrete.outline.outer.polyline(20.0)
    points = [np.column_stack([ring, np.full(len(ring), z)]) for z in (pier.concrete.bottom, 0.0)]
    for i, part in enumerate(pier.parts):
        if i not in absent and part.role not in (Role.BEAM, Role.GRADE_BEAM):
            solid = part.solid
            if isinstance(solid, Swept):
                points.append(solid.knots)
                continue
            flat = solid.outline.outer.polyline(20.0)
            ends = [np.column_stack([flat, np.full(len(flat), z)]) for z in (solid.bottom, solid.top)]
            points.append(solid.motion.points(np.concatenate(ends)))
    return upright(pier).points(np.concatenate(points))
