"""Whether the hooked feet of dowels reach deep enough into the grade beam."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.gap_table import Index
from clash.measures.levels import swept
from clash.measures.straight import runs
from clash.needs.laps import Foot
from clash.pier_view import PierView
from clash.rule import EPSILON, DoesNotApply, Measured, NotChecked, rule
from models.part import Role
from models.shapes.rings import encloses, ring_distances
from models.solids import Prism, Swept


@rule(
    id="hook development",
    title="depth of hooked dowels in the grade beam",
    source="the rule book (ACI 318-19 25.4.3)",
)
def hook_development(view: PierView) -> Iterator[Measured | NotChecked | DoesNotApply]:
    """From the bottom of the pier to the underside of the hook; of the pier's dowels, the shallowest.

    What it needs depends on the concrete of the grade beam, whose strength the site file has to give.
    """
    bottom = view.pier.concrete.bottom
    feet = [i for i in np.flatnonzero(view.roles(Role.DOWEL)).tolist() if _hooked(swept(view, i), bottom)]
    if not feet:
        yield DoesNotApply("no dowels with hooked feet in the model")
        return
    depth = np.array([bottom - _underside(view, i) for i in feet])
    k = int(np.argmin(np.round(depth, 3)))
    need = view.book.hooked(_foot(view, np.array(feet, dtype=np.intp)))
    if need is None:
        yield DoesNotApply(f"{view.book.title} has no figure for it in this program")
        return
    if need.missing is not None and depth[k] >= (need.value or 0.0) - EPSILON:
        beam = view.pier.grade_beam
        parts = (view.parts[feet[k]].id,) if beam is None else (beam,)
        labels = (view.parts[feet[k]].label,) if beam is None else (f"grade beam {beam.rpartition('/')[0]}",)
        yield NotChecked(beam or view.pier.mark, need.missing, parts, labels)
        return
    foot = np.array([feet[k]], dtype=np.intp)
    place = runs([view.parts[feet[k]]]).low
    yield Measured(
        foot,
        foot,
        depth[[k]],
        (need,),
        np.column_stack([place[:, :2], [bottom - depth[k]]]),
        says="{a} reaches {measured} below the pier with its hook, {required} needed for that ({source}).",
    )


def _hooked(dowel: Swept, bottom: float) -> bool:
    """Whether a bar is bent below an elevation."""
    bends = dowel.knots[:-1][dowel.angles > 0.0]
    return bool(np.any(bends[:, 2] < bottom))


def _underside(view: PierView, dowel: int) -> float:
    solid = swept(view, dowel)
    return float(np.min(solid.knots[:, 2])) - solid.radius


def _foot(view: PierView, feet: Index) -> Foot:
    cage = view.pier.spec.cage
    places = runs([view.parts[i] for i in feet]).low[:, :2]
    away = np.linalg.norm(places[:, None] - places[None], axis=2)
    away[np.diag_indices(len(feet))] = np.inf
    name = (view.pier.grade_beam or "").rpartition("/")[0]
    strength = next((beam.strength for beam in view.site.grade_beams if beam.name == name), None)
    return Foot(
        diameter=float(np.max(view.nominal[feet])),
        epoxy=cage is not None and cage.dowels is not None and cage.dowels.coating == "epoxy",
        yield_strength=None if cage is None else cage.yield_strength,
        strength=strength,
        spacing=float(np.min(away)),
        side_cover=_side_cover(view, feet),
    )


def _side_cover(view: PierView, feet: Index) -> float:
    """Least clear cover of what of dowels lies in the grade beam, to its sides, mm; infinite without one.

    Gaps end where the table of gaps does; this doesn't.
    """
    if view.pier.grade_beam is None:
        return np.inf
    beam = view.pier.part(view.pier.grade_beam).solid
    if not isinstance(beam, Prism):
        raise TypeError(f"{view.pier.grade_beam} is no prism")
    solids = [swept(view, int(i)) for i in feet]
    knots = np.concatenate([solid.knots for solid in solids])
    radius = np.repeat([solid.radius for solid in solids], [len(solid.knots) for solid in solids])
    below = knots[:, 2] < view.pier.concrete.bottom
    ring, plan = beam.outline.outer, beam.motion.inverse().points(knots[below])[:, :2]
    away = np.where(encloses(ring, plan), ring_distances(ring, plan), 0.0)
    return float(np.min(away - radius[below]))
