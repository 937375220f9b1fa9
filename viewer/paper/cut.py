"""Plans of the flat things that carry rods: templates and plates, and which of them are the same."""

from __future__ import annotations

from math import hypot
from typing import Literal

from models.outline import Loop
from models.part import Part, Role
from models.pier import Pier
from models.seat.pattern import positions, rod_positions
from models.seat.rods import measures
from models.solids import Prism
from viewer.paper.plan import Hole, Plan

Flat = Literal["template", "plate"]
_ROLES = {"template": Role.TEMPLATE, "plate": Role.PLATE}


def flat_part(pier: Pier, what: Flat) -> Part | None:
    """The pier's template or plate, or None."""
    return next((part for part in pier.parts if part.role is _ROLES[what]), None)


def plan_of(pier: Pier, what: Flat) -> Plan:
    """The template or plate of a pier as it is drawn. Raises KeyError where it has none."""
    part = flat_part(pier, what)
    seat = pier.spec.seat
    holed = seat.template if what == "template" else seat.plate
    if part is None or holed is None or not isinstance(part.solid, Prism):
        raise KeyError(f"{pier.mark} has no {what}")
    own = holed.holes.pattern
    count = len(rod_positions(pier.spec) if own is None else positions(own))
    rings = part.solid.outline.holes
    # A builder cuts the holes first, in the order of their pattern, then every opening.
    holes = tuple(_hole(n, ring) for n, ring in enumerate(rings[:count], start=1))
    below = pier.concrete.outline.outer if what == "template" else None
    return Plan(part.solid.outline.outer, holes, rings[count:], below, pier.frame, what == "plate")


def _hole(number: int, ring: Loop) -> Hole:
    (x, y), start = ring.centers[0].tolist(), ring.starts[0].tolist()
    return Hole(number, x, y, 2.0 * hypot(start[0] - x, start[1] - y))


def shape_key(plan: Plan) -> tuple[object, ...]:
    """Equal for plans that are cut alike, however they are turned on the site."""
    rings = [plan.outer, *plan.openings, *([plan.below] if plan.below is not None else [])]
    holes = tuple((round(h.x, 4), round(h.y, 4), round(h.diameter, 4)) for h in plan.holes)
    return holes, tuple(_ring_key(ring) for ring in rings)


def turn_key(plan: Plan) -> tuple[float, ...]:
    """Equal for plans that are turned alike on the site: their edges and corners have the same names."""
    return tuple((plan.frame.rotation[:2, :2].round(9).ravel() + 0.0).tolist())


def _ring_key(ring: Loop) -> tuple[float, ...]:
    return (*ring.starts.round(4).ravel().tolist(), *ring.sweeps.round(9).tolist())


def rod_words(pier: Pier) -> str:
    """What comes up through the holes: `1 in rods` or `No. 8 bar anchors`."""
    rods = pier.spec.seat.rods
    if rods is None:
        return "nothing"
    return f"{measures(rods)[2]} {'rods' if rods.bar is None else 'bar anchors'}"
