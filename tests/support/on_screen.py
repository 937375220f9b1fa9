"""Where parts are to be clicked in the close view of a window."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from models.shapes.mesh import mesh_of
from viewer.scene.meshes import upright
from viewer.window.desk import Desk
from viewer.window.window import Window

MOST = 80
"""Points of a part that are tried."""
ROUND = ((0, 0), (-2, 0), (2, 0), (0, -2), (0, 2))
"""Pixels about a point that all have to be the part's, so that a hand need not be exact."""


def parts_on_screen(desk: Desk, window: Window, wanted: Sequence[str]) -> dict[str, list[int]]:
    """Pixels, from the upper left, at which parts are in front of all others; those that are hidden left out.

    Places are those of the middles of its triangles.
    """
    pier, renderer = desk.looked.pier, window.close.renderer
    high, found = window.size[1], {}
    left, top, right, low = window.close_box()
    for i, part in enumerate(pier.parts):
        if part.id not in wanted:
            continue
        mesh = mesh_of(part.solid, 2.0)
        middles = upright(pier).points(mesh.vertices[mesh.faces].mean(axis=1))
        for x, y, z in middles[np.linspace(0, len(middles) - 1, MOST).astype(int)].tolist():
            renderer.SetWorldPoint(x, y, z, 1.0)
            renderer.WorldToDisplay()
            across, up = (round(v) for v in renderer.GetDisplayPoint()[:2])
            inside = left < across < right and top < high - up < low
            if inside and all(window.close.part_at(across + dx, up + dy)[0] == i for dx, dy in ROUND):
                found[part.id] = [across, high - up]
                break
    return found
