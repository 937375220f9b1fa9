"""Where the verticals of a cage stand in plan, and the line that its ties follow."""

from __future__ import annotations

from math import acos, cos, hypot, pi, radians, sin, sqrt, tau

from msgspec import Struct

from models.motion import Motion
from models.outline import Loop
from models.shapes.outline_from import inset, straight_convex
from models.spec.cage import Verticals
from models.winds import wind

Plan = tuple[float, float]


class Leg(Struct, frozen=True):
    """A side of the tie beside a vertical: unit `along` it away from the vertical, unit `out` of the cage.

    room: mm from the vertical's center to the tie's inner face.
    """

    along: Plan
    out: Plan
    room: float


class Stand(Struct, frozen=True):
    """Where a vertical stands: its center, mm, and its place in words ("at the NE corner").

    inward: unit, into the cage; legs: the sides of the tie beside it, that toward the next vertical first;
    corner, middle: whether it stands in a corner, or in the middle of a face.
    """

    x: float
    y: float
    where: str
    inward: Plan
    legs: tuple[Leg, ...] = ()
    corner: bool = False
    middle: bool = False


class Trim(Struct, frozen=True):
    """The lateral steel's figures that decide where verticals stand, mm.

    tie: diameter of the ties, 0 without ties; inside: inside bend radius of the ties.
    """

    tie: float
    inside: float


class Box(Struct, frozen=True):
    """A rectangular cage: its center and half its size out to out of the ties, mm."""

    center: Plan
    half: Plan

    def line(self, by: float) -> tuple[Plan, ...]:
        """The rectangle `by` mm inside the outer faces of the ties, counterclockwise from its low corner."""
        (x, y), (a, b) = self.center, self.half
        a, b = a - by, b - by
        return ((x - a, y - b), (x + a, y - b), (x + a, y + b), (x - a, y + b))


class Ring(Struct, frozen=True):
    """A round cage: its center and its radius out to out of the hoops, mm."""

    center: Plan
    radius: float


class Free(Struct, frozen=True, eq=False):
    """A cage in a free outline: its center and the ring of the ties' outer faces, mm."""

    center: Plan
    outer: Loop

    def line(self, by: float) -> tuple[Plan, ...]:
        """The ring `by` mm inside the outer faces. Raises ValueError where a closed tie cannot follow it."""
        if not straight_convex(self.outer):
            raise ValueError(
                "closed ties need straight sides and no inward corners: give the size of the cage"
            )
        return tuple((float(x), float(y)) for x, y in inset(self.outer, by).starts)


CagePlan = Box | Ring | Free


def stands(
    plan: CagePlan, verticals: Verticals, radius: float, trim: Trim, frame: Motion
) -> tuple[Stand, ...]:
    """Where each vertical stands, in the order of its number.

    radius: of the verticals, mm. Listed centers come as they are; in a rectangular cage verticals run
    counterclockwise from the corner of low x and low y, in a round one counterclockwise from `start`.
    Raises ValueError with one plain sentence when they cannot stand there.
    """
    if verticals.at is not None:
        return tuple(_listed(k + 1, x, y, plan.center, frame) for k, (x, y) in enumerate(verticals.at))
    if isinstance(plan, Box):
        return _in_box(plan, verticals, radius, trim, frame)
    if isinstance(plan, Ring):
        return _in_ring(plan, verticals, radius, trim, frame)
    raise ValueError("a pier of free outline needs its verticals listed one by one, or the size of its cage")


def _listed(number: int, x: float, y: float, center: Plan, frame: Motion) -> Stand:
    dx, dy = center[0] - x, center[1] - y
    away = hypot(dx, dy)
    inward = (dx / away, dy / away) if away > 1e-6 else (1.0, 0.0)
    return Stand(x, y, f"{number} ({wind(frame, x, y)})", inward)


def _in_ring(plan: Ring, verticals: Verticals, radius: float, trim: Trim, frame: Motion) -> tuple[Stand, ...]:
    if verticals.count is None:
        raise ValueError("a round cage needs the count of its verticals, or their places one by one")
    n = verticals.count
    out = plan.radius - trim.tie - radius
    if out <= 0.0 or 2.0 * out * sin(pi / n) < 2.0 * radius:
        raise ValueError(f"{n} verticals do not fit side by side inside the round cage")
    places = []
    for k in range(n):
        angle = radians(verticals.start) + tau * k / n
        c, s = cos(angle), sin(angle)
        where = f"{k + 1} of {n} ({wind(frame, c, s)})"
        places.append(Stand(plan.center[0] + out * c, plan.center[1] + out * s, where, (-c, -s)))
    return tuple(places)


