"""Rings of every kind: straight, round, with arcs and a bay, and one that is not convex."""

from __future__ import annotations

from models.outline import Loop, circle, polygon, rectangle
from models.shapes.outline_from import loop_of
from models.spec.outline import OutlineSpec
from tests.support.hardware import FREE

OUTLINES: list[Loop] = [
    rectangle(300, 200, (20.0, -10.0)),
    circle(280, (5.0, 5.0)),
    loop_of(OutlineSpec.model_validate(FREE)),
    polygon([[0, 0], [150, 0], [150, 40], [30, 40], [30, 120], [0, 120]]),
]
