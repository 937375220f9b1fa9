"""Rods by tape: offsets from two faces, checked by the distances between rods."""

from __future__ import annotations

from math import sqrt

import pytest

from clash.report.findings import Level
from models.problems import BadInput
from models.site import Site
from tests.support.survey import SITE, built, judged

IN = 25.4
HEADER = "pier,rod,from W,from S,from E face,to 4"


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    return built(tmp_path_factory.mktemp("site"))


def told(site: Site, *rows: str, header: str = HEADER) -> list[str]:
    with pytest.raises(BadInput) as bad:
        judged(site, "\n".join([header, *rows]))
    return [str(problem) for problem in bad.value.problems]


def test_offsets_put_each_rod_where_the_tape_has_it(site: Site) -> None:
    """24 in square: 8 in from the west and south faces is (-4, -4) in; rod 2 stands 1/2 in too far north.

    Between rods 2 and 4 are then 7 1/2 in, as the tape says too.
    """
    rows = ['P1,1,8",8"', 'P1,2,,8 1/2",8 in,7.5"', "P1,3,8 in,1'-4\"", 'P1,4,16",16",,""']
    found = judged(site, "\n".join([HEADER, *rows]))
    rods = found.piers[0].rods
    assert rods[1].top[:2] == pytest.approx([-4 * IN, -4 * IN])
    assert rods[2].top[:2] == pytest.approx([4 * IN, -3.5 * IN])
    assert rods[3].top[:2] == pytest.approx([-4 * IN, 4 * IN])
    fit = found.seats[0]
    assert fit.part == "P1/plate/1"
    assert fit.unsure == pytest.approx(sqrt(2.0) * IN / 8.0)
    # two rods in line with their holes share out a misfit: half of the half inch is gone, and a shift does it
    assert fit.room == pytest.approx((1.3125 - 0.75) / 2.0 * IN - IN / 4.0, abs=1e-3)
    assert found.seats[1].missing == "none of its rods was measured"
    levels = {f.id: f.level for f in found.findings}
    assert levels["as built in plan:P1"] is Level.NOT_CHECKED


def test_a_pier_that_is_turned_is_measured_from_its_own_faces(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    """Turned by 90 degrees, the pier's own x looks north: 9 in from the N face is x = 3 in."""
    text = SITE.replace(
        "{mark: P1, x: 0, y: 0, top: 4', bottom: 0, kind: plate pier}",
        "{mark: P1, x: 0, y: 0, top: 4', bottom: 0, kind: plate pier, turn: 90}",
    )
    site = built(tmp_path_factory.mktemp("turned"), text)
    found = judged(site, 'mark\tanchor\tfrom the N face\tfrom W\nP1\t1\t9"\t8"\n')
    assert found.piers[0].rods[1].top[:2] == pytest.approx([3 * IN, 4 * IN])


@pytest.mark.parametrize(
    ("row", "wrong"),
    [
        ('P9,1,8",8"', "there is no pier P9"),
        ('P1,one,8",8"', "one is no number of a rod"),
        ('P1,7,8",8"', "P1 has 4 rods, and this is rod 7"),
        ('P1,1,8"', "P1 rod 1 is measured from one face; measure it from two"),
        ('P1,1,8",,16"', "the two faces are opposite each other"),
        ('P1,1,8",8",16"', "P1 rod 1 is measured from 3 faces"),
        ('P1,1,8 1/2,8"', "from the W (column 3): 8 1/2 has no unit"),
    ],
)
def test_what_is_wrong_is_told_with_its_line(site: Site, row: str, wrong: str) -> None:
    problems = told(site, row)
    assert problems[0].startswith("shots.csv, line 2: ")
    assert wrong in problems[0]


def test_a_distance_that_disagrees_with_the_offsets_is_told(site: Site) -> None:
    (problem,) = told(site, 'P1,2,,8",8",9"', 'P1,4,16",16"')
    assert 'P1 rod 2 to rod 4: 9" by tape, 8" by their offsets from the faces; measure both again' in problem


def test_a_rod_twice_and_a_face_that_there_is_not(site: Site) -> None:
    assert "P1 rod 1 is there twice" in told(site, 'P1,1,8",8"', 'P1,1,8",8"')[0]
    assert (
        "P1 has no flat face that looks NE" in told(site, 'P1,1,8",8"', header="pier,rod,from NE,from S")[0]
    )
