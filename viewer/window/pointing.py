"""What is pointed at in the close view: the gap or the shared space, its two things, and features' own."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from clash.shared_volume import shared_solid
from models.motion import Array, Motion
from models.part import Part
from models.shapes.mesh import stations
from models.solids import Swept
from models.winds import wind
from viewer.legend.looks import LEVELS
from viewer.scene.cameras import View, toward, turn_of, up, view_words
from viewer.scene.meshes import upright
from viewer.window.desk import Desk
from viewer.window.feature import features
from viewer.window.notes import Note
from viewer.window.spots import reading

if TYPE_CHECKING:
    import pyvista as pv

_STRIPES = 7
"""Stripes over a shared space."""
_REACH = (30.0, 75.0)
"""mm: how far from the spot a thing is named, at least and at most."""
MARK = "#101416"


def notes(desk: Desk) -> list[Note]:
    """Everything to point at, the gap first, in site directions."""
    pier, place, fold = desk.looked.pier, desk.place, desk.fold
    motion = upright(pier)
    found: list[Note] = []
    if place is not None and fold is not None and not desk.state.site:
        spot = place.spot
        words = reading(fold.worst, place, desk.work.units) or _title(desk, fold.worst.rule)
        apart = place.gap is not None and spot.length > 0.5
        points = motion.points(np.array([spot.a, spot.b] if apart else [spot.middle]))
        found.append(Note(points, words, MARK, ends=apart, ring=not apart and not place.overlaps, bold=True))
        if not desk.state.whole:
            for i in spot.own:
                at = motion.points(_named_at(pier.parts[i], spot.middle, desk)[None])
                found.append(Note(at, pier.parts[i].label, "#55626a", thick=1.5))
    if not desk.state.site:
        for feature in features():
            for arrow in feature.draws(desk) if feature.draws is not None else ():
                points = motion.points(np.array([arrow.start, arrow.end]))
                found.append(Note(points, arrow.words, arrow.color, head=arrow.head, ends=not arrow.head))
    return found


def sides(desk: Desk) -> tuple[str, str, str]:
    """What one looks at, and which way is left and right: `the S face`, `W`, `E`; from free, nothing."""
    view, turn = desk.state.view, 0.0 if desk.state.site else turn_of(desk.looked.pier.frame)
    if view is View.FREE:
        return "", "", ""
    out, high = toward(view, turn), up(view)
    right = np.cross(high, out)
    ends = [wind(Motion.identity(), *(way * right[:2]).tolist()) for way in (-1.0, 1.0)]
    words = view_words(view, turn)
    if desk.state.site:
        words = "Site from above" if view is View.TOP else f"Site from the {words.split()[1]}"
    elif view is not View.TOP:
        words = f"Before {words}"
    else:
        words = "From the top, north up"
    return words, ends[0], ends[1]


def shared(desk: Desk) -> pv.PolyData | None:
    """The space that a finding's two parts share, striped, in site directions; None where they are apart."""
    place = desk.place
    if place is None or not place.overlaps or len(place.spot.own) != 2 or desk.state.site:
        return None
    pier = desk.looked.pier
    a, b = place.spot.own
    mesh = shared_solid(pier.parts[a], pier.parts[b])
    if mesh is None:
        return None
    return _striped(upright(pier).points(mesh.vertices), mesh.faces)


def _striped(vertices: Array, faces: Any) -> pv.PolyData:
    """A surface cut into bands along its diagonal, every second one dark."""
    import pyvista as pv
    from vtkmodules.vtkFiltersModeling import vtkBandedPolyDataContourFilter

    data = pv.PolyData(vertices, faces=np.column_stack([np.full(len(faces), 3), faces]).ravel())
    along = vertices @ (np.array([1.0, 0.7, 1.3]) / np.linalg.norm([1.0, 0.7, 1.3]))
    data.point_data["along"] = along
    data.point_data.active_scalars_name = "along"
    bands = vtkBandedPolyDataContourFilter()
    bands.SetInputData(data)
    bands.GenerateValues(_STRIPES + 1, float(along.min()), float(along.max()))
    bands.SetScalarModeToIndex()
    bands.Update()
    striped: pv.PolyData = pv.wrap(bands.GetOutput())
    band = np.array(striped.cell_data["Scalars"]).astype(int) % 2
    hold = LEVELS["HOLD"].color
    colors = np.array([[int(hold[i : i + 2], 16) for i in (1, 3, 5)], [255, 255, 255]], dtype=np.uint8)
    striped.cell_data["rgb"] = colors[band]
    striped.cell_data.active_scalars_name = "rgb"
    return striped


def _title(desk: Desk, rule: str) -> str:
    title = desk.work.report.titles.get(rule, rule)
    return title[:1].upper() + title[1:]


def _named_at(part: Part, spot: Array, desk: Desk) -> Array:
    """A point on a part, near the spot and yet aside of it, at which its name points; pier's frame."""
    solid = part.solid
    if isinstance(solid, Swept):
        line, _ = stations(solid, 1.0)
        line = np.concatenate([_between(a, b) for a, b in pairwise(line)])
    else:
        ring = solid.outline.outer.polyline(2.0)
        ring = np.concatenate(
            [_between(a, b, 15.0) for a, b in zip(ring, np.roll(ring, -1, axis=0), strict=True)]
        )
        line = np.concatenate(
            [np.column_stack([ring, np.full(len(ring), z)]) for z in (solid.bottom, solid.top)]
        )
        line = solid.motion.points(line)
    frame, view = desk.looked.pier.frame, desk.state.view
    turn = turn_of(frame)
    out, high = toward(view, turn), up(view)
    right = np.cross(high, out)
    axes = np.column_stack([right / np.linalg.norm(right), np.cross(out, right / np.linalg.norm(right))])
    away = np.linalg.norm((line - spot) @ frame.rotation.T @ axes, axis=1)
    fits = (away >= _REACH[0]) & (away <= _REACH[1])
    if np.any(fits):
        line = line[fits]
        nearest: Array = line[int(np.argmax(line @ frame.rotation.T @ out))]
    else:
        nearest = line[int(np.argmin(np.abs(away - _REACH[0])))]
    return nearest


def _between(a: Array, b: Array, step: float = 20.0) -> Array:
    count = max(int(np.linalg.norm(b - a) / step), 1)
    return a + np.linspace(0.0, 1.0, count + 1)[:, None] * (b - a)