def _in_box(plan: Box, verticals: Verticals, radius: float, trim: Trim, frame: Motion) -> tuple[Stand, ...]:
    if verticals.per_face is not None:
        along_x, along_y = verticals.per_face.x, verticals.per_face.y
        faces = (along_x - 2, along_y - 2, along_x - 2, along_y - 2)
    elif verticals.count is not None:
        faces = _shared_out(verticals.count, plan.half)
    else:
        raise ValueError("the cage needs the count of its verticals, their count by face, or their places")
    # Snug in the tie's bend: tangent to the inside of the arc, on the diagonal; a bar as large as the bend
    # touches both legs.
    set_in = trim.tie + max(radius, trim.inside - max(trim.inside - radius, 0.0) / sqrt(2.0))
    corner = (plan.half[0] - set_in, plan.half[1] - set_in)
    flat = (plan.half[0] - trim.tie - radius, plan.half[1] - trim.tie - radius)
    for axis, on_it in ((0, max(faces[0], faces[2])), (1, max(faces[1], faces[3]))):
        if 2.0 * corner[axis] < 2.0 * radius * (on_it + 1):
            raise ValueError(f"{on_it + 2} verticals do not fit side by side in one face of the cage")
    places: list[Stand] = []
    for face in range(4):
        # A face runs counterclockwise: `run` along it, `out` of the cage.
        run = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[face]
        out = (run[1], -run[0])
        places.append(_corner(plan, corner, flat, radius, run, out, frame))
        n = faces[face]
        reach = corner[0] if run[0] else corner[1]
        depth = flat[0] if out[0] else flat[1]
        for k in range(1, n + 1):
            s = -reach + 2.0 * reach * k / (n + 1)
            x = plan.center[0] + s * run[0] + depth * out[0]
            y = plan.center[1] + s * run[1] + depth * out[1]
            places.append(
                Stand(
                    x,
                    y,
                    _in_face(k, n, run, out, frame),
                    (-out[0], -out[1]),
                    (Leg(run, out, radius), Leg((-run[0], -run[1]), out, radius)),
                    middle=2 * k == n + 1,
                )
            )
    return tuple(places)


def _corner(plan: Box, corner: Plan, flat: Plan, radius: float, run: Plan, out: Plan, frame: Motion) -> Stand:
    """The vertical in the corner where the face that runs along `run` begins."""
    before = (-run[0], -run[1])  # out of the face that ends there
    sx, sy = before[0] + out[0], before[1] + out[1]
    dx, dy = sx * corner[0], sy * corner[1]
    room_out = (flat[0] - corner[0] if out[0] else flat[1] - corner[1]) + radius
    room_before = (flat[0] - corner[0] if before[0] else flat[1] - corner[1]) + radius
    legs = (Leg(run, out, room_out), Leg((-out[0], -out[1]), before, room_before))
    half = sqrt(0.5)
    return Stand(
        plan.center[0] + dx,
        plan.center[1] + dy,
        f"at the {wind(frame, sx, sy)} corner",
        (-sx * half, -sy * half),
        legs,
        corner=True,
    )


def _in_face(k: int, n: int, run: Plan, out: Plan, frame: Motion) -> str:
    """Which bar of a face, corner bars counted, from the nearer end: "in the E face, 2nd from the S"."""
    face = wind(frame, *out)
    if k <= n + 1 - k:
        return f"in the {face} face, {_ordinal(k + 1)} from the {wind(frame, -run[0], -run[1])}"
    return f"in the {face} face, {_ordinal(n + 2 - k)} from the {wind(frame, *run)}"


def _ordinal(n: int) -> str:
    if n % 100 in (11, 12, 13):
        return f"{n}th"
    return f"{n}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(n % 10, 'th') }"


def _shared_out(count: int, half: Plan) -> tuple[int, int, int, int]:
    """How many bars stand between the corners of each face: in proportion to the faces' lengths.

    What the proportion leaves over goes to the faces with the largest remainders, opposite faces one after
    the other. Raises ValueError when there is not one for every corner.
    """
    if count < 4:
        raise ValueError(
            f"a rectangular cage needs a vertical in each of its 4 corners, and {count} are drawn"
        )
    between = count - 4
    share = [between * half[axis] / (2.0 * (half[0] + half[1])) for axis in (0, 1, 0, 1)]
    faces = [int(s + 1e-9) for s in share]
    order = sorted(range(4), key=lambda f: (-round(share[f] - faces[f], 9), f % 2, f))
    for f in order[: between - sum(faces)]:
        faces[f] += 1
    return faces[0], faces[1], faces[2], faces[3]


def hoop_step(at: float, out: float, reach: float) -> float:
    """Angle (rad) between two bars of a ring, their centers at radii `at` and `out`, `reach` apart, mm."""
    cosine = (at * at + out * out - reach * reach) / (2.0 * at * out)
    return acos(min(1.0, max(-1.0, cosine)))
