"""Distances between convex bodies that carry their own proof, by duality.

For two convex bodies the distance is at most |p - q| for any p in the one and q in the other, and at least
the separation of their support functions along any unit direction u (weak duality: a plane pair square to u
fits between them). When the two agree, the distance is proven, whoever found p and q. coal finds them here
(Linux only; tests that call `certified_distance` say `pytest.importorskip("coal")`); the certificate does not
trust it: its points are first projected into the bodies by closed form.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Protocol

import numpy as np

from models.motion import Array, Motion


class Convex(Protocol):
    """A convex body that knows its support function and its nearest points."""

    def support(self, direction: Array) -> float:
        """Greatest x . direction over the body; direction (3,) unit."""
        ...

    def project(self, point: Array) -> Array:
        """(3,) the nearest point of the body."""
        ...

    def depth(self, point: Array) -> float:
        """How deep a point of the body lies under its surface, mm; negative outside."""
        ...

    def solver_shape(self) -> tuple[Any, Any]:
        """The body as coal's shape and transform."""
        ...


def _transform(rotation: Array, shift: Array) -> Any:
    import coal

    placed = coal.Transform3s()
    placed.setRotation(rotation)
    placed.setTranslation(shift)
    return placed


@dataclass(frozen=True, eq=False)
class ConvexCylinder:
    """A flat-ended straight bar from p0 to p1 (3,) mm, with its radius in mm."""

    p0: Array
    p1: Array
    radius: float

    @cached_property
    def axis(self) -> Array:
        """(3,) unit, from p0 to p1."""
        along = self.p1 - self.p0
        return along / np.linalg.norm(along)

    @cached_property
    def length(self) -> float:
        """mm."""
        return float(np.linalg.norm(self.p1 - self.p0))

    def support(self, direction: Array) -> float:
        """Closed form: the farther end's center plus the rim's reach."""
        tilt = direction - (direction @ self.axis) * self.axis
        return float(max(self.p0 @ direction, self.p1 @ direction) + self.radius * np.linalg.norm(tilt))

    def project(self, point: Array) -> Array:
        """Clamp along the axis and off it (a cylinder is a product of a segment and a disk)."""
        along = float((point - self.p0) @ self.axis)
        off = point - self.p0 - along * self.axis
        away = float(np.linalg.norm(off))
        if away > self.radius:
            off = off * (self.radius / away)
        return self.p0 + min(max(along, 0.0), self.length) * self.axis + off

    def depth(self, point: Array) -> float:
        """Least of the distances to the two ends and to the barrel."""
        along = float((point - self.p0) @ self.axis)
        off = float(np.linalg.norm(point - self.p0 - along * self.axis))
        return min(along, self.length - along, self.radius - off)

    def solver_shape(self) -> tuple[Any, Any]:
        """coal's cylinder stands along z about its middle."""
        import coal

        helper = np.eye(3)[int(np.argmin(np.abs(self.axis)))]
        x = np.cross(helper, self.axis)
        x /= np.linalg.norm(x)
        rotation = np.column_stack([x, np.cross(self.axis, x), self.axis])
        return coal.Cylinder(self.radius, self.length), _transform(rotation, (self.p0 + self.p1) / 2.0)


@dataclass(frozen=True, eq=False)
class ConvexPrism:
    """A convex polygon, vertices (n, 2) mm counterclockwise, from bottom to top (mm), under a motion."""

    vertices: Array
    bottom: float
    top: float
    motion: Motion = field(default_factory=Motion.identity)

    def support(self, direction: Array) -> float:
        """Greatest over the corners."""
        u = self.motion.rotation.T @ direction
        height = max(self.bottom * u[2], self.top * u[2])
        return float(np.max(self.vertices @ u[:2]) + height + self.motion.shift @ direction)

    def project(self, point: Array) -> Array:
        """Clamp in elevation, and to the nearest edge in plan."""
        local = self.motion.inverse().points(point)
        plan = local[:2]
        if self._plan_depth(plan) < 0.0:
            start = self.vertices
            edge = np.roll(start, -1, axis=0) - start
            t = np.clip(np.sum((plan - start) * edge, axis=1) / np.sum(edge * edge, axis=1), 0.0, 1.0)
            foot = start + t[:, None] * edge
            plan = foot[np.argmin(np.sum((foot - plan) ** 2, axis=1))]
        return self.motion.points(np.array([plan[0], plan[1], min(max(local[2], self.bottom), self.top)]))

    def depth(self, point: Array) -> float:
        """Least of the distances to the faces."""
        local = self.motion.inverse().points(point)
        return min(self._plan_depth(local[:2]), float(local[2]) - self.bottom, self.top - float(local[2]))

    def _plan_depth(self, plan: Array) -> float:
        edge = np.roll(self.vertices, -1, axis=0) - self.vertices
        inward = np.column_stack([-edge[:, 1], edge[:, 0]]) / np.linalg.norm(edge, axis=1)[:, None]
        return float(np.min(np.sum((plan - self.vertices) * inward, axis=1)))

    def solver_shape(self) -> tuple[Any, Any]:
        """coal's convex hull: the corners of both faces and their triangles."""
        import coal

        n = len(self.vertices)
        points, triangles = coal.StdVec_Vec3s(), coal.StdVec_Triangle()
        for z in (self.bottom, self.top):
            for x, y in self.vertices:
                points.append(np.array([x, y, z]))
        for i in range(1, n - 1):
            triangles.append(coal.Triangle(0, i + 1, i))
            triangles.append(coal.Triangle(n, n + i, n + i + 1))
        for i in range(n):
            j = (i + 1) % n
            triangles.append(coal.Triangle(i, j, n + j))
            triangles.append(coal.Triangle(i, n + j, n + i))
        return coal.Convex(points, triangles), _transform(self.motion.rotation, self.motion.shift)


