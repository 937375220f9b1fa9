"""The key plan: positions, the worst level of each pier, rows to walk, and the page it is drawn on."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from math import cos, hypot, radians, sin

import numpy as np
import pytest
from msgspec.structs import replace

from clash.judge import judge
from clash.report.findings import Level, Report
from models.lengths import FOOT, Units
from models.reading.loading import load_site
from models.site import Site
from tests.viewer.running import DEMO, ROOT
from viewer.drawing.layers import Layer
from viewer.drawing.recording import record
from viewer.legend.key_plan import KeyPier, KeyPlan, key_plan, rows_of
from viewer.legend.looks import CLEAR, LEVELS
from viewer.paper.job import Job
from viewer.paper.title import Title
from viewer.pictures.site_page import site_page

LETTER = (215.9, 279.4)


@pytest.fixture(scope="module")
def site() -> Site:
    return load_site(DEMO / "reedbank.yaml")


@pytest.fixture(scope="module")
def report(site: Site) -> Report:
    return judge(site)


@pytest.fixture(scope="module")
def plan(site: Site, report: Report) -> KeyPlan:
    return key_plan(site, report)


def pier(mark: str, x: float, y: float, level: str = CLEAR) -> KeyPier:
    ring = np.array(
        [[x - 300.0, y - 300.0], [x + 300.0, y - 300.0], [x + 300.0, y + 300.0], [x - 300.0, y + 300.0]]
    )
    return KeyPier(mark, x, y, ring, level, int(level != CLEAR), 0)


def grid(
    columns: int, rows: int, turn: float = 0.0, wide: float = 3000.0, deep: float = 3600.0
) -> list[KeyPier]:
    c, s = cos(radians(turn)), sin(radians(turn))
    at = [(wide * i, deep * j) for j in range(rows) for i in range(columns)]
    return [pier(f"P{n}", c * x - s * y, s * x + c * y) for n, (x, y) in enumerate(at, start=1)]


def title(site: Site, report: Report) -> Title:
    return Job(site, report, "2025-05-06").title("Key plan", "key-plan.png", []).on(1, 1, "as noted")


def test_piers_stand_where_the_schedule_has_them(plan: KeyPlan) -> None:
    # piers.csv: 6 columns and 4 rows, 10 ft apart; the middle is 25 ft east and 15 ft north of P1.
    at = {p.mark: (p.x / FOOT, p.y / FOOT) for p in plan.piers}
    assert at["P1"] == pytest.approx((-25.0, -15.0))
    assert at["P24"] == pytest.approx((25.0, 15.0))
    assert at["P9"] == pytest.approx((-5.0, -5.0))


def test_levels_are_those_of_the_planted_faults(plan: KeyPlan) -> None:
    held = {p.mark: p.count for p in plan.piers if p.level == "HOLD"}
    # what-you-should-find.md
    assert held == {"P2": 1, "P4": 2, "P8": 1, "P12": 3, "P15": 1, "P17": 1, "P22": 1}
    assert {p.level for p in plan.piers} == {"HOLD", CLEAR}
    assert plan.elsewhere == 0


def test_an_answered_finding_holds_nothing_up_and_is_counted(site: Site, report: Report) -> None:
    findings = tuple(replace(f, answered="the engineer") if f.pier == "P8" else f for f in report.findings)
    one = next(p for p in key_plan(site, replace(report, findings=findings)).piers if p.mark == "P8")
    assert (one.level, one.count, one.answered) == (CLEAR, 0, 1)


def test_the_worst_level_counts_and_a_finding_of_no_pier_is_told(site: Site, report: Report) -> None:
    first = report.findings[0]
    more = (
        replace(first, id="a", pier="P1", level=Level.NOT_CHECKED),
        replace(first, id="b", pier="P1", level=Level.TIGHT),
        replace(first, id="c", pier="", level=Level.NOT_CHECKED),
    )
    made = key_plan(site, replace(report, findings=(*report.findings, *more)))
    assert next(p for p in made.piers if p.mark == "P1").level == "TIGHT"
    assert made.elsewhere == 1


def test_the_walk_goes_along_one_row_and_back_along_the_next(plan: KeyPlan) -> None:
    assert [len(row) for row in plan.rows] == [6, 6, 6, 6]
    assert plan.rows[0] == tuple(f"P{n}" for n in range(1, 7))
    assert plan.rows[1] == tuple(f"P{n}" for n in range(12, 6, -1))
    assert plan.walk == ("P2", "P4", "P12", "P8", "P15", "P17", "P22")


@pytest.mark.parametrize("turn", [0.0, 17.0, 45.0, 80.0, -30.0])
def test_rows_are_found_however_the_site_is_turned(turn: float) -> None:
    piers = tuple(grid(5, 3, turn))
    rows = rows_of(piers)
    assert sorted(len(row) for row in rows) == [5, 5, 5]
    assert sorted(mark for row in rows for mark in row) == sorted(p.mark for p in piers)
    at = {p.mark: (p.x, p.y) for p in piers}
    for row in rows:
        steps = [hypot(at[b][0] - at[a][0], at[b][1] - at[a][1]) for a, b in pairwise(row)]
        assert steps == pytest.approx([3000.0] * 4)


def test_a_pier_alone_is_a_row() -> None:
    assert rows_of((pier("P1", 0.0, 0.0),)) == (("P1",),)


def test_the_page_reads_without_color(site: Site, report: Report, plan: KeyPlan) -> None:
    made = site_page(plan, title(site, report), LETTER, Units.FT_IN)
    found = record(made)
    assert (made.width, made.height) == (279.4, 215.9)  # wider than deep
    assert found.overlaps() == []
    assert found.outside(made.width, made.height) == []
    said = [w for w, _, _ in found.texts]
    assert [w for w in said if w in {look.word for look in LEVELS.values()}] == [
        "HOLD",
        "TIGHT",
        "NOT CHECKED",
        "clear",
    ]
    assert {p.mark for p in plan.piers} <= set(said)
    shapes = Counter(len(rings[0]) for area, rings in found.areas if area.layer is Layer.FINDINGS)
    # 7 piers on HOLD and 17 clear; in the legend one of each: octagon, circle, triangle, square.
    assert shapes == {8: 7 + 1, 36: 17 + 1, 3: 1, 4: 1}
    assert any("7 piers: do not pour" in w for w in said)
    assert "P2 (1 HOLD), P4 (2 HOLD)" in " ".join(said)


def test_north_is_up_and_the_scale_is_true(site: Site, report: Report, plan: KeyPlan) -> None:
    found = record(site_page(plan, title(site, report), LETTER, Units.FT_IN))
    octagons = [
        np.array(r[0]).mean(axis=0) for a, r in found.areas if a.layer is Layer.FINDINGS and len(r[0]) == 8
    ]
    p2, p4 = sorted(octagons[1:], key=lambda at: (round(float(at[1]), 3), at[0]))[:2]
    # P2 and P4 are 20 ft apart; 1:96.
    assert p4 - p2 == pytest.approx([20.0 * FOOT / 96.0, 0.0], abs=1e-6)
    p8 = min((o for o in octagons[1:] if abs(o[0] - p2[0]) < 1.0 and o[1] > p2[1] + 1.0), key=lambda o: o[1])
    assert p8[1] - p2[1] == pytest.approx(10.0 * FOOT / 96.0)


@pytest.mark.parametrize(("columns", "rows"), [(20, 18), (360, 1), (1, 40)])
def test_many_piers_stay_legible(site: Site, report: Report, columns: int, rows: int) -> None:
    piers = tuple(grid(columns, rows))
    levels = ("HOLD", "TIGHT", "NOT CHECKED", CLEAR, CLEAR, CLEAR)
    piers = tuple(replace(p, level=levels[n % 6], count=int(n % 6 < 3)) for n, p in enumerate(piers))
    many = KeyPlan((0.0, 0.0), piers, (), (), rows_of(piers), 0)
    made = site_page(many, title(site, report), LETTER, Units.FT_IN)
    found = record(made)
    assert found.overlaps() == []
    assert found.outside(made.width, made.height) == []
    if columns < 360:
        assert {p.mark for p in piers} <= {w for w, _, _ in found.texts}


def test_every_other_site_has_a_key_plan() -> None:
    for path in (ROOT / "tests/faults/sites").glob("*.yaml"):
        one = load_site(path)
        made = Job(one, judge(one), "2025-05-06")
        page = site_page(key_plan(one, made.report), title(one, made.report), made.desk, made.units)
        assert record(page).overlaps() == [], path.stem
