"""The site view: every pier in true elevation, with the level of the highest seat."""

from __future__ import annotations

from typing import Any

import numpy as np

from models.lengths import show_length
from models.motion import Array
from models.part import Role
from viewer.legend.looks import role_look
from viewer.scene.cameras import fitted
from viewer.scene.groups import Group
from viewer.scene.meshes import polydata, rgb
from viewer.scene.site import HighestSeat, highest_seat, middle, site_surfaces
from viewer.window.close_view import place_camera
from viewer.window.desk import Desk
from viewer.window.notes import Note
from viewer.wording.fold import named

_BEYOND = 900.0
"""mm that the level line runs past the outermost piers."""
LEVEL = "#a01f6b"


class SiteView:
    """All piers in the renderer of the close view."""

    def __init__(self, renderer: Any, desk: Desk) -> None:
        """Nothing drawn yet: it is built when first asked for."""
        self.renderer, self._desk = renderer, desk
        self._actors: dict[Group, Any] = {}
        self._ends: Array | None = None
        self._origin = middle(desk.work.site)
        self._turned: tuple[Any, ...] | None = None
        self._flagged: tuple[str, ...] = ()

    def hide(self) -> None:
        """Take everything off."""
        for actor in self._actors.values():
            actor.SetVisibility(False)
        self._turned = None

    def update(self, aspect: float) -> None:
        """Bring the site, and where it is seen from, to the state."""
        flagged = self._desk.work.flagged
        if not self._actors or flagged != self._flagged:
            self._flagged = flagged
            for actor in self._actors.values():
                self.renderer.RemoveActor(actor)
            self._build()
        state = self._desk.state
        for group, actor in self._actors.items():
            actor.SetVisibility(group not in state.hidden)
        turned = (state.turned, round(aspect, 3))
        if turned != self._turned and self._ends is not None:
            self._turned = turned
            place_camera(self.renderer, fitted(state.view, 0.0, self._ends, aspect))
        self.renderer.ResetCameraClippingRange()

    def notes(self) -> list[Note]:
        """The level line of the highest seat round the site, and the pier that one was at."""
        desk = self._desk
        seat = self._seat()
        z = seat.elevation - self._origin[2]
        places = np.array([[p.spec.x, p.spec.y] for p in desk.work.site.piers]) - self._origin[:2]
        low, high = places.min(axis=0) - _BEYOND, places.max(axis=0) + _BEYOND
        ring = [(low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1]), (low[0], low[1])]
        level = np.array([[x, y, z] for x, y in ring])
        how = "as placed" if seat.placed else "as drawn"
        at = show_length(seat.elevation, desk.work.units)
        words = f"highest seat {at} ({how}), at {named(list(seat.marks))}"
        pier = desk.looked.pier
        here = np.array([[pier.spec.x, pier.spec.y, pier.spec.top]]) - self._origin
        return [
            Note(level, "", LEVEL, thick=3.0),
            Note(level[:1], words, LEVEL, bold=True),
            Note(here, pier.mark),
        ]

    def _seat(self) -> HighestSeat:
        placed = self._desk.work.level_placed
        return placed if placed is not None else highest_seat(self._desk.work.site)

    def _build(self) -> None:
        import pyvista as pv

        work = self._desk.work
        flagged = np.array([pier.mark in self._flagged for pier in work.site.piers])
        for group, made in site_surfaces(work.site).items():
            data = polydata(made)
            if group is Group.CONCRETE:
                colors = np.array(data["rgb"])
                colors[flagged[np.array(data["part"])]] = rgb(_FLAGGED)
                data["rgb"] = colors
            data.cell_data.active_scalars_name = "rgb"
            mapper = pv.DataSetMapper(data)
            mapper.SetScalarModeToUseCellData()
            mapper.SetColorModeToDirectScalars()
            actor = pv.Actor(mapper=mapper)
            actor.GetProperty().SetAmbient(0.3)
            actor.GetProperty().SetDiffuse(0.75)
            actor.SetPickable(False)
            self.renderer.AddActor(actor)
            self._actors[group] = actor
        corners = np.array([actor.GetBounds() for actor in self._actors.values()])
        low, high = corners[:, ::2].min(axis=0), corners[:, 1::2].max(axis=0)
        places = np.array([[p.spec.x, p.spec.y] for p in work.site.piers]) - self._origin[:2]
        low[:2] = np.minimum(low[:2], places.min(axis=0) - _BEYOND)
        high[:2] = np.maximum(high[:2], places.max(axis=0) + _BEYOND)
        self._ends = np.array(np.meshgrid(*zip(low, high, strict=True))).reshape(3, -1).T


_FLAGGED = "#" + "".join(f"{int(c * 0.62):02x}" for c in rgb(role_look(Role.CONCRETE).color))
"""Concrete of piers with a finding: the same gray, darker; which level it is stands on the key plan."""
