"""Findings and gaps as JSON: lengths in mm, points in site axes, null where there is no number."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from viewer.console import Progress

if TYPE_CHECKING:
    from clash.gap_table import GapTable
    from clash.report.findings import Finding, Report
    from clash.report.since import Since
    from clash.shared_volume import SharedVolumes
    from models.part import Part
    from models.pier import Pier
    from models.site import Site

GAPS_VERSION = 1
"""Of the gaps file; a report carries its own."""
NOISE = 1e-6
"""mm: parts that touch overlap by no more, whatever the last digits say (the design's one epsilon)."""


def findings_json(report: Report, since: Since | None = None) -> bytes:
    """The whole report as JSON, in its order; the schema is `viewer.report.schemas.findings_schema`."""
    from viewer.report.since import since_json

    return _bytes(
        {
            "version": report.version,
            "site": report.site,
            "input_sha256": report.input_sha256,
            "rule_book": report.rule_book,
            "overrides": list(report.overrides),
            "piers": report.piers,
            "checked": report.checked,
            "not_checked": report.not_checked,
            "clear": dict(report.clear),
            "not_modelled": list(report.not_modelled),
            "does_not_apply": dict(report.does_not_apply),
            "tolerances": list(report.tolerances),
            "both_axes": list(report.both_axes),
            "answers": list(report.answers),
            **({} if since is None else {"since": since_json(since)}),
        },
        "findings",
        [finding_row(finding) for finding in report.findings],
    )


def finding_row(finding: Finding) -> dict[str, Any]:
    """One finding with its pinned keys, numbers finite or None."""
    other = {"measured": number(finding.measured), "required": number(finding.required), "unit": finding.unit}
    return {
        "id": finding.id,
        "level": str(finding.level),
        "answered": finding.answered,
        "rule": finding.rule,
        "source": finding.source,
        "pier": finding.pier,
        "parts": list(finding.parts),
        "labels": list(finding.labels),
        "measured_mm": number(finding.measured_mm),
        "required_mm": number(finding.required_mm),
        "limit": finding.limit,
        "tolerance_mm": number(finding.tolerance_mm),
        "reserve_mm": number(finding.reserve_mm),
        "at_mm": _point(finding.at_mm),
        "says": finding.says,
        **(other if finding.unit is not None else {}),
        **({} if finding.lapsed is None else {"lapsed": finding.lapsed}),
    }


def gaps_json(site: Site, piers: tuple[Pier, ...], gaps: GapTable, within: float) -> bytes:
    """Every gap of `piers` (those that `gaps` was measured on) up to `within` mm, as JSON.

    Points are moved from each pier's frame into site axes. Parts that overlap carry their shared volume, mm3.
    """
    from clash.shared_volume import SharedVolumes

    rows: list[dict[str, Any]] = []
    volumes = SharedVolumes()
    with Progress("piers written", len(piers)) as progress:
        for i, pier in enumerate(piers):
            rows += _pier_gaps(pier, gaps.rows(i), volumes)
            progress.at(i + 1)
    return _bytes(
        {
            "version": GAPS_VERSION,
            "site": site.spec.site.name,
            "input_sha256": site.sha256,
            "within_mm": within,
        },
        "gaps",
        rows,
    )


def _pier_gaps(pier: Pier, gaps: GapTable, volumes: SharedVolumes) -> Iterable[dict[str, Any]]:
    from clash.gap_table import side_id
    from models.part import coexist

    columns = zip(
        gaps.a.tolist(),
        gaps.b.tolist(),
        gaps.gap.tolist(),
        pier.frame.points(gaps.at_a).tolist(),
        pier.frame.points(gaps.at_b).tolist(),
        strict=True,
    )
    for a, b, gap, at_a, at_b in columns:
        yield {
            "pier": pier.mark,
            "a": pier.parts[a].id,
            "b": side_id(pier, b),
            "gap_mm": number(gap),
            "shared_mm3": _shared(pier.parts[a], pier.parts[b], gap, volumes) if b >= 0 else None,
            "together": b < 0 or coexist(pier.parts[a], pier.parts[b]),
            "at_a_mm": _point(at_a),
            "at_b_mm": _point(at_b),
        }


def _shared(a: Part, b: Part, gap: float, volumes: SharedVolumes) -> float | None:
    """The volume that two parts share, mm3; None where they're apart; 0 where only noise overlaps."""
    if not gap < 0.0:
        return None
    if gap > -NOISE:
        return 0.0
    return number(volumes.of(a, b))


def _point(at: Sequence[float] | None) -> list[float] | None:
    """x, y, z, or None when any of them is no number."""
    return [float(c) for c in at] if at is not None and all(math.isfinite(c) for c in at) else None


def number(value: float | None) -> float | None:
    """A finite number, or None: NaN and infinity have no place in JSON."""
    return float(value) if value is not None and math.isfinite(value) else None


def _bytes(head: dict[str, Any], name: str, rows: Sequence[dict[str, Any]]) -> bytes:
    """An object of `head` and, under `name`, its rows, one a line: quick to write and to search."""
    encode = json.JSONEncoder(allow_nan=False).encode  # made once: json.dumps would make one for each row
    lines = ",\n".join(map(encode, rows))
    begun = encode(head)[:-1]
    return f'{begun}, "{name}": [\n{lines}\n]}}\n'.encode("ascii")
