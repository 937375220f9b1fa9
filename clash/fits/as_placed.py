"""The site with its rods and dowels where they were measured, to be judged again."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec.structs import replace

from clash.fits.as_built import as_built
from clash.fits.judging import DROPS_ON
from clash.fits.placed import PlacedBar, PlacedPier
from clash.fits.seats import SeatFit
from clash.fits.targets import Drawn
from clash.judge import judge
from clash.report.findings import Finding, Level, Report
from clash.report.order import worst_first
from models.build import build_pier, with_touches
from models.motion import Array, Motion
from models.part import ANCHORS, Part, Role, Stage
from models.pier import Pier
from models.problems import BadInput, Place, Problem
from models.site import Site
from models.solids import Prism, Solid
from models.survey.shots import Shots

_FEET = ("head", "head-plate")
"""Names in ids of what is fast to the foot of a rod."""
_ABOVE = ("washer", "nut", "leveling-nut")
"""Names in ids of what lies on a plate or beam round its rod, and goes where that goes in plan."""
_ANSWERED_ELSEWHERE = ("rod in hole", "rod embedment")
"""Rules in whose place come whether a plate drops on, and how high a rod's top stands (as measured)."""
_THINGS = {"rod": "rods", "dowel": "dowels"}


def judge_as_placed(site: Site, shots: Shots, only: str | None = None) -> Report:
    """Judge every rule with rods and dowels where they were measured, and say what was not measured.

    Plates and beams lie where they leave their rods the most room, and whether they drop on comes in the
    place of the play of rods in their holes: it counts what the measuring is sure to. How deep a rod is
    embedded follows from its top, which `as_built` judges by what may be off there. Raises BadInput for
    shots that cannot be, and for dowels that cannot be built where they were measured.
    """
    found = as_built(site, shots)
    report = judge(as_placed(site, found.piers, found.seats), only=only)
    seats = [f for f in found.findings if f.rule == DROPS_ON]
    more = [f for f in (*_missing(site, found.piers), *seats) if only is None or f.pier == only]
    refused = _refused(site, found.seats)
    kept = [
        f
        for f in report.findings
        if f.rule not in _ANSWERED_ELSEWHERE and not refused.get(f.rule, set()).intersection(f.parts)
    ]
    rods, dowels = (sum(len(getattr(p, things)) for p in found.piers) for things in _THINGS.values())
    says = (
        f"{rods} rods and {dowels} dowels stand where {shots.file} has them, by their concrete where its top "
        "was shot, and plates and beams where they leave their rods the most room. Templates are gone, all "
        "else stands as drawn, and a dowel's lean is not taken in."
    )
    clear = {rule: count for rule, count in report.clear.items() if rule not in _ANSWERED_ELSEWHERE}
    gone = len(report.findings) - len(kept)
    told = sum(fit.drops_on is not None for fit in found.seats)
    return replace(
        report,
        site=f"{report.site}, as placed",
        findings=tuple(worst_first([*kept, *more])),
        clear=clear,
        checked=report.checked - (sum(report.clear.values()) - sum(clear.values())) - gone + told,
        not_checked=sum(f.level is Level.NOT_CHECKED for f in (*kept, *more)),
        not_modelled=(says, *report.not_modelled),
    )


def _refused(site: Site, seats: Sequence[SeatFit]) -> dict[str, set[str]]:
    """Plates and beams that do not drop on, by the rules that would say it again of each of their rods.

    At its best place such a beam lies beside all of its rods, also those that stand right. A hole more than
    there are rods is a fault of its own, and stays.
    """
    solids = {part.id: part.solid for pier in site.piers for part in pier.parts}
    rods, holes = set[str](), set[str]()
    for fit in seats:
        if fit.drops_on is False:
            rods.add(fit.part)
            solid = solids.get(fit.part)
            if isinstance(solid, Prism) and len(solid.outline.holes) == len(fit.holes):
                holes.add(fit.part)
    return {"rod without a hole": rods, "hole without a rod": holes}


def as_placed(site: Site, piers: Sequence[PlacedPier], seats: Sequence[SeatFit] = ()) -> Site:
    """The same site, rods and dowels where they were measured, plates and beams at their best places.

    Raises BadInput for what cannot be built.
    """
    lies = {fit.part: _best_place(fit) for fit in seats if np.isfinite(fit.room)}
    built: list[Pier] = []
    problems: list[Problem] = []
    for p in piers:
        try:
            pier = _pier(site, p)
        except ValueError as wrong:
            problems.append(Problem(Place(f"pier {site.piers[p.index].mark}"), f"as placed: {wrong}"))
            continue
        parts = tuple(
            replace(part, solid=_lying(part.solid, lies[part.id], _to_concrete(p, pier)))
            if part.id in lies
            else part
            for part in pier.parts
            if part.stage is not Stage.POUR or not p.rods
        )
        built.append(replace(pier, parts=with_touches(parts)))
    if problems:
        raise BadInput(problems)
    return Site(site.spec, tuple(built), site.sha256)


