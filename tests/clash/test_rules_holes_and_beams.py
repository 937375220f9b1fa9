"""Holes of plates, beams and templates, and beams on piers: under, at and over each limit."""

from __future__ import annotations

from typing import Any

import pytest

from clash.judge import judge
from clash.report.findings import Level
from tests.support.hardware import PLATE, RODS, beam_seat, pier, plate_seat, site
from tests.support.seats import STATED, THREADED, eurocode, holds, missing, on_plate, told, under_beam

INCH = 25.4
SHORT = pytest.mark.parametrize(("off", "hold"), [(-0.5, True), (0.0, False), (0.5, False)])
LONG = pytest.mark.parametrize(("off", "hold"), [(-0.5, False), (0.0, False), (0.5, True)])
WIDE = {"size": 90, "thickness": 10}
"""A washer that covers every hole here."""


# --- the largest hole


@LONG
@pytest.mark.parametrize(
    ("table", "largest"),
    [(None, 1.8125), ("dg1-2", 1.8125), ("manual-15", 1.875)],
)
def test_the_largest_hole_of_a_1_in_rod_by_table(
    off: float, hold: bool, table: str | None, largest: float
) -> None:
    # AISC Design Guide 1, 2nd ed., Table 2.3 (read): 1 13/16 in; later Manuals (from memory): 1 7/8 in.
    required = {} if table is None else {"hole_table": table}
    seat = {"washer": WIDE, "leveling_washer": WIDE, "template": None}
    report = on_plate(seat, plate={"holes": {"diameter": largest * INCH + off}}, required=required)
    found = told(report, "hole size", hold)
    if found is not None:
        assert (found.id, found.limit) == ("hole size:P1/plate/1", "most")


@LONG
def test_a_larger_hole_that_the_engineer_allows_is_told_at_the_top(off: float, hold: bool) -> None:
    seat = {"washer": WIDE, "leveling_washer": WIDE, "template": None}
    report = on_plate(seat, plate={"holes": {"diameter": 50 + off}}, required={"largest_hole": 50})
    told(report, "hole size", hold)
    (line,) = (line for line in report.overrides if "largest hole" in line)
    assert "more than the 46.0 mm of AISC Design Guide 1, 2nd ed., Table 2.3" in line


def test_a_rod_that_no_table_lists_is_not_checked_until_the_site_says() -> None:
    rods = {"diameter": 24, "nut": {"flats": 36, "height": 22}}
    report = on_plate(rods=rods)
    found = missing(report, "hole size")
    assert found.id == "hole size:P1:required.largest_hole"
    assert "(required: largest hole)" in found.says
    told(on_plate(rods=rods, required={"largest_hole": 46}), "hole size", hold=False)


def test_bars_that_are_welded_in_have_no_largest_hole_and_en_1992_has_no_table() -> None:
    seat = {"level_on": "shims", "shim": {"square": 76}, "nuts": False, "washer": None}
    bars = on_plate(seat, rods={"bar": "No. 8", "diameter": None, "end": "plain", "thread": None})
    assert "hole size" in bars.does_not_apply
    own = plate_seat(rods=THREADED, plate=PLATE | {"holes": {"diameter": 55}}, washer=WIDE)
    report = eurocode(own)
    assert "(required: hole table)" in report.does_not_apply["hole size"]
    assert {"hole edge", "hole spacing"} <= set(report.does_not_apply)
    assert len(holds(eurocode(own, required={"hole_table": "dg1-2"}), "hole size")) == 1


# --- edges and spacing


@SHORT
def test_holes_keep_from_the_edge_of_their_plate(off: float, hold: bool) -> None:
    """1 in rods: 1 1/4 in from the center of a hole to the edge (AISC 360-16 Table J3.4, as practice)."""
    plate = {"outline": {"rectangle": [240 + 2 * (1.25 * INCH + off), 380]}}
    found = told(on_plate({"washer": {"size": 50, "thickness": 5}}, plate=plate), "hole edge", hold)
    if found is not None:
        assert found.measured_mm == pytest.approx(31.25)
        assert found.source.startswith("practice")


@SHORT
def test_and_from_other_openings_of_it(off: float, hold: bool) -> None:
    plate = {"cutouts": [{"rectangle": [60, 200 - 2 * (1.25 * INCH + off)], "center": [-120, 0]}]}
    told(on_plate(plate=plate), "hole edge", hold)


