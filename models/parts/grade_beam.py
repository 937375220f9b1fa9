"""The grade beam that a pier stands on: what reaches into it is measured against its outline."""

from __future__ import annotations

from collections.abc import Iterator
from math import atan2, hypot, radians

import numpy as np

from models.motion import Motion
from models.outline import Loop, Outline, rectangle, turned
from models.part import Part, Role
from models.setting import Setting
from models.shapes.outline_from import loop_of
from models.shapes.rings import encloses, ring_distances
from models.solids import Prism
from models.spec.site import GradeBeamSpec

_ON_EDGE = 0.5
"""mm: a pier whose center lies this near the edge of a grade beam still stands on it."""


def parts(setting: Setting) -> Iterator[Part]:
    """Every grade beam under the center of the pier; a corner pier may stand on two."""
    pier = setting.spec
    for beam in setting.site.grade_beams:
        loop = _plan(beam, pier.x, pier.y)
        if loop is None:
            continue
        top = beam.top - pier.top
        yield Part(
            id=f"{beam.name}/grade-beam",
            role=Role.GRADE_BEAM,
            label=f"grade beam {beam.name}",
            solid=Prism(Outline(loop), top - beam.depth, top, Motion.turned(-radians(pier.turn))),
        )


def _plan(beam: GradeBeamSpec, x: float, y: float) -> Loop | None:
    """The beam's plan in site directions, seen from the point (x, y); None where it does not lie under it.

    Differences come first, so that a survey's coordinates cost no digit.
    """
    if beam.outline is not None:
        cx, cy = beam.outline.center
        loop = loop_of(beam.outline.model_copy(update={"center": (cx - x, cy - y)}))
        origin = np.zeros((1, 2))
        under = encloses(loop, origin)[0] or ring_distances(loop, origin)[0] <= _ON_EDGE
        return loop if under else None
    if beam.start is None or beam.end is None or beam.width is None:
        raise ValueError(f"grade beam {beam.name} needs a start, an end and a width, or an outline")
    run = beam.end[0] - beam.start[0], beam.end[1] - beam.start[1]
    start = beam.start[0] - x, beam.start[1] - y
    length = hypot(*run)
    if length == 0.0:
        raise ValueError(f"grade beam {beam.name} ends where it starts")
    along = -(start[0] * run[0] + start[1] * run[1]) / length
    left = (start[0] * run[1] - start[1] * run[0]) / length
    if not (-_ON_EDGE <= along <= length + _ON_EDGE and abs(left) <= beam.width / 2.0 + _ON_EDGE):
        return None
    strip = rectangle(length, beam.width, (length / 2.0, 0.0))
    return turned(strip, atan2(run[1], run[0]), start)
