"""Built cages for the rules on ties and laps: one pier, lengths in mm, and what differs."""

from __future__ import annotations

from typing import Any

from clash.judge import judge
from clash.report.findings import Finding, Level, Report
from models.build import build_site
from models.site import Site
from models.spec.site import SiteSpec

INCH = 25.4
TIES: dict[str, Any] = {"size": "No. 4", "spacing": 8 * INCH, "first": 4 * INCH, "top": 3 * INCH}
GROUP: dict[str, Any] = {"count": 2, "clear": INCH}
DOWELS: dict[str, Any] = {
    "size": "No. 6",
    "count": 4,
    "height": 40 * INCH,
    "embed": 18 * INCH,
    "hook": "90",
}
RODS: dict[str, Any] = {
    "diameter": INCH,
    "pattern": {"at": [[-100.0, 0.0], [100.0, 0.0]]},
    "embedment": 20 * INCH,
    "projection": 150.0,
    "end": "plain",
}
GRADE_BEAM: dict[str, Any] = {
    "name": "GB1",
    "start": [-3000.0, 0.0],
    "end": [3000.0, 0.0],
    "width": 48 * INCH,
    "top": -60 * INCH,
    "depth": 24 * INCH,
    "cover": 3 * INCH,
    "strength": 4000.0 * 4.4482216152605 / INCH**2,
}


def caged_site(
    *,
    ties: dict[str, Any] | None = None,
    verticals: dict[str, Any] | None = None,
    cage: dict[str, Any] | None = None,
    dowels: dict[str, Any] | None = None,
    rods: dict[str, Any] | None = None,
    concrete: dict[str, Any] | None = None,
    required: dict[str, Any] | None = None,
    outline: dict[str, Any] | None = None,
    rules: str = "aci-318-19",
    turn: float = 0.0,
    height: float = 60 * INCH,
    grade_beam: dict[str, Any] | None = None,
    extra: dict[str, Any] | None = None,
    **pier: Any,
) -> Site:
    """A 24 in pedestal, 5 ft tall: 15 1/2 in cage, 8 No. 6, No. 4 ties at 8 in, 2 at the top; and changes.

    ties, verticals, concrete: what differs in those blocks; cage: further fields of the cage; grade_beam:
    what differs from the common one, which is there when this is given.
    """
    bars = {"size": "No. 6", "count": 8, "bottom": 2 * INCH} | (verticals or {})
    if "at" in bars or "per_face" in bars:
        del bars["count"]
    kind = {
        "outline": outline or {"square": 24 * INCH},
        "use": "pedestal",
        "concrete": {
            "strength": 5000.0 * 4.4482216152605 / INCH**2,
            "aggregate": 0.75 * INCH,
            "exposure": "weather",
            "cover": {"side": 3 * INCH, "top": 3 * INCH, "bottom": 2 * INCH},
        }
        | (concrete or {}),
        "required": required or {},
        "cage": {
            "size": 15.5 * INCH,
            "verticals": bars,
            "ties": TIES | {"top_group": GROUP} | (ties or {}),
        }
        | ({} if dowels is None else {"dowels": DOWELS | dowels})
        | (cage or {}),
        "seat": {"type": "none"} if rods is None else {"type": "none", "rods": RODS | rods},
    } | pier
    own = {"mark": "P1", "kind": "k", "x": 0.0, "y": 0.0, "top": 0.0, "bottom": -height, "turn": turn}
    beams = [] if grade_beam is None else [GRADE_BEAM | {"top": -height} | grade_beam]
    return build_site(
        SiteSpec.model_validate(
            {
                "site": {"name": "Reedbank Field Station", "units": "ft-in", "rules": rules},
                "kinds": {"k": kind},
                "piers": [kind | own],
                "grade_beams": beams,
            }
            | (extra or {})
        ),
        "0" * 64,
    )


def found(report: Report, rule: str, tag: str = "") -> list[Finding]:
    """The findings of one rule whose ids end in a tag."""
    return [f for f in report.findings if f.rule == rule and f.id.endswith(tag)]


def held_up(built: Site, rule: str, holds: bool, tag: str = "") -> list[Finding]:
    """Assert exactly one HOLD of this rule and tag, or none of it and something clear."""
    report = judge(built)
    own = found(report, rule, tag)
    assert [f.level for f in own] == ([Level.HOLD] if holds else [])
    assert rule in report.clear
    if not holds:
        assert report.clear[rule] >= 1
    return own


def why_not(built: Site, rule: str) -> str:
    """Why a rule has nothing to say of a site."""
    return judge(built).does_not_apply[rule]
