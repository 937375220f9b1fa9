"""Clean sites, and single faults seeded into them: what each must bring out, and nothing else.

A site is a YAML file as a builder writes it. A fault changes single figures of it; the changed file is
written
out and read again, so that reading is part of every check. Figures come from arithmetic beside the fault.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import yaml
from msgspec.structs import replace

from clash.gap_table import GapTable
from clash.gaps import measure
from clash.judge import judge
from clash.report.findings import Finding, Level, Report
from models.build import build_site
from models.reading.site_file import read_site

SITES = Path(__file__).with_name("sites")
INCH = 25.4
SIDES = (-0.5, 0.0, 0.5)
"""mm of reserve at which a limit is tried: short of it, exactly at it, and past it."""
Change = Mapping[str, Any]


@dataclass(frozen=True)
class Fault:
    """One thing drawn wrong.

    site: the clean site; change: what the file says instead (see `changed`); holds: every rule that must be
    on HOLD, and what the parts of each of its findings must hold; measured: by rule, its worst measurement,
    mm or the rule's own unit.
    """

    name: str
    site: str
    change: Change
    holds: Mapping[str, str]
    measured: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Limit:
    """One figure moved to both sides of the limit of one rule, and of no other.

    at: what the file says where so much reserve (mm) is left of the requirement; thing: what the parts of
    each of its findings must hold; tight: whether the short side is an allowance for placing that is used
    up, and no HOLD.
    """

    name: str
    site: str
    rule: str
    at: Callable[[float], Change]
    thing: str = ""
    tight: bool = False


@cache
def clean(site: str) -> dict[str, Any]:
    """What stands in the file of a clean site."""
    read: dict[str, Any] = yaml.safe_load((SITES / f"{site}.yaml").read_text(encoding="utf-8"))
    return read


def changed(site: str, change: Change) -> dict[str, Any]:
    """A clean site with some of its figures changed.

    A path goes down from the site's one kind, or from the whole file where it begins with a slash; numbers
    are
    places in lists, "+" adds to one. None takes a field away.
    """
    file = copy.deepcopy(clean(site))
    for path, value in change.items():
        at: Any = file if path.startswith("/") else file["kinds"]["k"]
        *way, last = path.strip("/").split("/")
        for step in way:
            at = at[int(step)] if isinstance(at, list) else at.setdefault(step, {})
        if last == "+":
            at.append(value)
        elif isinstance(at, list):
            at[int(last)] = value
        elif value is None:
            del at[last]
        else:
            at[last] = value
    return file


def judged(site: str, changes: Sequence[Change], folder: Path) -> list[Report]:
    """The reports on one site changed in several ways, each written, read, built and judged.

    Gaps are measured in one go: that takes half as long as one after the other, and comes to the same.
    """
    built = []
    for change in changes:
        path = folder / f"{site}.yaml"
        # JSON is YAML that is quickly written.
        path.write_text(json.dumps(changed(site, change), indent=1), encoding="utf-8")
        built.append(build_site(*read_site(path)))
    gaps = measure([pier for one in built for pier in one.piers])
    first = np.cumsum([0, *(len(one.piers) for one in built)])
    return [judge(one, _own(gaps, first[k], first[k + 1])) for k, one in enumerate(built)]


def _own(gaps: GapTable, first: int, end: int) -> GapTable:
    """The gaps of piers first : end as those of a site of their own."""
    rows = gaps.take((gaps.pier >= first) & (gaps.pier < end))
    return replace(rows, pier=rows.pier - first)


def mm(length: float) -> str:
    """A length as both unit systems take it, to the last digit."""
    return f"{length:.10f} mm"


def pipe(diameter: float, x: float, y: float, low: float, high: float) -> dict[str, object]:
    """An upright conduit at (x, y) between two heights above the top of concrete, mm."""
    points = [[mm(x), mm(y), mm(low)], [mm(x), mm(y), mm(high)]]
    return {"name": "conduit", "diameter": mm(diameter), "points": points}


def four(x: float, y: float) -> list[list[str]]:
    """Four places in a rectangle about the middle, x and y mm from the axes."""
    return [[mm(-x), mm(-y)], [mm(x), mm(-y)], [mm(x), mm(y)], [mm(-x), mm(y)]]


def holds(report: Report, level: Level = Level.HOLD) -> dict[str, list[Finding]]:
    """Findings of one level, by rule."""
    found: dict[str, list[Finding]] = {}
    for finding in report.findings:
        if finding.level is level:
            found.setdefault(finding.rule, []).append(finding)
    return found


def told(report: Report) -> str:
    """Every finding as a line, for a message."""
    return "\n".join(f"{f.level}: {f.id}: {f.says}" for f in report.findings)
