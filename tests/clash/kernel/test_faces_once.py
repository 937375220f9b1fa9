"""Parts that repeat are measured to faces once: the same answer as one by one."""

from __future__ import annotations

from math import pi
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

import clash.kernel.faces
from clash.kernel.cover.containers import Container, Containers
from clash.kernel.cover.sides import bars_to_sides
from clash.kernel.faces import face_gaps
from clash.kernel.layout import laid_out
from models.motion import Motion
from models.outline import Loop, Outline, circle, rectangle
from models.pier import Concrete, Pier
from models.solids import Solid, Swept
from tests.clash.kernel.test_faces import ELL, SOFT, pier_of
from tests.support.bars import Walk, straight_bar

X, Y, Z = np.eye(3)


def hook(z: float) -> Swept:
    return Walk(np.array([-200, -150, z]), X, Y).ahead(250).bend(pi / 2, 60).ahead(120).bar(8.0)


def bars(depth: float) -> list[Solid]:
    # ties from the chamfer down to across the bottom, a rod out at the top, a dowel out at the bottom
    heights = [-5.0, -12.0, -60.0, -150.0, -151.0, -400.0, -800.0, -depth - 3.0, -depth + 4.0]
    leaning = straight_bar((-100, 120, -300), (-10, 120, -280), 8.0)
    return [
        *(hook(z) for z in heights),
        *(leaning.moved(Motion(np.eye(3), np.array([0.0, 0.0, z]))) for z in (-400.0, 0.0, 260.0)),
        straight_bar((150, -100, -500), (150, -100, 200), 12.0),
        straight_bar((100, 80, -depth - 300), (100, 80, -600), 10.0),
    ]


def several(outline: Loop, leg: float) -> list[Pier]:
    out = []
    for depth in (1000.0, 1000.0, 1100.0):
        pier = pier_of(outline, bars(depth), leg)
        out.append(replace(pier, concrete=Concrete(Outline(outline), -depth, leg)))
    return out


@pytest.mark.parametrize("leg", [0.0, 19.0])
@pytest.mark.parametrize("outline", [rectangle(600.0, 500.0), circle(620.0), ELL, SOFT])
def test_parts_that_repeat_are_measured_as_if_each_were_alone(
    monkeypatch: pytest.MonkeyPatch, outline: Loop, leg: float
) -> None:
    piers = several(outline, leg)
    once = face_gaps(piers, laid_out(piers), 1e6)
    monkeypatch.setattr(clash.kernel.faces, "once_to_sides", each_by_row)
    monkeypatch.setattr(clash.kernel.faces, "once_to_levels", each_by_row)
    each = face_gaps(piers, laid_out(piers), 1e6)
    assert once.b.tolist() == each.b.tolist()
    assert once.gap == pytest.approx(each.gap, abs=1e-9, nan_ok=True)
    assert np.allclose(once.at_a - once.at_b, each.at_a - each.at_b, atol=1e-6, equal_nan=True)


def each_by_row(measure: Any, parts: Any, *_: Any) -> Any:
    return lambda part, other: measure(parts.row[part], other)


def test_fewer_are_measured(monkeypatch: pytest.MonkeyPatch) -> None:
    counted = []

    def counting(swept: Any, solid: Any, *rest: Any) -> Any:
        counted.append(len(solid))
        return measured(swept, solid, *rest)

    measured = bars_to_sides
    monkeypatch.setattr(clash.kernel.faces, "bars_to_sides", counting)
    piers = several(rectangle(600.0, 500.0), 19.0)
    face_gaps(piers, laid_out(piers), 1e6)
    # the second pier is the first; of each pier's ties the two in the middle are one
    assert counted[0] < 2 * len(piers[0].parts)


def test_one_form_is_filed_once() -> None:
    containers = Containers()
    still, square = Motion.identity(), Outline(rectangle(600.0, 600.0))
    for container in (
        Container(square, still, -1000.0, 0.0, 19.0),
        Container(Outline(rectangle(600.0, 600.0)), Motion.identity(), -900.0, 0.0, 19.0),
        Container(square, still, -1000.0, 0.0, 25.0),
        Container(square, Motion.turned(0.1), -1000.0, 0.0, 19.0),
        Container(Outline(circle(500.0)), still, -1000.0, 0.0, 19.0),
    ):
        containers.add(container)
    assert containers.form == [0, 0, 1, 2, 3]
    assert containers.half == pytest.approx([300.0, 300.0, 300.0, 250.0])
