"""The site judged again where it was measured; and the drop-on answer against the gap kernel."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

import models
from clash.fits.as_built import as_built
from clash.fits.as_placed import _refused, as_placed, judge_as_placed
from clash.gaps import measure
from clash.judge import judge
from clash.report.findings import Finding, Level
from models.part import Role
from models.reading.loading import load_site
from models.site import Site
from models.solids import Swept
from models.survey.shots import read_shots, shots_in
from tests.support.survey import SITE, Off, as_csv, built, dowels, survey


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    return built(tmp_path_factory.mktemp("site"))


def placed(site: Site, text: str) -> Site:
    found = as_built(site, shots_in(text, "shots.csv", site.spec))
    return as_placed(site, found.piers, found.seats)


def checked(site: Site, text: str) -> dict[str, Finding]:
    report = judge_as_placed(site, shots_in(text, "shots.csv", site.spec))
    return {finding.id: finding for finding in report.findings}


@pytest.mark.parametrize("seed", range(6))
def test_the_room_is_the_gap_that_the_kernel_measures_between_rod_and_rim(tmp_path: Path, seed: int) -> None:
    """Another hand: rods leaning as measured, plates and beam moved as told, gaps by the swept-prism kernel.

    Where the least gap of a seat is negative it touches; then it never "drops on". The disc that holds the
    ellipse of a leaning rod costs the room up to r (1 / cos(lean) - 1): .02 mm at 4 in 100. The grout is
    drawn at its least, so that plates lie at their drawn height.
    """
    site = built(tmp_path, SITE.replace('least: 1"', 'least: 1 1/2"'))
    rng = np.random.default_rng(seed)
    points = []
    for name, x, y, z in survey(site):
        dx, dy = rng.normal(0.0, 3.0 + seed, 2) if "ROD" in name else (0.0, 0.0)
        lx, ly = rng.normal(0.0, 2.0, 2) if "ROD" in name else (0.0, 0.0)
        points.append((name, x + dx, y + dy, z))
        if "ROD" in name:
            points.append((name, x + dx - lx, y + dy - ly, z - 100.0))
    text = as_csv(points, digits=6)
    found = as_built(site, shots_in(text, "shots.csv", site.spec))
    moved = as_placed(site, found.piers, found.seats)
    gaps = measure(moved.piers)
    for fit in found.seats:
        least = np.inf
        for i in fit.piers:
            rows, parts = gaps.rows(i), moved.piers[i].parts
            seat = next(k for k, part in enumerate(parts) if part.id == fit.part)
            for a, b, gap in zip(rows.a, rows.b, rows.gap, strict=True):
                if seat in (a, b) and {parts[a].role, parts[b].role} & {Role.ROD}:
                    least = min(least, float(gap))
        assert fit.room == pytest.approx(least, abs=0.03), fit.part
        assert not (fit.drops_on and least < 0.0), fit.part


def test_placed_as_drawn_nothing_new_is_found(site: Site) -> None:
    text = as_csv([*survey(site), *dowels(site)], digits=7)
    before = {f.id for f in judge(site).findings if f.rule != "rod in hole"}
    assert set(checked(site, text)) == before


def off_dowel(site: Site, off: Off) -> dict[str, Finding]:
    return checked(site, as_csv([*survey(site), *dowels(site, off)], digits=6))


def test_a_dowel_that_stands_wrong_is_seen(site: Site) -> None:
    """Dowel 1 of P1 moved out to 1 in from the side: No. 6 is .75 in thick, so 5/8 in of cover are left."""
    part = site.piers[0].part("P1/dowel/1")
    assert isinstance(part.solid, Swept)
    x = float(part.solid.knots[0, 0])
    found = off_dowel(site, {"P1 DOWEL 1": (-11.0 * 25.4 - x, 0.0)})
    (cover,) = [f for f in found.values() if f.rule == "cover" and f.parts[0] == "P1/dowel/1"]
    assert cover.level is Level.HOLD
    assert cover.measured_mm == pytest.approx(0.625 * 25.4, abs=0.05)


def test_a_dowel_that_runs_through_a_vertical_is_seen(site: Site) -> None:
    pier = site.piers[0]
    dowel, vertical = pier.part("P1/dowel/2").solid, pier.part("P1/vertical/2").solid
    assert isinstance(dowel, Swept)
    assert isinstance(vertical, Swept)
    onto = vertical.knots[0, :2] - dowel.knots[0, :2] + np.array([3.0, 0.0])
    found = off_dowel(site, {"P1 DOWEL 2": (float(onto[0]), float(onto[1]))})
    assert any(
        f.rule == "overlap" and {"P1/dowel/2", "P1/vertical/2"} == set(f.parts) and f.level is Level.HOLD
        for f in found.values()
    ), sorted(found)


def test_a_leaning_rod_passes_through_both_of_its_points(site: Site) -> None:
    points = survey(site, {"P1 ROD 1": (6.0, 0.0)})
    name, x, y, z = points[0]
    assert name == "P1 ROD 1"
    moved = placed(site, as_csv([*points, (name, x - 4.0, y + 3.0, z - 100.0)], digits=7))
    rod = moved.piers[0].part("P1/rod/1").solid
    assert isinstance(rod, Swept)
    into = site.piers[0].frame.inverse()
    top, low = into.points(np.array([[x, y, z], [x - 4.0, y + 3.0, z - 100.0]]))
    way = (rod.knots[-1] - rod.knots[0]) / np.linalg.norm(rod.knots[-1] - rod.knots[0])
    for point in (top, low):
        off = point - rod.knots[0]
        assert np.linalg.norm(off - (off @ way) * way) == pytest.approx(0.0, abs=1e-3)
    assert rod.knots[0] == pytest.approx(top, abs=1e-3)
    assert rod.length == pytest.approx(site.piers[0].part("P1/rod/1").solid.length)
    head = moved.piers[0].part("P1/head/1").solid
    foot = head.motion.points(np.array([*site.piers[0].part("P1/rod/1").solid.knots[-1, :2], 0.0]))
    off = foot - rod.knots[0]
    assert np.linalg.norm(off - (off @ way) * way) == pytest.approx(0.0, abs=1e-3)


def test_rods_are_judged_by_their_concrete_where_its_top_was_shot(site: Site) -> None:
    """Concrete and rods 20 mm east together: on the drawing nothing has moved."""
    moved = placed(site, as_csv(survey(site, tops={"P1": (20.0, 0.0, 0.0)}), digits=7))
    for number in (1, 2, 3, 4):
        rod, drawn = (
            moved.piers[0].part(f"P1/rod/{number}").solid,
            site.piers[0].part(f"P1/rod/{number}").solid,
        )
        assert isinstance(rod, Swept)
        assert isinstance(drawn, Swept)
        assert rod.knots == pytest.approx(drawn.knots, abs=0.01)


def test_what_was_not_measured_is_not_checked(site: Site) -> None:
    text = as_csv([p for p in survey(site) if p[0] != "P2 ROD 3"])
    found = checked(site, text)
    lacking = found["as placed:P2:rods"]
    assert lacking.level is Level.NOT_CHECKED
    assert lacking.parts == ("P2/rod/3",)
    assert "as placed:P1:rods" not in found
    assert "as placed:P1:dowels" not in found


def test_one_pier_alone(site: Site) -> None:
    text = as_csv([*survey(site), *dowels(site, {"P1 DOWEL 1": (40.0, 0.0), "P2 DOWEL 1": (40.0, 0.0)})])
    report = judge_as_placed(site, shots_in(text, "shots.csv", site.spec), only="P2")
    assert report.piers == 1
    assert {f.pier for f in report.findings} <= {"P2"}
    assert report.not_checked == sum(f.level is Level.NOT_CHECKED for f in report.findings)


def test_a_beam_that_does_not_drop_on_is_told_once_and_not_of_each_rod() -> None:
    """P5 stands 1 1/4 in too far east (what-was-placed.md): B1 lies beside the rods of all its six piers."""
    demo = Path(models.__file__).parent / "examples" / "reedbank"
    site = load_site(demo / "reedbank.yaml")
    shots = read_shots(demo / "shots.csv", site.spec)
    report = judge_as_placed(site, shots)
    of_b1 = [f for f in report.findings if "B1/beam" in f.parts]
    assert [(f.rule, f.level) for f in of_b1 if "hole" in f.rule or "drops" in f.rule] == [
        ("as built drops on", Level.HOLD)
    ]
    # Row C's anchors are drawn 1/2 in over their plates (reedbank.yaml): they stand out, and
    # don't end -1/2 in below.
    welded = [f.says for f in report.findings if f.rule == "rod projection" and "plate PL1" in f.says]
    assert welded
    assert all(" in out of plate PL1, and may end 0.00 in below its top at most" in says for says in welded)
    # A hole that no rod was ever drawn in is a fault of its own: B1 with one hole more keeps it.
    fit = next(
        f for f in as_built(site, read_shots(demo / "shots.csv", site.spec)).seats if f.part == "B1/beam"
    )
    assert _refused(site, [fit])["hole without a rod"] == {"B1/beam"}
    assert _refused(site, [replace(fit, holes=fit.holes[1:])])["hole without a rod"] == set()


def test_the_site_names_that_it_is_as_placed(site: Site) -> None:
    report = judge_as_placed(site, shots_in(as_csv(survey(site)), "shots.csv", site.spec))
    assert report.site == "Quay of the station, as placed"
    assert report.not_modelled[0].startswith("18 rods and 0 dowels stand where shots.csv has them")
    assert SITE.count("kind: plate pier") * 4 + SITE.count("kind: beam pier") * 2 == 18
