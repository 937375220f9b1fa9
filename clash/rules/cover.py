"""Cover on the sides, the top and the bottom of the pier."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec.structs import replace

from clash.gap_table import Face, Index
from clash.needs.need import CoverFace, Need, site_first
from clash.pier_view import PierView
from clash.rule import DoesNotApply, Measured, rule
from models.motion import Array
from models.part import ANCHORS, Exit, Part, Role

_FACES: tuple[tuple[Face, CoverFace, Exit | None], ...] = (
    (Face.SIDE, "side", None),
    (Face.TOP, "top", Exit.TOP),
    (Face.BOTTOM, "bottom", Exit.BOTTOM),
)


@rule(
    id="cover",
    title="cover on the sides, the top and the bottom",
    source="the site's concrete: cover, by face, else the rule book by exposure and bar size "
    "(ACI 318-19 Table 20.5.1.3.1; EN 1992-1-1 Table 4.4N and 4.4.1.3)",
)
def cover(view: PierView) -> Iterator[Measured | DoesNotApply]:
    """Distance of all that concrete must cover to each face that it doesn't leave through on purpose.

    A rod and the nut or plate at its foot are one thing to cover: the one that lacks the most is told.
    """
    inside = np.flatnonzero(view.which(lambda part: part.inside)).tolist()
    if not inside:
        yield DoesNotApply("nothing inside the concrete")
        return
    for face, word, way_out in _FACES:
        own = [i for i in inside if way_out not in view.parts[i].exits]
        needs: dict[Need, int] = {}
        known: dict[tuple[object, ...], int] = {}
        rows: list[int] = []
        for i in own:
            part = view.parts[i]
            key = (part.role, part.nominal)
            if key not in known:
                known[key] = needs.setdefault(_need(view, part, word), len(needs))
            rows.append(known[key])
        if not needs:
            continue
        kept, which = np.array(own, dtype=np.intp), np.array(rows, dtype=np.intp)
        b = np.full(len(kept), int(face), dtype=np.intp)
        gap, at = view.gap(kept, b)
        lacks = np.array([np.nan if need.value is None else need.value for need in needs])[which] - gap
        told = _worst_of_each_rod(view, kept, lacks)
        yield Measured(
            kept[told],
            b[told],
            gap[told],
            tuple(needs),
            at[told],
            says="{a}: {measured} of cover to {b} {where}, {required} needed ({source}).",
            says_below_zero="{a} reaches {past} out through {b} {where}, {required} needed ({source}).",
            which=which[told],
        )


def _worst_of_each_rod(view: PierView, kept: Index, lacks: Array) -> Index:
    """Rows of `kept`, of a rod and what holds its foot only the one that lacks the most.

    lacks: (kept,) mm; NaN is unknown, and comes before all that is known.
    """
    rods = view.roles(*ANCHORS)
    lack = np.where(np.isnan(lacks), np.inf, lacks).tolist()
    worst: dict[int, int] = {}
    for row, part in enumerate(kept.tolist()):
        thing = part
        if view.parts[part].role is Role.HEAD:
            thing = next(iter(np.flatnonzero(view.touching[part] & rods).tolist()), part)
        first = worst.setdefault(thing, row)
        # A thousandth of a millimeter decides nothing: the same part is told however the site is turned.
        if not lack[row] <= lack[first] + 1e-3:
            worst[thing] = row
    return np.array(sorted(worst.values()), dtype=np.intp)


def _need(view: PierView, part: Part, face: CoverFace) -> Need:
    concrete = view.pier.spec.concrete
    on_ground = face == "bottom" and view.pier.grade_beam is None
    published = view.book.cover(part.role, part.nominal, concrete.exposure, face, on_ground)
    published = replace(published, what=f"cover at the {face}")
    need = site_first(getattr(concrete.cover, face), f"concrete: cover: {face}", published)
    assert need is not None
    return need
