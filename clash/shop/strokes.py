"""The strokes of a DXF, whatever entity drew them: round holes, rings, and what is neither."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import cos, hypot, radians, sin, tan, tau
from typing import Any

import numpy as np
from msgspec import Struct, field

from models.outline import Loop
from models.shapes.bulges import Point, arc_of, loop_of_bulges

_JOIN = 0.05
"""How near ends have to lie to be joined, in a thousandth of the drawing's size."""
_ROUND = 1e-3
"""How far a point of a circle may lie off it, in radii."""
_LARGEST = 1e12
"""No coordinate of a drawing is larger; also false for what is no number."""
_SIDES = 16
"""A polygon of at least as many equal sides counts as a circle."""


class Round(Struct, frozen=True):
    """A full circle, in the drawing's units."""

    x: float
    y: float
    diameter: float
    layer: str


class Ring(Struct, frozen=True, eq=False):
    """A closed outline that is no circle, in the drawing's units."""

    loop: Loop
    layer: str


class Strokes(Struct):
    """rounds, rings: what was found; odd: what is drawn that is neither, counted by its kind."""

    rounds: list[Round] = field(default_factory=list)
    rings: list[Ring] = field(default_factory=list)
    odd: dict[str, int] = field(default_factory=dict)

    def count(self, kind: str) -> None:
        """One more that is neither."""
        self.odd[kind] = self.odd.get(kind, 0) + 1


_Edge = tuple[Point, Point, float]
"""start, end, bulge."""


def strokes(entities: Iterable[Any], hidden: frozenset[str]) -> Strokes:
    """Every circle and closed outline of entities (blocks taken apart already), less hidden layers."""
    out = Strokes()
    open_edges: dict[str, list[_Edge]] = {}
    for entity in entities:
        layer, kind = entity.dxf.layer, entity.dxftype()
        if layer.lower() in hidden or kind not in _NEEDS:
            continue
        if not all(_finite(entity.dxf.get(name)) for name in _NEEDS[kind]):
            out.count("damaged entity")
        elif kind not in _SEEN_ANYHOW and not _flat(entity):
            out.count("tilted entity")
        elif kind == "CIRCLE":
            if entity.dxf.radius != 0.0:
                center = entity.ocs().to_wcs(entity.dxf.center)
                out.rounds.append(Round(center.x, center.y, 2.0 * abs(entity.dxf.radius), layer))
        elif kind in ("LWPOLYLINE", "POLYLINE"):
            run = _polyline(entity)
            if run is None:
                out.count("damaged entity")
            elif run[1]:
                _closed(out, run[0], layer)
            else:
                open_edges.setdefault(layer, []).extend(run[0])
        elif kind in ("LINE", "ARC"):
            open_edges.setdefault(layer, []).extend(_line_or_arc(entity))
        elif kind == "ELLIPSE":
            _ellipse(out, entity, layer)
        else:
            out.count("spline")
    for layer, edges in open_edges.items():
        for chain in _chains(edges):
            _closed(out, chain, layer)
    out.rounds = _once(out.rounds)
    return out


_NEEDS: dict[str, tuple[str, ...]] = {
    "CIRCLE": ("center", "radius"),
    "ARC": ("center", "radius", "start_angle", "end_angle"),
    "LINE": ("start", "end"),
    "ELLIPSE": ("center", "major_axis", "ratio", "start_param", "end_param"),
    "LWPOLYLINE": (),
    "POLYLINE": (),
    "SPLINE": (),
}
"""What each entity that is looked at has to say."""
_SEEN_ANYHOW = ("LINE", "ELLIPSE", "SPLINE")
"""Entities in the drawing's own axes, whatever their extrusion."""


def _finite(value: Any) -> bool:
    """Whether a number, or each coordinate of a point, is there and of a size that a drawing has."""
    if value is None:
        return False
    numbers = (value,) if isinstance(value, int | float) else tuple(value)
    return all(abs(v) < _LARGEST for v in numbers)


def _flat(entity: Any) -> bool:
    """Whether an entity lies level, seen from above or from below."""
    x, y, z = entity.dxf.extrusion
    return bool(abs(x) < 1e-6 and abs(y) < 1e-6 and abs(abs(z) - 1.0) < 1e-6)


def _polyline(entity: Any) -> tuple[list[_Edge], bool] | None:
    """The edges of a polyline seen from above, and whether it is closed: by its flag, or by ends that meet.

    None where a number of it is damaged.
    """
    flipped = entity.dxf.extrusion.z < 0.0
    if entity.dxftype() == "LWPOLYLINE":
        rows = [(x, y, bulge) for x, y, bulge in entity.get_points("xyb")]
        closed = entity.closed
    else:
        if not entity.is_2d_polyline and not entity.is_3d_polyline:
            return [], False
        rows = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
        closed = entity.is_closed
        flipped = flipped and entity.is_2d_polyline
    if not all(_finite(row) for row in rows):
        return None
    # From below, x runs the other way (the OCS of extrusion -z), and arcs turn the other way.
    points = [(-x, y) if flipped else (x, y) for x, y, _ in rows]
    bulges = [-b if flipped else b for *_, b in rows]
    if len(points) > 1 and _meet(points[0], points[-1], 1e-9):
        points, bulges, closed = points[:-1], bulges[:-1], True
    last = len(points) if closed else len(points) - 1
    edges = [(points[i], points[(i + 1) % len(points)], bulges[i]) for i in range(last)]
    return [e for e in edges if not _meet(e[0], e[1], 1e-12)], closed