def _best_place(fit: SeatFit) -> Motion:
    """The best move of a plate or beam, in its own plan axes."""
    x, y, _ = fit.to_site.inverse().vectors(np.array([*fit.move, 0.0])).tolist()
    return Motion.turned(fit.turn, (x, y, 0.0))


def _lying(solid: Solid, move: Motion, to_concrete: Motion) -> Solid:
    """A plate or beam after a move in its own plan axes, seen from the concrete as placed."""
    assert isinstance(solid, Prism)
    return Prism(solid.outline, solid.bottom, solid.top, to_concrete.after(solid.motion.after(move)))


def _pier(site: Site, p: PlacedPier) -> Pier:
    pier = site.piers[p.index]
    to_concrete = _to_concrete(p, pier)
    cage = pier.spec.cage
    if p.dowels and cage is not None and cage.dowels is not None:
        at = Drawn(pier).dowels.copy()
        for number, bar in p.dowels.items():
            at[number - 1] = to_concrete.points(np.array([*bar.top[:2], 0.0]))[:2]
        dowels = cage.dowels.model_copy(update={"at": [(x, y) for x, y in at.tolist()], "count": None})
        spec = pier.spec.model_copy(update={"cage": cage.model_copy(update={"dowels": dowels})})
        pier = build_pier(site.spec, spec)
    if not p.rods:
        return pier
    drawn = Drawn(pier).rods
    moves: dict[str, Motion] = {}
    parts = {part.id: part for part in pier.parts}
    anchors = [part.id for part in pier.parts if part.role in ANCHORS]
    for number, bar in p.rods.items():
        place = _moved(bar, drawn[number - 1], _projection(pier), to_concrete)
        moves[anchors[number - 1]] = place
        for name in _FEET:
            moves[f"{pier.mark}/{name}/{number}"] = place
        for name in _ABOVE:
            part_id = f"{pier.mark}/{name}/{number}"
            if part_id in parts:
                z = _height(parts[part_id])
                start = np.array([*drawn[number - 1], z])
                shift = place.points(start) - start
                moves[part_id] = Motion(np.eye(3), np.array([shift[0], shift[1], 0.0]))
    moved = tuple(
        replace(part, solid=part.solid.moved(moves[part.id])) if part.id in moves else part
        for part in pier.parts
    )
    return replace(pier, parts=with_touches(moved))


def _to_concrete(p: PlacedPier, pier: Pier) -> Motion:
    """From the pier's drawn frame to that of its concrete as placed, where its top was shot."""
    if not p.top.known:
        return Motion.identity()
    off = pier.frame.inverse().vectors(np.array([*p.top.off, 0.0]))
    turn = 0.0 if np.isnan(p.top.turn) else p.top.turn
    return Motion.turned(turn, (float(off[0]), float(off[1]), 0.0)).inverse()


def _moved(bar: PlacedBar, drawn: Array, projection: float, to_concrete: Motion) -> Motion:
    """The rigid motion that carries a rod as drawn to where it was measured: lean, place and height.

    The highest shot of a rod is taken for its top.
    """
    top = bar.top
    lean = np.eye(3)
    if bar.leans:
        way = bar.points[-1] - bar.points[0]
        lean = _tilt(way / np.linalg.norm(way))
    start = np.array([drawn[0], drawn[1], projection])
    end = np.array([top[0], top[1], top[2] if np.isfinite(top[2]) else projection])
    return to_concrete.after(Motion(lean, end - lean @ start))


def _tilt(way: Array) -> Array:
    """The rotation that carries the upright to a unit direction the shortest way round (Rodrigues)."""
    x, y, z = way.tolist()
    f = 1.0 / (1.0 + z)
    return np.array([[1.0 - f * x * x, -f * x * y, x], [-f * x * y, 1.0 - f * y * y, y], [-x, -y, z]])


def _projection(pier: Pier) -> float:
    assert pier.spec.seat.rods is not None
    return pier.spec.seat.rods.projection


def _height(part: Part) -> float:
    """mm: the middle of a washer or nut, above the top of concrete."""
    solid = part.solid
    assert isinstance(solid, Prism)
    return (solid.bottom + solid.top) / 2.0


def _missing(site: Site, piers: Sequence[PlacedPier]) -> list[Finding]:
    """Rods and dowels that were not measured, where others of their kind were."""
    found = []
    for what, things in _THINGS.items():
        if not any(getattr(p, things) for p in piers):
            continue
        for p in piers:
            pier = site.piers[p.index]
            roles = ANCHORS if what == "rod" else {Role.DOWEL}
            parts = [part for part in pier.parts if part.role in roles]
            lacking = [part for k, part in enumerate(parts, start=1) if k not in getattr(p, things)]
            if lacking:
                found.append(_not_measured(pier, things, lacking))
    return found


def _not_measured(pier: Pier, things: str, lacking: list[Part]) -> Finding:
    labels = tuple(part.label for part in lacking)
    return Finding(
        id=f"as placed:{pier.mark}:{things}",
        level=Level.NOT_CHECKED,
        rule="as placed",
        source="as measured",
        pier=pier.mark,
        parts=tuple(part.id for part in lacking),
        labels=labels,
        says=f"As placed: {', '.join(labels)} not measured, and judged as drawn.",
    )