@SHORT
@pytest.mark.parametrize("rules", ["aci-318-19", "en-1992"])
def test_by_the_figure_of_the_site_under_either_book(off: float, hold: bool, rules: str) -> None:
    own = plate_seat(rods=THREADED, plate=PLATE | {"outline": {"rectangle": [240 + 2 * (50 + off), 380]}})
    info = {"name": "made", "units": "mm", "rules": rules}
    report = judge(
        site(pier(seat=own, required={"hole_edge": 50, "hole_spacing": 200 - off}, **STATED), site=info)
    )
    told(report, "hole edge", hold)
    told(report, "hole spacing", hold)


@SHORT
def test_holes_keep_from_each_other(off: float, hold: bool) -> None:
    """2 2/3 diameters, 67.73 mm (AISC 360-16 J3.3, from memory, as practice)."""
    apart = 8.0 / 3.0 * INCH + off
    rods = {"pattern": {"grid": [2, 2], "spacing": [240, apart]}}
    report = on_plate({"washer": None, "level_on": "none"}, rods=rods, plate={"holes": {"diameter": 27}})
    found = told(report, "hole spacing", hold)
    assert found is None or found.measured_mm == pytest.approx(apart)


# --- plug welds


@pytest.mark.parametrize(
    ("hole", "low", "high"),
    [(20.1375, True, False), (20.6375, False, False), (28.575, False, False), (29.075, False, True)],
)
def test_plug_welds_only_where_the_site_asks(hole: float, low: bool, high: bool) -> None:
    """Plate 1/2 in: least hole 1/2 + 5/16 = 13/16 in; weld 1/2 in: most 2 1/4 x 1/2 = 1 1/8 in."""
    seat = {"level_on": "shims", "shim": {"square": 76}, "nuts": False, "washer": None, "template": None}
    rods = {"bar": "No. 5", "diameter": None, "end": "plain", "thread": None}
    plate = {"thickness": 0.5 * INCH, "holes": {"diameter": hole}}
    report = on_plate(seat, rods=rods, plate=plate, required={"plug_weld": 0.5 * INCH})
    ids = {f.id for f in holds(report, "plug weld")}
    assert ids == {
        f"plug weld:P1/plate/1:{k}" for k, bad in (("least hole", low), ("largest hole", high)) if bad
    }
    assert "plug weld" in on_plate(seat, rods=rods, plate=plate).does_not_apply


@SHORT
def test_plug_welds_stand_4_holes_apart(off: float, hold: bool) -> None:
    seat = {"level_on": "none", "nuts": False, "washer": None, "template": None}
    rods = {"bar": "No. 5", "diameter": None, "end": "plain", "thread": None,
            "pattern": {"at": [[0, 0], [100 + off, 0]]}}  # fmt: skip
    report = on_plate(
        seat, rods=rods, plate={"thickness": 12.7, "holes": {"diameter": 25}}, required={"plug_weld": 12.7}
    )
    assert [f.id for f in holds(report, "plug weld")] == (["plug weld:P1/plate/1:spacing"] if hold else [])


# --- columns


@pytest.mark.parametrize(("count", "hold"), [(3, True), (4, False), (5, False)])
def test_a_column_stands_on_four_rods(count: int, hold: bool) -> None:
    rods = {"pattern": {"circle": 250, "count": count}}
    found = told(on_plate({"column": True}, rods=rods), "column rods", hold)
    if found is not None:
        assert (found.measured, found.required, found.unit) == (3.0, 4.0, "rods")
        assert "A column stands on 3 rods, 4 rods needed (OSHA 29 CFR 1926.755)" in found.says
    assert "column rods" in on_plate(rods=rods).does_not_apply
    assert "column rods" in eurocode(plate_seat(rods=THREADED, column=True)).does_not_apply


# --- beams


def test_a_beam_whose_holes_nobody_gave_is_not_checked() -> None:
    report = under_beam(beam={"hole": None})
    found = missing(report, "rod in hole")
    assert found.id == "rod in hole:B1/beam:beams.hole"
    assert "(beams: B1: hole)" in found.says
    assert found.parts == ("B1/beam",)
    assert report.clear.get("rod in hole", 0) == 0
    assert report.clear.get("washer over hole", 0) == 0
    assert report.clear["rod without a hole"] == 2
    assert under_beam().clear["rod in hole"] == 2


def test_a_beam_over_two_piers_asks_for_its_holes_once() -> None:
    seat = beam_seat()
    seat["rods"] = seat["rods"] | {"thread": 200}
    beam = {"name": "B1", "piers": ["P1", "P2"], "width": 133, "depth": 400, "overhang": 300}
    report = judge(site(pier(seat=seat, **STATED), pier("P2", x=3000, seat=seat, **STATED), beams=[beam]))
    assert [f.id for f in report.findings] == ["rod in hole:B1/beam:beams.hole"]


