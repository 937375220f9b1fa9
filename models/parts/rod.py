"""Anchor rods and bar anchors: a shank with a nut, a nut and plate, a hook, or nothing at its foot."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

import numpy as np

from models.catalogue import bar, bend_diameter, hook_tail
from models.motion import Array
from models.part import Exit, Part, Role
from models.seat.rods import Rod, nut_size, rods_of
from models.setting import Setting
from models.shapes.spine import straight, swept
from models.solids import Swept
from models.spec.seat import Rods


def parts(setting: Setting) -> Iterator[Part]:
    """Every rod or bar anchor of the pier, from its top down to its foot."""
    spec = setting.spec.seat.rods
    if spec is None:
        return
    for rod in rods_of(setting):
        yield Part(
            id=setting.part_id(rod.name, rod.number),
            role=Role.ROD if rod.threaded else Role.BAR_ANCHOR,
            label=rod.label,
            solid=_shank(spec, rod),
            size=rod.size,
            nominal=rod.diameter,
            overall=rod.overall,
            inside=True,
            exits=frozenset({Exit.TOP}),
        )


def foot(spec: Rods) -> float:
    """Height, mm, of the lower end of a straight rod above the top of concrete (negative below it).

    A headed rod reaches past the bearing side of its head by the plate, the nut and the stub.
    """
    below = 0.0
    if spec.end in ("nut", "plate"):
        if spec.bar is not None and spec.end == "nut":
            raise ValueError("a bar anchor has no thread for a nut at its foot: say end plain, J, L or plate")
        below = spec.stub
        if spec.bar is None:
            below += nut_size(spec)[1]
        if spec.end == "plate":
            if spec.head_plate is None:
                raise ValueError("rods that end in a plate need the size of that plate (head plate)")
            below += spec.head_plate.thickness
    return -(spec.embedment + below)


def _shank(spec: Rods, rod: Rod) -> Swept:
    radius = rod.diameter / 2.0
    if spec.end in ("J", "L"):
        return _hooked(spec, rod, *_bend_and_tail(spec))
    return straight((rod.x, rod.y, spec.projection), (rod.x, rod.y, foot(spec)), radius)


def _bend_and_tail(spec: Rods) -> tuple[float, float]:
    """Inside bend diameter and straight tail of a hook, mm: as given, else the least published for a bar."""
    if spec.bar is None:
        if spec.bend is None or spec.tail is None:
            raise ValueError(
                "hooked rods need their inside bend diameter and their straight tail (bend, tail)"
            )
        return spec.bend, spec.tail
    anchor = bar(spec.bar)
    degrees = 180 if spec.end == "J" else 90
    bend = bend_diameter(anchor, "main") if spec.bend is None else spec.bend
    return bend, hook_tail(anchor, "main", degrees) if spec.tail is None else spec.tail


def _hooked(spec: Rods, rod: Rod, bend: float, tail: float) -> Swept:
    """A shank that ends in a hook whose lowest point lies at the embedment.

    L: bent by 90 degrees, its tail level; J: by 180 degrees, its tail upright.
    """
    radius = rod.diameter / 2.0
    arm = bend / 2.0 + radius
    way = np.array([*pointing(spec.hook_to, rod.x, rod.y), 0.0])
    low = np.array([rod.x, rod.y, -spec.embedment + radius])
    points = [np.array([rod.x, rod.y, spec.projection]), low]
    if spec.end == "J":
        points += [low + 2.0 * arm * way, low + 2.0 * arm * way + np.array([0.0, 0.0, arm + tail])]
    else:
        points.append(low + (arm + tail) * way)
    return swept(np.array(points), arm, radius)


def pointing(way: str, x: float, y: float) -> Array:
    """(2,) unit: in, out, left or right at a point of the plan, as seen from the pier's center.

    At the center itself, out is the pier's x.
    """
    reach = hypot(x, y)
    out = np.array([x, y]) / reach if reach > 1e-6 else np.array([1.0, 0.0])
    left = np.array([-out[1], out[0]])
    return {"out": out, "in": -out, "left": left, "right": -left}[way]
