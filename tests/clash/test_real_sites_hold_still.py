"""The examples turned by any angle, moved to survey coordinates, reordered, in other units: same findings."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import models
from clash.judge import judge
from clash.report.findings import Report
from models.build import build_site
from models.reading.site_file import read_site
from models.spec.site import SiteSpec
from tests.support.moved import in_units, moved, reordered

EXAMPLES = Path(models.__file__).parent / "examples"
SITES = ("reedbank", "start", "light-pole")
SURVEY = (6e8, 4.5e9)
"""mm: 600 km east, 4,500 km north."""
Told = dict[str, tuple[str, float | None, str | None]]


@cache
def spec(name: str) -> SiteSpec:
    (file,) = (EXAMPLES / name).glob("*.yaml")
    return read_site(file)[0]


@cache
def plain(name: str) -> Report:
    return report(spec(name))


def report(site: SiteSpec) -> Report:
    return judge(build_site(site, "0" * 64))


def same(now: Report, before: Report) -> None:
    """Assert the same findings by id, level and measurement, and the same counts of what is clear."""
    assert told(now) == told(before)
    counts = [(r.checked, r.not_checked, dict(r.clear), dict(r.does_not_apply)) for r in (now, before)]
    assert counts[0] == counts[1]
    assert [f.id for f in now.findings] == [f.id for f in before.findings]
    assert len(now.both_axes) == len(before.both_axes)
    assert now.overrides == before.overrides or now.units != before.units


def told(found: Report) -> Told:
    """By id: level, measurement to a ten-thousandth of a millimeter, and the answer."""
    return {
        f.id: (f.level, None if f.measured_mm is None else round(f.measured_mm, 4) + 0.0, f.answered)
        for f in found.findings
    }


@pytest.mark.parametrize("name", SITES)
@pytest.mark.parametrize("turn", [0.0, 45.0, -17.3, 123.4])
def test_at_survey_coordinates(name: str, turn: float) -> None:
    same(report(moved(spec(name), turn, *SURVEY)), plain(name))


@settings(max_examples=4, deadline=None)
@given(st.integers(-180_000, 180_000), st.floats(-6e8, 6e8), st.floats(-4.5e9, 4.5e9), st.integers(0, 999))
def test_turned_moved_and_reordered_anyhow(turn: int, east: float, north: float, seed: int) -> None:
    for name in SITES:
        same(report(reordered(moved(spec(name), turn / 1000.0, east, north), seed)), plain(name))


@pytest.mark.long
@settings(max_examples=100, deadline=None)
@given(st.integers(-180_000, 180_000), st.floats(-6e8, 6e8), st.floats(-4.5e9, 4.5e9), st.integers(0, 999))
def test_turned_moved_and_reordered_a_hundred_times(turn: int, east: float, north: float, seed: int) -> None:
    same(report(reordered(moved(spec("reedbank"), turn / 1000.0, east, north), seed)), plain("reedbank"))


@pytest.mark.parametrize("name", SITES)
def test_in_other_units_only_the_words_change(name: str) -> None:
    metric = report(in_units(spec(name), "mm"))
    same(metric, plain(name))
    for now, before in zip(metric.findings, plain(name).findings, strict=True):
        assert now.labels == before.labels
        assert " mm" in now.says or now.unit is not None
    again = report(in_units(in_units(spec(name), "mm"), "ft-in"))
    assert again.findings == plain(name).findings


@pytest.mark.parametrize("seed", range(3))
def test_written_in_another_order_not_a_word_changes(seed: int) -> None:
    for name in SITES:
        other = report(reordered(spec(name), seed))
        same(other, plain(name))
        assert [f.says for f in other.findings] == [f.says for f in plain(name).findings]
