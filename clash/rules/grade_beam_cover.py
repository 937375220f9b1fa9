"""Cover of what reaches down into the grade beam."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from clash.gap_table import Face
from clash.needs.need import Missing, Need
from clash.pier_view import PierView
from clash.rule import EPSILON, DoesNotApply, Measured, NotChecked, rule
from models.part import Exit, Part, Role
from models.solids import Swept


@rule(
    id="grade beam cover",
    title="cover of dowel feet in the grade beam",
    source="as specified: the grade beam's cover in the site file",
)
def grade_beam_cover(view: PierView) -> Iterator[Measured | NotChecked | DoesNotApply]:
    """Distance of every bar that reaches into the grade beam to its sides and its bottom."""
    beam = view.pier.grade_beam
    reaching = np.flatnonzero(view.which(lambda part: _reaches(part, view.pier.concrete.bottom)))
    if not len(reaching):
        yield DoesNotApply("nothing that reaches into a grade beam")
        return
    if beam is None:
        parts = [view.parts[i] for i in reaching]
        ask = (
            "bars reach down out of the pier, and the site file has no grade beam under it; add one (grade "
            "beams), or leave out how deep they reach (cage: dowels: embed)"
        )
        yield NotChecked(
            view.pier.mark,
            Missing("grade_beams", ask),
            tuple(p.id for p in parts),
            tuple(p.label for p in parts),
        )
        return
    name = beam.rpartition("/")[0]
    specified = next((spec.cover for spec in view.site.grade_beams if spec.name == name), None)
    if specified is None:
        ask = (
            f"the site file gives no cover for grade beam {name}, so the feet of the dowels in it are not "
            f"judged; add it (grade beams: {name}: cover)"
        )
        yield NotChecked(beam, Missing("grade_beams.cover", ask), (beam,), (f"grade beam {name}",))
        return
    # What drawings specify is nominal where the rule book has a deviation in its own.
    deviation = view.book.cover(Role.DOWEL, None, None, "bottom", False).deviation
    need = Need(
        specified,
        f"as specified, grade beams: {name}: cover",
        deviation=min(deviation, specified),
    )
    for face in (Face.GRADE_SIDE, Face.GRADE_BOTTOM):
        b = np.full(len(reaching), int(face), dtype=np.intp)
        gap, at = view.gap(reaching, b)
        yield Measured(
            reaching,
            b,
            gap,
            (need,),
            at,
            says="{a}: {measured} of cover to {b} {where}, {required} needed ({source}).",
            says_below_zero="{a} reaches {past} out through {b} {where}, {required} needed ({source}).",
        )


def _reaches(part: Part, bottom: float) -> bool:
    if Exit.BOTTOM not in part.exits or part.role is Role.EMBED or not isinstance(part.solid, Swept):
        return False
    return bool(np.min(part.solid.knots[:, 2]) < bottom - EPSILON)
