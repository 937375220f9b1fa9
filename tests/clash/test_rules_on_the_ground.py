"""Piers among each other and on their grade beams: under, at and over each limit."""

from __future__ import annotations

from typing import Any

import pytest

from clash.judge import judge
from clash.report.findings import Finding, Level, Report
from models.build import build_site
from models.spec.site import SiteSpec

TIED = {"size": "No. 6", "count": 4, "height": "20 in", "embed": "18 in"}


def site(*piers: dict[str, Any], beams: tuple[dict[str, Any], ...] = (), **kind: Any) -> Report:
    """Piers 24 in square and 4 ft tall, in feet and inches, judged."""
    spec = SiteSpec.model_validate(
        {
            "site": {"name": "a site", "units": "ft-in"},
            "concrete": {"aggregate": "3/4 in", "cover": {"side": "3 in", "top": "3 in", "bottom": "2 in"}},
            "kinds": {"k": {"outline": {"square": "24 in"}}},
            "grade_beams": list(beams),
            "piers": [
                {"x": 0, "y": 0, "top": "4 ft", "bottom": 0, "kind": "k", "outline": {"square": "24 in"}}
                | {"concrete": {"cover": {"side": "3 in", "top": "3 in", "bottom": "2 in"}}}
                | kind
                | pier
                for pier in piers
            ],
        },
        context={"units": "ft-in"},
    )
    return judge(build_site(spec, ""))


def of(report: Report, rule: str) -> list[Finding]:
    return [f for f in report.findings if f.rule == rule]


@pytest.mark.parametrize(("apart", "holds"), [(609.1, True), (609.6, False), (610.1, False)])
def test_two_piers_may_stand_face_to_face_but_not_in_one_place(apart: float, holds: bool) -> None:
    # Faces at 24 in = 609.6 mm from center to center.
    report = site({"mark": "P1"}, {"mark": "P2", "x": f"{apart} mm"})
    found = of(report, "pier to pier")
    assert [f.level for f in found] == ([Level.HOLD] if holds else [])
    if holds:
        assert found[0].id == "pier to pier:P1/concrete/side:P2"
        assert found[0].measured_mm == pytest.approx(-0.5, abs=1e-6)


def test_a_row_copied_and_not_changed_is_found_once_far_from_the_origin_too() -> None:
    far = {"x": "600000 m", "y": "4500000 m"}
    report = site({"mark": "P1"} | far, {"mark": "P2", "turn": 45} | far, {"mark": "P3"})
    assert [f.id for f in of(report, "pier to pier")] == ["pier to pier:P1/concrete/side:P2"]
    assert report.clear["pier to pier"] == 2


def test_a_pier_above_another_is_not_in_it() -> None:
    assert of(site({"mark": "P1"}, {"mark": "P2", "bottom": "4 ft", "top": "8 ft"}), "pier to pier") == []


BEAM = {
    "name": "GB",
    "start": ["-6 ft", 0],
    "end": ["6 ft", 0],
    "width": "4 ft",
    "depth": "2 ft",
    "cover": "3 in",
}


@pytest.mark.parametrize(
    ("top", "holds"), [(0.0, False), (0.5, False), (1.0, True), (-0.5, False), (-1.0, True), (304.8, True)]
)
def test_a_pier_stands_on_its_grade_beam_to_within_the_fitting(top: float, holds: bool) -> None:
    found = of(site({"mark": "P1"}, beams=(BEAM | {"top": f"{top} mm"},)), "on grade beam")
    assert [f.level for f in found] == ([Level.HOLD] if holds else [])
    if holds:
        assert found[0].measured_mm == pytest.approx(abs(top))


def cage(**dowels: Any) -> dict[str, Any]:
    return {"cage": {"verticals": {"size": "No. 6", "count": 8}, "dowels": TIED | dowels}}


def test_dowels_that_reach_down_into_nothing_are_not_checked() -> None:
    found = of(site({"mark": "P1"}, **cage()), "grade beam cover")
    assert [f.level for f in found] == [Level.NOT_CHECKED]
    assert "no grade beam under it" in found[0].says


def test_where_grade_beams_cross_a_foot_may_lie_in_either() -> None:
    along = BEAM | {"top": 0, "width": "3 ft"}
    across = along | {"name": "GC", "start": [0, "-6 ft"], "end": [0, "6 ft"]}
    at = {"at": [["6 in", 0], [0, "6 in"]], "count": None}
    # A foot to the north runs 9 in of tail past its bend: out of a beam 3 ft wide along x, not along y.
    alone = of(site({"mark": "P1"}, beams=(along,), **cage(**at)), "grade beam cover")
    assert [(f.level, f.parts[0]) for f in alone] == [(Level.HOLD, "P1/dowel/2")]
    assert of(site({"mark": "P1"}, beams=(along, across), **cage(**at)), "grade beam cover") == []
    assert of(site({"mark": "P1"}, beams=(across, along), **cage(**at)), "grade beam cover") == []


def test_a_foot_in_neither_of_two_beams_could_not_be_measured() -> None:
    along = BEAM | {"top": 0, "width": "20 in"}
    across = along | {"name": "GC", "start": [0, "-6 ft"], "end": [0, "6 ft"]}
    # A foot that points aslant leaves both strips.
    report = site({"mark": "P1"}, beams=(along, across), **cage(at=[["7 in", "7 in"]], count=None))
    assert [f.level for f in of(report, "grade beam cover")] == [Level.NOT_CHECKED]
