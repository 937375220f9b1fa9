"""The demo's HOLDs are exactly the faults planted in it, and its page says so."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

import models
from clash.gap_table import Face
from clash.gaps import measure
from clash.judge import judge
from clash.report.findings import Level, Report
from models.reading.loading import load_site

EXAMPLES = Path(models.__file__).parent / "examples"
PLANTED = {
    "overlap:P2/embed/conduit:P2/head/2",
    "cover:P4/head/1:P4/concrete/bottom",
    "cover:P4/head/2:P4/concrete/bottom",
    "bar spacing:P8/dowel/1:P8/vertical/2",
    "cover:P12/rod/1:P12/concrete/side",
    "cover:P12/rod/2:P12/concrete/side",
    "top ties:P12/rod/1:P12/tie/1:outside",
    "overlap:P15/anchor/2:P15/tie/2",
    "dowel lap:P17/dowel/1:P17/vertical/1",
    "rod in hole:P22/plate/1:P22/rod/1",
}


@pytest.fixture(scope="module")
def report() -> Report:
    return judge(load_site(EXAMPLES / "reedbank" / "reedbank.yaml"))


def test_the_holds_are_the_planted_faults_and_nothing_else(report: Report) -> None:
    assert {f.id for f in report.findings if f.level is Level.HOLD} == PLANTED
    assert [f.id for f in report.findings if f.level is not Level.HOLD] == []
    assert report.piers == 24


def test_the_measurements_are_those_of_the_drawing(report: Report) -> None:
    inch = {f.id: (f.measured_mm or 0.0) / 25.4 for f in report.findings}
    # Pier 37.5 in tall; rod 36 in to the nut's upper side, nut 1.012 in (ASME B18.2.2): 37.5 - 37.012.
    assert inch["cover:P4/head/1:P4/concrete/bottom"] == pytest.approx(0.488, abs=1e-6)
    # Dowel at (-1.9, -6.65), vertical in the middle of the S face, tangent to the tie's inside:
    # 15.5/2 - 0.5 - 0.375 = 6.875 in; both 3/4 in thick.
    assert inch["bar spacing:P8/dowel/1:P8/vertical/2"] == pytest.approx(
        (1.9**2 + (6.875 - 6.65) ** 2) ** 0.5 - 0.75, abs=1e-6
    )
    # Dowels 37 in up from the bottom, verticals from 2 in up.
    assert inch["dowel lap:P17/dowel/1:P17/vertical/1"] == pytest.approx(35.0, abs=1e-6)
    # Hole 1 5/16 at (3.68, 3.18), rod 3/4 in on a 9 in circle at 45 degrees: 4.5 / sqrt 2.
    off = ((3.68 - 4.5 / 2**0.5) ** 2 + (3.18 - 4.5 / 2**0.5) ** 2) ** 0.5
    assert inch["rod in hole:P22/plate/1:P22/rod/1"] == pytest.approx((1.3125 - 0.75) / 2.0 - off, abs=1e-6)
    # Rods 1 in thick, 10.25 in off the center of a 24 in pier; at the top a 3/4 in chamfer takes its leg.
    assert inch["cover:P12/rod/1:P12/concrete/side"] == pytest.approx(12.0 - 0.75 - 10.25 - 0.5, abs=1e-6)


def test_a_hook_is_called_a_hook(report: Report) -> None:
    (said,) = [f.says for f in report.findings if f.id == "overlap:P15/anchor/2:P15/tie/2"]
    assert "tie 2 from top (its hook)" in said
    assert sum("hook" in f.says for f in report.findings) == 1


def test_the_page_names_every_pier_with_a_fault_and_how_many(report: Report) -> None:
    page = (EXAMPLES / "reedbank" / "what-you-should-find.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| (P\d+) \|", page, re.MULTILINE)
    assert sorted(rows) == sorted({f.pier for f in report.findings})
    assert "ten findings on HOLD" in page
    assert len(PLANTED) == 10


def test_the_first_site_of_a_newcomer_is_clean() -> None:
    found = judge(load_site(EXAMPLES / "start" / "site.yaml"))
    assert found.findings == ()
    assert found.checked > 0


def test_the_light_pole_measures_what_its_standard_sheet_comes_to() -> None:
    """8 No. 6 in 30 in are .498 % (arithmetic: 8 x .44 / (pi 15^2)), just under half a percent; its ties are
    spread."""
    assert 8 * 0.44 / (math.pi * 15.0**2) == pytest.approx(0.00498, abs=5e-6)
    site = load_site(EXAMPLES / "light-pole" / "light-pole.yaml")
    found = judge(site)
    assert {f.rule for f in found.findings if f.level is Level.HOLD} == {"steel ratio", "top ties"}
    assert not [f for f in found.findings if f.level is Level.NOT_CHECKED]
    gaps = measure(site.piers, within=200.0)
    names = [part.id for part in site.piers[0].parts]
    between = {
        (names[a], names[b]): g / 25.4 for a, b, g in zip(gaps.a, gaps.b, gaps.gap, strict=True) if b >= 0
    }
    to_side = {names[a]: g / 25.4 for a, b, g in zip(gaps.a, gaps.b, gaps.gap, strict=True) if b == Face.SIDE}
    # Bars on a radius of 15 - 3 - 3/8 - 3/8 = 11.25 in, rods on one of 8.5: 2.75 less the radii of both.
    assert min(g for (a, b), g in between.items() if "/rod/" in a and "/vertical/" in b) == pytest.approx(
        1.875
    )
    # 15 - 8.5 = 6.5 in from a rod's center to the edge, half an inch less from its surface.
    assert to_side["S1/rod/1"] == pytest.approx(6.0)
    assert to_side["S1/hoop/1"] == pytest.approx(3.0)
