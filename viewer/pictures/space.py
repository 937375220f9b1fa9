"""The view of a pier in space, off-screen: its steel before the inner sides of its concrete.

Drivers may fail hard where there is no screen, so that a process of its own makes it (`made.py`).
"""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from models.part import Role, Stage
from models.pier import Pier
from viewer.legend.looks import role_look
from viewer.legend.spots import Watch
from viewer.pictures.pier_page import Solid
from viewer.scene.cameras import View, fitted
from viewer.scene.concrete import edge_lines, skin
from viewer.scene.meshes import polydata, surface, upright

if TYPE_CHECKING:
    import pyvista as pv

_LEFT_OUT = frozenset({Role.BEAM, Role.GRADE_BEAM, Role.GROUT, Role.STANDING, Role.TEMPLATE})
NO_VIEW = "No view in space: this computer could not draw one without a screen."


def prepare() -> None:
    """Choose how to draw before VTK is loaded: without a screen on Linux, by EGL."""
    if sys.platform.startswith("linux") and not os.environ.get("DISPLAY"):
        os.environ.setdefault("VTK_DEFAULT_OPENGL_WINDOW", "vtkEGLRenderWindow")


def solid_view(pier: Pier, watch: Sequence[Watch], size: tuple[int, int]) -> Solid:
    """The view, `size` pixels wide and high, and where findings lie in it. Raises RuntimeError without GL."""
    import pyvista as pv
    from PIL import Image
    from vtkmodules.vtkCommonCore import vtkObject

    vtkObject.GlobalWarningDisplayOff()
    flagged = {part for note in watch for part in note.parts}
    later = any(part.id in flagged and part.stage is Stage.SET for part in pier.parts)
    shown = [i for i, part in enumerate(pier.parts) if _shows(part.role, part.stage, later=later)]
    motion = upright(pier)
    steel = surface(pier.parts, pier, motion, shown)
    concrete = skin(pier)
    points = np.concatenate([steel.vertices, concrete.surface.vertices])
    camera = fitted(View.FREE, 0.0, points, size[0] / size[1])
    plotter = pv.Plotter(off_screen=True, window_size=list(size))
    plotter.enable_lightkit()
    try:
        plotter.background_color = pv.Color("#ffffff")
        tone = role_look(Role.CONCRETE).color
        body = polydata(concrete.surface)
        plotter.add_mesh(body, color=tone, culling="front", ambient=0.55, diffuse=0.45, specular=0.0)
        if len(concrete.edges):
            plotter.add_mesh(edge_lines(concrete.edges), color="#333333", line_width=3)
        plotter.add_mesh(polydata(steel), scalars="rgb", rgb=True, ambient=0.25, diffuse=0.75, specular=0.15)
        plotter.camera.position, plotter.camera.focal_point = camera.position, camera.focal
        plotter.camera.up, plotter.camera.parallel_projection = camera.up, True
        plotter.camera.parallel_scale = camera.half
        plotter.renderer.ResetCameraClippingRange()
        picture = plotter.screenshot(return_img=True)
        spots = _spots(plotter, pier, watch)
    finally:
        plotter.close()
    if picture is None or int(np.ptp(picture)) == 0:
        raise RuntimeError("the view in space came out blank")
    stream = io.BytesIO()
    Image.fromarray(picture).save(stream, "PNG", compress_level=1)
    return Solid(stream.getvalue(), "", spots)


def _shows(role: Role, stage: Stage, *, later: bool) -> bool:
    """Without what would hide the cage; plate and nuts only where something about them was found."""
    return role not in _LEFT_OUT and (stage is Stage.ALWAYS or (stage is Stage.SET) is later)


def _spots(
    plotter: pv.Plotter, pier: Pier, watch: Sequence[Watch]
) -> tuple[tuple[int, tuple[float, float]], ...]:
    """Number and place in the picture, in shares of its width and height, of what was found."""
    found = []
    for note in watch:
        if note.at is not None:
            x, y, z = (np.array(note.at) - pier.frame.shift).tolist()
            renderer = plotter.renderer
            renderer.SetWorldPoint(x, y, z, 1.0)
            renderer.WorldToView()
            u, v, _ = renderer.GetViewPoint()
            found.append((note.number, ((u + 1.0) / 2.0, (v + 1.0) / 2.0)))
    return tuple(found)