@SHORT
@pytest.mark.parametrize("turn", [0.0, 90.0])
def test_the_side_of_a_beam_is_flush_with_its_pier_or_inside(off: float, hold: bool, turn: float) -> None:
    """Pier 600 wide, beam 133: flush at an offset of 233.5 mm to the left of its run."""
    rods = {"pattern": {"at": [[-100, 233.5], [100, 233.5]]}}
    report = under_beam(rods=rods, beam={"offset": 233.5 - off, "direction": turn}, turn=turn)
    found = told(report, "beam face", hold)
    if found is not None:
        assert found.parts == ("B1/beam", "P1/concrete/side")
        assert "stands 0.5 mm out over the side of the pier" in found.says
        assert f"on the {'W' if turn else 'N'} side" in found.says


@SHORT
def test_a_beam_as_far_inside_as_the_site_asks_on_a_round_pier(off: float, hold: bool) -> None:
    report = under_beam(beam={"width": 200}, outline={"round": 400 + 2 * off}, required={"beam_inside": 100})
    told(report, "beam face", hold)


@SHORT
def test_a_beam_that_ends_on_its_pier_bears_long_enough(off: float, hold: bool) -> None:
    """From the edge of the chamfer, at -300 + 19, to the end of the beam at 120: 401 mm."""
    chamfer = STATED["concrete"] | {"chamfer": {"top": 19}}
    beam = {"overhang": [400, 120]}
    report = under_beam(beam=beam, concrete=chamfer, required={"beam_bearing": 401 - off})
    found = told(report, "beam bearing", hold)
    assert found is None or found.measured_mm == pytest.approx(401.0)
    assert "beam bearing" in under_beam(beam=beam).does_not_apply


@SHORT
@pytest.mark.parametrize(
    ("beam", "edge", "end"),
    [
        ({"overhang": 300}, 66.5, 200.0),
        ({"overhang": [300, 160]}, 66.5, 60.0),
        ({"overhang": 300, "splices": [-150]}, 66.5, 50.0),
        ({"overhang": 300, "offset": 10}, 56.5, 200.0),
        ({"overhang": 300, "direction": 180}, 66.5, 200.0),
    ],
)
def test_holes_of_a_beam_keep_from_its_sides_its_ends_and_its_splices(
    off: float, hold: bool, beam: dict[str, Any], edge: float, end: float
) -> None:
    """Rods at x = +-100 in a beam 133 wide about its run."""
    report = under_beam(beam=beam, required={"beam_hole_edge": edge - off, "beam_hole_end": end - off})
    ids = [f.id for f in holds(report, "beam hole")]
    assert ids == (["beam hole:B1/beam:P1 edge", "beam hole:B1/beam:P1 end"] if hold else [])
    if not hold:
        assert report.clear["beam hole"] == 2
    assert "beam hole" in under_beam(beam=beam).does_not_apply


# --- templates


@SHORT
def test_plywood_is_left_round_the_holes_of_a_template(off: float, hold: bool) -> None:
    """1 in of it, as practice: a template 240 + 27 wide, and that on both sides."""
    template = plate_seat()["template"] | {"outline": {"rectangle": [267 + 2 * (INCH + off), 600]}}
    found = told(on_plate({"template": template}), "template edge", hold)
    if found is not None:
        assert found.id == "template edge:P1/template/1"
        assert found.measured_mm == pytest.approx(INCH - 0.5)


@SHORT
def test_and_round_its_pour_opening(off: float, hold: bool) -> None:
    """The opening's side at y = 100 - 13.5 - 40 mm."""
    opening = {"rectangle": [300, 2 * (46.5 - off)]}
    template = plate_seat()["template"] | {"opening": opening}
    told(on_plate({"template": template}, required={"template_edge": 40}), "template edge", hold)


@pytest.mark.parametrize(("x", "found"), [(200, 1), (0, 0)])
def test_what_stands_up_where_the_plywood_sits_runs_into_it(x: float, found: int) -> None:
    """A conduit through the plywood, or through its opening of 120 mm in the middle."""
    conduit = {"name": "conduit", "diameter": 33, "points": [[x, 0, -400], [x, 0, 100]], "exits": ["top"]}
    report = under_beam({"template": plate_seat()["template"]}, rods={"thread": 490}, embeds=[conduit])
    hits = [f for f in holds(report, "overlap") if "template" in f.id]
    assert len(hits) == found
    assert all("conduit" in f.says for f in hits)


def test_two_rods_under_a_plate_and_no_column_is_nobodys_business() -> None:
    report = on_plate(rods={"pattern": RODS["pattern"] | {"grid": [2, 1], "spacing": 240}})
    assert [f for f in report.findings if f.level is Level.HOLD] == []
