"""Tiny piers of a few hand-made parts, with the gaps that a test says: rules without a kernel."""

from __future__ import annotations

from collections.abc import Sequence
from math import radians
from typing import Any

import numpy as np

from clash.gap_table import Face, GapTable
from clash.judge import judge
from clash.report.findings import Finding, Level, Report
from models.motion import Motion
from models.outline import Loop, Outline, rectangle
from models.part import Exit, Part, Role, Stage
from models.pier import Concrete, Pier
from models.site import Site
from models.solids import Prism, Swept
from models.spec.site import SiteSpec
from tests.support.placing import exact

INCH = 25.4
STATED: dict[str, Any] = {"concrete": {"aggregate": 19.05, "exposure": "weather"}}
"""What a pier has to say for its published figures: 3/4 in aggregate, exposed to weather."""
Gap = tuple[str, str | Face, float] | tuple[str, str | Face, float, tuple[float, float, float]]


def bar(
    part_id: str,
    role: Role,
    x: float = 0.0,
    y: float = 0.0,
    *,
    diameter: float = INCH,
    low: float = -900.0,
    high: float = -50.0,
    label: str = "",
    exits: Sequence[Exit] = (),
    touches: Sequence[str] = (),
    overall: float | None = None,
    inside: bool = True,
) -> Part:
    """A plumb bar at (x, y) from `low` to `high`, mm in the pier's frame."""
    nan = np.full((1, 3), np.nan)
    solid = Swept(np.array([[x, y, low], [x, y, high]]), np.zeros(1), nan, nan, diameter / 2.0)
    return Part(
        part_id,
        role,
        label or part_id.split("/", 1)[1].replace("/", " "),
        solid,
        nominal=diameter,
        overall=overall,
        inside=inside,
        exits=frozenset(exits),
        touches=frozenset(touches),
    )


def vertical(number: int, x: float = 0.0, y: float = 0.0, **more: Any) -> Part:
    """Vertical `number` of pier P1, 1 in thick."""
    return bar(f"P1/vertical/{number}", Role.VERTICAL, x, y, **more)


def tie(number: int, **more: Any) -> Part:
    """Something 3/8 in thick that counts as tie `number` of pier P1; its shape is of no account."""
    return bar(f"P1/tie/{number}", Role.TIE, diameter=0.375 * INCH, **more)


def rod(number: int, x: float = 0.0, y: float = 0.0, **more: Any) -> Part:
    """Rod `number` of pier P1, leaving the top by 150 mm."""
    given = {"low": -600.0, "high": 150.0, "exits": [Exit.TOP], "label": f"rod {number} (SE)"} | more
    role = given.pop("role", Role.ROD)
    return bar(f"P1/rod/{number}", role, x, y, **given)


def slab(
    part_id: str,
    role: Role,
    outline: Loop,
    bottom: float,
    top: float,
    *,
    holes: Sequence[Loop] = (),
    stage: Stage = Stage.SET,
    motion: Motion | None = None,
    fluid: bool = False,
    touches: Sequence[str] = (),
    inside: bool = False,
    label: str = "",
) -> Part:
    """A prism between two elevations, with holes."""
    return Part(
        part_id,
        role,
        label or role.value,
        Prism(Outline(outline).with_holes(holes), bottom, top, motion or Motion.identity()),
        stage=stage,
        fluid=fluid,
        touches=frozenset(touches),
        inside=inside,
    )


def site(
    parts: Sequence[Part],
    *,
    pier: dict[str, Any] | None = None,
    units: str = "mm",
    rules: str = "aci-318-19",
    outline: Loop | None = None,
    grade_beam: str | None = None,
    turn: float = 0.0,
    extra: dict[str, Any] | None = None,
) -> Site:
    """A site of one pier, P1 of kind small: 500 mm square by 1000 tall unless its outline says otherwise.

    Everything is placed exactly unless `extra` has something else under `placing`.
    """
    spec = SiteSpec.model_validate(
        {
            "site": {"name": "Reedbank Field Station", "units": units, "rules": rules},
            "kinds": {"small": {"outline": {"square": 500.0}}},
            "piers": [
                {
                    "mark": "P1",
                    "kind": "small",
                    "x": 0.0,
                    "y": 0.0,
                    "top": 0.0,
                    "bottom": -1000.0,
                    "turn": turn,
                    "outline": {"square": 500.0},
                }
                | (pier or {})
            ],
        }
        | exact(extra or {})
    )
    own = spec.piers[0]
    frame = Motion.turned(radians(turn), (own.x, own.y, own.top))
    concrete = Concrete(Outline(outline or rectangle(500.0, 500.0)), own.bottom - own.top)
    built = Pier(own.mark, own.kind, own, frame, concrete, tuple(parts), grade_beam)
    return Site(spec, (built,), "0" * 64)


def table(built: Site, gaps: Sequence[Gap]) -> GapTable:
    """The given gaps of the first pier, at (10, 20, -300) in its frame where a gap does not say."""
    pier = built.piers[0]
    index = {part.id: i for i, part in enumerate(pier.parts)}
    a, b, gap, at = [], [], [], []
    for row in gaps:
        one, other = index[row[0]], row[1] if isinstance(row[1], Face) else index[row[1]]
        if other >= 0 and other < one:
            one, other = other, one
        a.append(one)
        b.append(int(other))
        gap.append(row[2])
        at.append(row[3] if len(row) > 3 else (10.0, 20.0, -300.0))
    n = len(gap)
    points = np.array(at, dtype=float).reshape(n, 3)
    return GapTable(
        np.zeros(n, dtype=np.intp),
        np.array(a, dtype=np.intp),
        np.array(b, dtype=np.intp),
        np.array(gap, dtype=float),
        points,
        points.copy(),
    )


def judged(built: Site, gaps: Sequence[Gap] = ()) -> Report:
    """The report on a tiny site with these gaps."""
    return judge(built, table(built, gaps))


def only(report: Report, rule: str) -> list[Finding]:
    """The findings of one rule."""
    return [f for f in report.findings if f.rule == rule]


def expect(report: Report, rule: str, holds: bool) -> list[Finding]:
    """Assert either exactly one HOLD of this rule, or nothing of it and at least one clear measurement."""
    found = only(report, rule)
    assert [f.level for f in found] == ([Level.HOLD] if holds else [])
    if not holds:
        assert report.clear[rule] >= 1
    return found
