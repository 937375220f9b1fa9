"""Where the site is, and points that cannot be: swapped, in other units, without their decimal point."""

from __future__ import annotations

from math import degrees
from pathlib import Path

import numpy as np
import pytest

from clash.fits.locate import locate
from models.problems import BadInput
from models.site import Site
from models.survey.shots import shots_in
from tests.support.survey import FOOT, SITE, as_csv, built, judged, survey

CONTROL = SITE.replace(
    "units: ft-in}",
    "units: ft-in, control points: "
    "[{name: CP1, x: -10', y: -10', z: 2'}, {name: CP2, x: 40', y: 30', z: 2'}]}",
)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    return built(tmp_path_factory.mktemp("site"))


def told(site: Site, text: str) -> list[str]:
    with pytest.raises(BadInput) as bad:
        locate(site, shots_in(text, "shots.csv", site.spec))
    return [str(problem) for problem in bad.value.problems]


@pytest.mark.parametrize("turn", [0.0, 0.3, -2.0])
@pytest.mark.parametrize("move", [(0.0, 0.0), (5000.0, -2500.0), (4.5e9, 1.1e9)])
def test_a_site_that_was_turned_and_moved_comes_back(
    site: Site, turn: float, move: tuple[float, float]
) -> None:
    found = judged(site, as_csv(survey(site, turn=turn, move=move), digits=6))
    assert found.located.way == ("best fit" if turn or any(move) else "as it stands")
    assert found.located.fit.turn == pytest.approx(turn, abs=1e-7)
    assert found.located.move == pytest.approx(move, abs=1e-2)
    assert found.located.fit.ppm == pytest.approx(0.0, abs=0.2)
    for pier in found.piers:
        assert pier.stand.off == pytest.approx([0.0, 0.0], abs=1e-2)
        assert degrees(pier.turn) == pytest.approx(0.0, abs=1e-3)


def test_control_points_decide_where_two_were_shot(tmp_path_factory: pytest.TempPathFactory) -> None:
    """All piers placed a foot east of the drawing: a best fit would hide it, control points show it."""
    site = built(tmp_path_factory.mktemp("control"), CONTROL)
    moved = {pier.mark: (304.8, 0.0, 0.0) for pier in site.piers}
    control = [("CP1", -3048.0, -3048.0, 609.6), ("CP2", 12192.0, 9144.0, 622.3)]
    found = judged(site, as_csv([*control, *survey(site, tops=moved)]))
    assert found.located.way == "control points"
    assert found.located.lift == pytest.approx(12.7 / 2.0, abs=0.02)
    for pier in found.piers:
        assert pier.stand.off == pytest.approx([304.8, 0.0], abs=0.05)
    hidden = judged(site, as_csv(survey(site, tops=moved)))
    assert hidden.located.way == "best fit"
    assert hidden.located.move == pytest.approx([304.8, 0.0], abs=0.05)
    assert hidden.piers[0].stand.off == pytest.approx([0.0, 0.0], abs=0.05)


def test_shots_that_lie_on_the_drawing_are_not_moved_by_what_is_misplaced(site: Site) -> None:
    """P3 alone is off by 5 mm: a best fit over six piers would take some of it for the whole site's."""
    found = judged(site, as_csv(survey(site, tops={"P3": (5.0, 0.0, 0.0)}), digits=5))
    assert found.located.way == "as it stands"
    assert found.piers[2].stand.off == pytest.approx([5.0, 0.0], abs=0.05)
    assert found.piers[0].stand.off == pytest.approx([0.0, 0.0], abs=0.05)


def test_two_piers_alone_are_taken_as_they_stand(site: Site) -> None:
    some = [point for point in survey(site, tops={"P1": (10.0, 0.0, 0.0)}) if point[0][:2] in ("P1", "P2")]
    found = judged(site, as_csv(some))
    assert found.located.way == "as it stands"
    assert found.piers[0].stand.off == pytest.approx([10.0, 0.0], abs=0.05)


def test_a_pier_far_off_has_no_say_and_is_told(site: Site) -> None:
    found = judged(site, as_csv(survey(site, tops={"P2": (150.0, 0.0, 0.0)})))
    out = {
        t.shot.mark for t, odd in zip(found.located.fitted, found.located.fit.outliers, strict=True) if odd
    }
    assert out == {"P2"}
    assert found.piers[0].stand.off == pytest.approx([0.0, 0.0], abs=0.05)
    assert found.piers[1].stand.off == pytest.approx([150.0, 0.0], abs=0.05)


def test_swapped_columns_are_told_as_such(site: Site) -> None:
    lines = as_csv(survey(site, move=(9e5, 4e5))).splitlines()
    swapped = [",".join([p, e, n, *rest]) for p, n, e, *rest in (line.split(",") for line in lines[1:])]
    (problem,) = told(site, "\n".join([lines[0], *swapped]))
    assert problem.startswith("shots.csv: northing and easting are swapped: read the other way round")


@pytest.mark.parametrize(("mm", "word"), [(1000.0, "m"), (1.0, "mm")])
def test_other_units_are_told_as_such(site: Site, mm: float, word: str) -> None:
    (problem,) = told(site, as_csv(survey(site), unit=mm))
    assert f"as far apart as drawn when their numbers are in {word}, not ft" in problem


@pytest.mark.parametrize(("mm", "word"), [(1000.0, "m"), (304.8, "ft")])
def test_numbers_in_a_larger_unit_than_said_are_told_as_such(tmp_path: Path, mm: float, word: str) -> None:
    """Read as mm, neighbors lie less than a millimeter apart, and are told apart all the same."""
    site = built(tmp_path, SITE + "shots: {units: mm}\n")
    (problem,) = told(site, as_csv(survey(site), unit=mm))
    assert f"as far apart as drawn when their numbers are in {word}, not mm" in problem
    assert f"say shots: units: {word}" in problem


