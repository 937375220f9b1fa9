"""A pier as lines in space with a thickness and a color: what the turning view of the briefing draws."""

from __future__ import annotations

from typing import Any

import numpy as np

from models.colors import color
from models.motion import Array
from models.part import Part, Role
from models.pier import Pier
from models.shapes.mesh import stations
from models.solids import Swept

_CHORD = 2.0
"""mm: how true bends are."""


def lines(pier: Pier) -> list[list[Any]]:
    """[color, thickness mm, points] for each run; points are x, y, z in whole mm in site directions.

    The origin is the middle of the pier's concrete. Bars are their center lines, other parts their edges.
    """
    turn, half = pier.frame.rotation, pier.concrete.bottom / 2.0
    ring = pier.concrete.outline.outer.polyline(4.0)
    out = [_run("#9aa5a8", 6.0, edge, turn, half) for edge in _edges(ring, pier.concrete.bottom, 0.0)]
    for part in pier.parts:
        if part.role in (Role.GRADE_BEAM, Role.BEAM, Role.GROUT):
            continue
        out += [_run(_css(part), thick, line, turn, half) for thick, line in _lines(part)]
    return out


def _lines(part: Part) -> list[tuple[float, Array]]:
    solid = part.solid
    if isinstance(solid, Swept):
        return [(2.0 * solid.radius, stations(solid, _CHORD)[0])]
    edges = _edges(solid.outline.outer.polyline(4.0), solid.bottom, solid.top)
    return [(5.0, solid.motion.points(edge)) for edge in edges]


def _edges(ring: Array, bottom: float, top: float) -> list[Array]:
    """The two rings of a prism, and its upright edges where it has few corners."""
    closed = np.vstack([ring, ring[:1]])
    rings = [np.column_stack([closed, np.full(len(closed), z)]) for z in (bottom, top)]
    upright = ring if len(ring) <= 12 else ring[:: max(1, len(ring) // 4)]
    return rings + [np.array([[x, y, bottom], [x, y, top]]) for x, y in upright.tolist()]


def _run(css: str, thick: float, points: Array, turn: Array, half: float) -> list[Any]:
    placed = (points - np.array([0.0, 0.0, half])) @ turn.T
    return [css, round(thick, 1), placed.round().astype(int).ravel().tolist()]


def _css(part: Part) -> str:
    return "#" + "".join(f"{round(255 * channel):02x}" for channel in color(part.role)[:3])
