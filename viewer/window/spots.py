"""Where a finding is, and the few words that are written at the gap."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from msgspec import Struct

from clash.gap_table import Face, GapTable, side_id
from clash.report.wording import shown
from models.lengths import Units, show_gap
from models.motion import Array
from models.part import ANCHORS
from models.pier import Pier
from models.solids import Prism, Swept
from viewer.scene.sight import Spot

if TYPE_CHECKING:
    from clash.report.findings import Finding

_SAME = 1e-6
"""mm: a finding that measured the gap of its two parts has it to this."""


class Place(Struct, frozen=True, eq=False):
    """spot: where a finding is; gap: mm between its nearest points, None where it measures another thing."""

    spot: Spot
    gap: float | None

    @property
    def overlaps(self) -> bool:
        """Whether the two share space."""
        return self.gap is not None and self.gap < 0.0


def place_of(pier: Pier, finding: Finding, rows: GapTable) -> Place | None:
    """Where a finding is in its pier; None where it has no place. rows: the gaps of that pier alone."""
    index = {part.id: i for i, part in enumerate(pier.parts)}
    own = tuple(index[part] for part in finding.parts if part in index)
    through = _through(pier, own)
    row = _row(pier, finding, rows)
    if row is not None and finding.measured_mm is not None:
        gap = float(rows.gap[row])
        if abs(gap - finding.measured_mm) <= _SAME:
            return Place(Spot(rows.at_a[row], rows.at_b[row], own, through=through), gap)
    at = _at(pier, finding, own)
    if at is None:
        return None
    along = _along(pier, own) if through is None else None
    return Place(Spot(at, at, own, along, through), None)


def reading(finding: Finding, place: Place | None, units: Units) -> str:
    """What stands at the gap: "0.38 in clear, 1.50 needed". Empty where nothing was measured."""
    least = finding.limit != "most"
    if finding.unit is not None and finding.measured is not None:
        own = shown(finding.measured, finding.unit, units, "measured least" if least else "measured most")
        required = finding.required
        if required is None:
            return own
        need = shown(required, finding.unit, units, "needed least" if least else "needed most")
        return f"{own}, {_bare(need, own)} {'needed' if least else 'at most'}"
    measured, needed = finding.measured_mm, finding.required_mm
    if measured is None:
        return ""
    if measured < -_SAME:
        own, word = show_gap(-measured, units, "measured most"), " into each other"
    else:
        own = show_gap(measured, units, "measured least" if least else "measured most")
        word = " clear" if place is not None and place.gap is not None else ""
    said = f"{own}{word}"
    if needed is not None and (needed > _SAME or measured >= -_SAME):
        need = show_gap(needed, units, "needed least" if least else "needed most")
        said += f", {_bare(need, own)} {'needed' if least else 'at most'}"
    if finding.level.value == "TIGHT" and finding.tolerance_mm:
        taken = show_gap(finding.tolerance_mm, units, "needed least")
        said += f", placing may take {_bare(taken, own)}"
    return said


def _bare(length: str, beside: str) -> str:
    """A length without its unit, where the one before it has said it."""
    figure, _, unit = length.partition(" ")
    return figure if unit and beside.endswith(f" {unit}") else length


def _row(pier: Pier, finding: Finding, rows: GapTable) -> int | None:
    """The row of the table that holds the gap of a finding's two parts."""
    if len(finding.parts) != 2:
        return None
    index = {part.id: i for i, part in enumerate(pier.parts)}
    index |= {side_id(pier, face): int(face) for face in Face if pier.grade_beam or face >= Face.BOTTOM}
    if any(part not in index for part in finding.parts):
        return None
    b, a = sorted(index[part] for part in finding.parts)
    if b >= 0:  # two parts stand in the table the lower first; a face is negative, and second
        a, b = b, a
    found = np.flatnonzero((rows.a == a) & (rows.b == b))
    return int(found[0]) if len(found) else None


def _at(pier: Pier, finding: Finding, own: tuple[int, ...]) -> Array | None:
    if finding.at_mm is not None:
        at: Array = pier.frame.inverse().points(np.array(finding.at_mm))
        return at
    if not own:
        return None
    solid = pier.parts[own[0]].solid
    if isinstance(solid, Swept):
        if finding.rule.startswith("as built ") and pier.parts[own[0]].role in ANCHORS:
            head: Array = solid.knots[int(np.argmax(solid.knots[:, 2]))]
            return head  # nothing else of a rod was measured, and nothing else is seen
        knot: Array = solid.knots[len(solid.knots) // 2]
        return knot
    ring = solid.outline.outer.starts
    middle = [*((ring.min(axis=0) + ring.max(axis=0)) / 2.0).tolist(), (solid.bottom + solid.top) / 2.0]
    return solid.motion.points(np.array(middle))


def _through(pier: Pier, own: tuple[int, ...]) -> Array | None:
    """The direction of a rod that a finding is about together with what has its hole."""
    parts = [pier.parts[i] for i in own]
    holed = any(isinstance(part.solid, Prism) and part.solid.outline.holes for part in parts)
    anchors = any(part.role in ANCHORS for part in parts)
    return _along(pier, own) if holed and anchors and len(parts) == 2 else None


def _along(pier: Pier, own: tuple[int, ...]) -> Array | None:
    """The direction of the longest straight piece of the first bar among a finding's own parts."""
    for i in own:
        solid = pier.parts[i].solid
        if isinstance(solid, Swept):
            k = int(np.argmax(np.where(solid.angles > 0.0, 0.0, solid.lengths)))
            way = solid.knots[k + 1] - solid.knots[k]
            unit: Array = way / np.linalg.norm(way)
            return unit
    return None