@dataclass(frozen=True)
class Certified:
    """A proven distance between two convex bodies.

    lower <= distance <= upper, mm, equal within the tolerance asked. overlap: a point shared by both, deeper
    than the tolerance under both surfaces, was found (lower and upper are then 0).
    at_a, at_b: (3,) points of the bodies that realize `upper`.
    """

    lower: float
    upper: float
    at_a: Array
    at_b: Array
    overlap: bool


def bracket(a: Convex, b: Convex, at_a: Array, at_b: Array) -> tuple[float, float, Array, Array]:
    """(lower, upper, p, q) from any guess of the nearest points (3,), first projected into the bodies."""
    p, q = a.project(at_a), b.project(at_b)
    apart = p - q
    upper = float(np.linalg.norm(apart))
    if upper == 0.0:
        return 0.0, 0.0, p, q
    u = apart / upper
    return -a.support(-u) - b.support(u), upper, p, q


def certified_distance(
    a: Convex, b: Convex, tolerance: float = 1e-6, witness: tuple[Array, Array] | None = None
) -> Certified | None:
    """The distance of two convex bodies with its proof, or None when no proof was found.

    witness: nearest points (3,) from elsewhere, tried after coal's. A shared point deeper than `tolerance`
    under both surfaces proves an overlap.
    """
    import coal

    request, result = coal.DistanceRequest(), coal.DistanceResult()
    request.gjk_tolerance = 1e-10
    request.gjk_max_iterations = 1000
    request.enable_signed_distance = True
    shape_a, placed_a = a.solver_shape()
    shape_b, placed_b = b.solver_shape()
    coal.distance(shape_a, placed_a, shape_b, placed_b, request, result)
    found = np.asarray(result.getNearestPoint1()).ravel(), np.asarray(result.getNearestPoint2()).ravel()
    guesses = [
        (p, q)
        for p, q in ((found,) if witness is None else (found, witness))
        if np.isfinite(p).all() and np.isfinite(q).all()
    ]
    touching = None
    for p, q in guesses:
        for _ in range(20):
            lower, upper, p, q = bracket(a, b, p, q)
            if upper - max(lower, 0.0) <= tolerance:
                if lower > 0.0 or upper > tolerance:
                    return Certified(max(lower, 0.0), upper, p, q, overlap=False)
                touching = Certified(0.0, upper, p, q, overlap=False)
                break
            q = b.project(p)
    for p, q in guesses:
        shared = _shared_point(a, b, (p + q) / 2.0, tolerance)
        if shared is not None:
            return Certified(0.0, 0.0, shared, shared, overlap=True)
    return touching


def _shared_point(a: Convex, b: Convex, guess: Array, deeper: float) -> Array | None:
    """A point deeper than `deeper` under both surfaces, or None where none was found.

    The lesser of the two depths is concave, so that climbing it from anywhere by random steps gets there.
    """
    rng = np.random.default_rng(0)
    point = a.project(b.project(guess))
    least, step = min(a.depth(point), b.depth(point)), 10.0
    while step > deeper / 10.0:
        if least > deeper:
            return point
        tries = point + step * rng.normal(size=(12, 3))
        depths = [min(a.depth(p), b.depth(p)) for p in tries]
        best = int(np.argmax(depths))
        if depths[best] > least:
            point, least = tries[best], depths[best]
            step *= 1.5
        else:
            step /= 1.5
    return None