def _line_or_arc(entity: Any) -> Iterator[_Edge]:
    if entity.dxftype() == "LINE":
        start, end = entity.dxf.start, entity.dxf.end
        if hypot(end.x - start.x, end.y - start.y) > 0.0:
            yield (start.x, start.y), (end.x, end.y), 0.0
        return
    first, last = radians(entity.dxf.start_angle), radians(entity.dxf.end_angle)
    sweep = (last - first) % tau or tau
    center, radius = entity.dxf.center, entity.dxf.radius
    side = -1.0 if entity.dxf.extrusion.z < 0.0 else 1.0
    # Halves, so that no bulge runs beyond a half circle.
    for k in range(2):
        a, b = first + k * sweep / 2.0, first + (k + 1) * sweep / 2.0
        start = (side * (center.x + radius * cos(a)), center.y + radius * sin(a))
        end = (side * (center.x + radius * cos(b)), center.y + radius * sin(b))
        yield start, end, side * tan(sweep / 8.0)


def _ellipse(out: Strokes, entity: Any, layer: str) -> None:
    """An ellipse that is a full circle (a circle of a mirrored or turned block); else it counts as odd."""
    span = (entity.dxf.end_param - entity.dxf.start_param) % tau
    if abs(entity.dxf.ratio - 1.0) < _ROUND and min(span, tau - span) < 1e-6:
        center = entity.dxf.center
        out.rounds.append(Round(center.x, center.y, 2.0 * entity.dxf.major_axis.magnitude, layer))
    else:
        out.count("ellipse")


def _closed(out: Strokes, edges: list[_Edge], layer: str) -> None:
    """A closed run of edges: a circle if all of it is one, else a ring."""
    circle = _circle(edges)
    if circle is not None:
        out.rounds.append(Round(*circle, layer))
    elif len(edges) > 1:
        loop = loop_of_bulges([e[0] for e in edges], [e[2] for e in edges])
        if loop.area > 0.0:
            out.rings.append(Ring(loop, layer))


def _circle(edges: list[_Edge]) -> tuple[float, float, float] | None:
    """x, y and diameter of the circle that edges run round; None where they do not."""
    if all(abs(b) > 1e-9 for *_, b in edges):
        arcs = [arc_of(*edge) for edge in edges]
        (x, y), radius, _, _ = arcs[0]
        same = all(
            hypot(c[0] - x, c[1] - y) < _ROUND * radius and abs(r - radius) < _ROUND * radius
            for c, r, *_ in arcs
        )
        if same and abs(abs(sum(sweep for *_, sweep in arcs)) - tau) < 0.01:
            return x, y, 2.0 * radius
        return None
    if len(edges) < _SIDES or any(abs(b) > 1e-9 for *_, b in edges):
        return None
    points = np.array([e[0] for e in edges])
    center = points.mean(axis=0)
    radii = np.hypot(*(points - center).T)
    sides = np.array([hypot(e[1][0] - e[0][0], e[1][1] - e[0][1]) for e in edges])
    if np.ptp(radii) > 2.0 * _ROUND * radii.mean() or np.ptp(sides) > 0.02 * sides.mean():
        return None
    return float(center[0]), float(center[1]), float(2.0 * radii.mean())


def _meet(a: Point, b: Point, within: float) -> bool:
    return hypot(a[0] - b[0], a[1] - b[1]) <= within * max(1.0, abs(a[0]), abs(a[1]))


def _chains(edges: list[_Edge]) -> Iterator[list[_Edge]]:
    """Closed runs of edges whose ends meet, each edge used once."""
    if not edges:
        return
    ends = np.array([p for e in edges for p in e[:2]])
    near = _JOIN * 1e-3 * float(np.ptp(ends, axis=0).max() or 1.0)
    cells: dict[tuple[int, int], list[tuple[int, bool]]] = {}

    def cell(p: Point) -> tuple[int, int]:
        return round(p[0] / near / 4.0), round(p[1] / near / 4.0)

    for i, (start, end, _) in enumerate(edges):
        cells.setdefault(cell(start), []).append((i, False))
        cells.setdefault(cell(end), []).append((i, True))
    used: set[int] = set()

    def following(at: Point) -> tuple[int, bool] | None:
        cx, cy = cell(at)
        for dx in (0, -1, 1):
            for dy in (0, -1, 1):
                for i, backward in cells.get((cx + dx, cy + dy), ()):
                    p = edges[i][1] if backward else edges[i][0]
                    if i not in used and hypot(p[0] - at[0], p[1] - at[1]) <= near:
                        return i, backward
        return None

    for first in range(len(edges)):
        if first in used:
            continue
        used.add(first)
        chain = [edges[first]]
        while hypot(chain[-1][1][0] - chain[0][0][0], chain[-1][1][1] - chain[0][0][1]) > near:
            step = following(chain[-1][1])
            if step is None:
                break
            i, backward = step
            used.add(i)
            start, end, bulge = edges[i]
            chain.append((end, start, -bulge) if backward else (start, end, bulge))
        else:
            if len(chain) > 1:
                yield chain


def _once(rounds: list[Round]) -> list[Round]:
    """The same circle drawn twice (on two layers) counts once."""
    kept: list[Round] = []
    for one in rounds:
        near = 1e-3 * one.diameter
        if not any(
            hypot(one.x - k.x, one.y - k.y) < near and abs(one.diameter - k.diameter) < near for k in kept
        ):
            kept.append(one)
    return kept