def test_another_site_does_not_fit(site: Site) -> None:
    points = survey(site)
    rng = np.random.default_rng(1)
    mixed = [(name, *rng.uniform(0.0, 9e3, 2), z) for name, _, _, z in points]
    (problem,) = told(site, as_csv(mixed))
    assert "the points do not fit the drawing" in problem
    assert "off by" in problem


def edited(site: Site, name: str, change) -> str:
    """A survey, far from its origin, with one line changed: change(northing, easting) in feet."""
    lines = as_csv(survey(site, move=(500 * FOOT, 300 * FOOT))).splitlines()
    out = []
    for line in lines:
        point, north, east, up, what = line.split(",")
        if what == name:
            n, e = change(float(north), float(east))
            line = f"{point},{n:.4f},{e:.4f},{up},{what}"
        out.append(line)
    return "\n".join(out)


@pytest.mark.parametrize(
    ("change", "hint"),
    [
        (lambda n, e: (e, n), "its northing and easting are swapped: swap the two"),
        (lambda n, e: (n * 0.3048, e * 0.3048), "it fits when its numbers are in m: write them in ft"),
        (lambda n, e: (n, e * 1000.0), "is a decimal point missing or misplaced?"),
        (lambda n, e: (n + 7.0, e - 20.0), "check its numbers and its name"),
        (lambda n, e: (n, e - 10.0), "it lies where P2 rod 2 is drawn: is it named rightly?"),
    ],
)
def test_one_wrong_line_is_told_with_what_explains_it(site: Site, change, hint: str) -> None:
    text = edited(site, "P3 ROD 2", change)
    number = [line.split(",")[4] for line in text.splitlines()].index("P3 ROD 2") + 1
    (problem,) = told(site, text)
    assert problem.startswith(f"shots.csv, line {number}: point")
    assert "(P3 rod 2) lies" in problem
    assert hint in problem


def test_one_rod_shot_twice_at_two_places(site: Site) -> None:
    points = survey(site)
    points.append(("P1 ROD 1", points[0][1] + 9.0, points[0][2], points[0][3]))
    (problem,) = told(site, as_csv(points))
    assert f"P1 rod 1 was shot twice, as points 1 and {len(points)}" in problem
    close = [*points[:-1], ("P1 ROD 1", points[0][1] + 4.0, points[0][2], points[0][3])]
    assert judged(site, as_csv(close)).piers[0].rods[1].points[0][0] == pytest.approx(
        -4 * 25.4 + 2.0, abs=0.2
    )


def test_a_rod_that_the_pier_does_not_have(site: Site) -> None:
    (problem,) = told(site, as_csv([*survey(site), ("P1 ROD 5", 0.0, 0.0, 0.0)]))
    assert "is P1 rod 5, and P1 has 4 rods; number them 1 to 4" in problem
    (problem,) = told(site, as_csv([*survey(site), ("Q1 DOWEL 1", 0.0, 3048.0, 0.0)]))
    assert "Q1 has no dowels" in problem


def test_rods_without_numbers_are_the_nearest_ones(site: Site) -> None:
    points = [
        (name[:6] if "ROD" in name else name, *at) for name, *at in survey(site, {"P1 ROD 3": (5.0, 0.0)})
    ]
    found = judged(site, as_csv(points))
    assert sorted(found.piers[0].rods) == [1, 2, 3, 4]
    assert found.piers[0].rods[3].points[0][:2] == pytest.approx([-101.6 + 5.0, 101.6], abs=0.3)


def test_a_wind_names_a_rod(site: Site) -> None:
    points = [(name.replace("P1 ROD 4", "P1 ROD NE"), *at) for name, *at in survey(site)]
    assert sorted(judged(site, as_csv(points)).piers[0].rods) == [1, 2, 3, 4]


def test_nothing_named_is_told_with_a_line(site: Site) -> None:
    (problem,) = told(site, "1,2,3,4,GROUND\n")
    assert 'no line names a part of this site, like "1 2 3 4 GROUND"' in problem


def test_points_without_numbers_alone_or_far_from_everything_are_told(site: Site) -> None:
    bare = [(name[:6], *at) for name, *at in survey(site) if "ROD" in name]
    (problem,) = told(site, as_csv(bare))
    assert "have no number, so nothing says where the site is" in problem
    points = [p for p in survey(site) if p[0] != "P1 ROD 2"]
    (problem,) = told(site, as_csv([*points, ("P1 ROD", 3000.0, 0.0, 1200.0)]))
    assert "from the nearest P1 rod" in problem
    (problem,) = told(site, as_csv([*survey(site), ("P1 ROD", 0.0, 0.0, 1200.0)]))
    assert "P1 has more rods shot than it has" in problem


def test_a_best_fit_that_cannot_be_is_told_as_none(tmp_path_factory: pytest.TempPathFactory) -> None:
    site = built(tmp_path_factory.mktemp("fit"), SITE + "shots: {fit: best fit}\n")
    found = judged(site, as_csv([p for p in survey(site) if p[0] == "P1 ROD 1"]))
    assert found.located.way == "as it stands"


def test_control_points_that_were_not_shot_are_asked_for(tmp_path_factory: pytest.TempPathFactory) -> None:
    site = built(tmp_path_factory.mktemp("fit"), CONTROL + "shots: {fit: control points}\n")
    (problem,) = told(site, as_csv(survey(site)))
    assert "fewer than two of them are in the shots; the site's control points: CP1, CP2" in problem
