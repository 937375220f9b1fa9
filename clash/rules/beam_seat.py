"""Beams on their piers: inside the faces, bearing on enough, their holes away from edges and ends."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from clash.gap_table import Face
from clash.measures.holes import beam_of, holes
from clash.measures.on_rods import levels, prism, worst
from clash.measures.plan_fit import chord, extent, in_pier
from clash.needs.need import Need, site_first
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.motion import Array
from models.part import Role
from models.shapes.chamfer import set_back
from models.solids import Prism

_FLUSH = Need(0.0, "practice: a beam's side flush with the face of the pier, or inside it")


class _Box(Struct, frozen=True, eq=False):
    """A beam in its own plan, x along its run: (x, y) of its low and its high corner, mm."""

    part: int
    solid: Prism
    low: Array
    high: Array


@rule(
    id="beam face",
    title="sides of a beam inside the faces of its pier",
    source="the site's required: beam inside, else practice: flush with the face or inside it",
)
def beam_face(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """How far each beam's nearer side keeps inside of what the pier reaches, square to the beam's run."""
    beams = _beams(view)
    if not beams:
        yield DoesNotApply("no beam")
        return
    need = site_first(view.pier.spec.required.beam_inside, "required: beam inside", _FLUSH)
    assert need is not None
    inside, at = [], []
    for beam in beams:
        ring = in_pier(_upside(beam.solid), view.pier.concrete.outline.outer)
        left, right = np.array([0.0, 1.0]), np.array([0.0, -1.0])
        room = [extent(ring, left) - float(beam.high[1]), extent(ring, right) + float(beam.low[1])]
        side = worst(np.array(room))
        inside.append(room[side])
        here = beam.solid.motion.inverse().points(np.zeros(3))
        y = float((beam.high, beam.low)[side][1])
        at.append(beam.solid.motion.points(np.array([here[0], y, beam.solid.bottom])))
    yield Measured(
        np.array([beam.part for beam in beams], dtype=np.intp),
        np.full(len(beams), int(Face.SIDE), dtype=np.intp),
        np.array(inside),
        (need,),
        np.array(at),
        says="{a}: its side is {measured} inside {b} {plan}, {required} needed ({source}).",
        says_below_zero="{a} stands {past} out over {b} {plan} ({source}).",
    )


@rule(
    id="beam bearing",
    title="length of a beam that bears on its pier",
    source="as specified: the site's required: beam bearing",
)
def beam_bearing(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """How much of each beam's center line lies over the flat top of the pier, its chamfer left out."""
    beams, figure = _beams(view), view.pier.spec.required.beam_bearing
    if not beams or figure is None:
        yield DoesNotApply(
            "no beam" if not beams else "the site asks for no bearing (required: beam bearing)"
        )
        return
    concrete = view.pier.concrete
    leg = concrete.top_chamfer
    flat = set_back(concrete.outline.outer, leg) if leg > 0.0 else concrete.outline.outer
    bears = []
    for beam in beams:
        middle = float(beam.low[1] + beam.high[1]) / 2.0
        ring = in_pier(_upside(beam.solid), flat)
        bears.append(chord(ring, middle, float(beam.low[0]), float(beam.high[0])))
    yield Measured(
        np.array([beam.part for beam in beams], dtype=np.intp),
        np.full(len(beams), int(Face.TOP), dtype=np.intp),
        np.array(bears),
        (Need(figure, "as specified, required: beam bearing"),),
        np.array([[0.0, 0.0, levels(view)[beam.part, 0]] for beam in beams]),
        says="{a} bears on {measured} of {b}, {required} needed ({source}).",
    )


@rule(
    id="beam hole",
    title="holes of a beam, to its sides and its ends",
    source="as specified: the site's required: beam hole edge, beam hole end",
)
def beam_hole(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """From the center of each hole over this pier to the beam's sides, and to its ends and splices.

    Each is one measurement for a beam, the hole that is nearest.
    """
    required = view.pier.spec.required
    groups = [g for g in holes(view) if view.parts[g.part].role is Role.BEAM and len(g.centers)]
    if not groups:
        yield DoesNotApply("no beam with holes")
        return
    if required.beam_hole_edge is None and required.beam_hole_end is None:
        yield DoesNotApply("the site asks for none (required: beam hole edge, beam hole end)")
        return
    boxes = {beam.part: beam for beam in _beams(view)}
    for group in groups:
        box, spec = boxes[group.part], beam_of(view, view.parts[group.part])
        local = box.solid.motion.inverse().points(group.centers)
        ends = [float(box.low[0]), float(box.high[0]), *(() if spec is None else spec.splices)]
        to_side = np.minimum(local[:, 1] - box.low[1], box.high[1] - local[:, 1])
        to_end = np.min(np.abs(local[:, :1] - np.array(ends)), axis=1)
        cases = (
            ("edge", "side", required.beam_hole_edge, to_side),
            ("end", "end or a splice", required.beam_hole_end, to_end),
        )
        for name, word, figure, distance in cases:
            if figure is None:
                continue
            least = [worst(distance)]
            part = np.full(1, group.part, dtype=np.intp)
            yield Measured(
                part,
                part,
                distance[least],
                (Need(figure, f"as specified, required: beam hole {name}", what=f"hole to {word}"),),
                group.centers[least],
                says="{a}: {measured} from the center of a hole to its "
                + word
                + " {plan}, {required} needed "
                "({source}).",
                tags=(f"{view.pier.mark} {name}",),
            )


def _beams(view: PierView) -> list[_Box]:
    found = []
    for i in np.flatnonzero(view.roles(Role.BEAM)).tolist():
        solid = prism(view.parts[i])
        corners = solid.outline.outer.starts
        found.append(_Box(i, solid, corners.min(axis=0), corners.max(axis=0)))
    return found


def _upside(solid: Prism) -> Prism:
    """A prism whose motion carries the pier's plan into the beam's own."""
    return Prism(solid.outline, solid.bottom, solid.top, solid.motion.inverse())
