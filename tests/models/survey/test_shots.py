"""Reading surveyors' files: every layout that they come in, every line that is wrong with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.problems import BadInput
from models.spec.shots import ShotsSpec
from models.spec.site import SiteSpec
from models.survey.shots import Shots, read_shots, shots_in
from tests.support.survey import SITE, spec_of


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> SiteSpec:
    return spec_of(tmp_path_factory.mktemp("site"))


def read(text: str, site: SiteSpec, **shots: object) -> Shots:
    return shots_in(text, "shots.csv", site.model_copy(update={"shots": ShotsSpec.model_validate(shots)}))


def problems(text: str, site: SiteSpec, **shots: object) -> list[str]:
    with pytest.raises(BadInput) as told:
        read(text, site, **shots)
    return [str(problem) for problem in told.value.problems]


@pytest.mark.parametrize(
    "text",
    [
        "17,100.5,200.25,4.125,P2 ROD 3\n",
        "17\t100.5\t200.25\t4.125\tP2 ROD 3\n",
        "17;100.5;200.25;4.125;P2 ROD 3\n",
        "17   100.5  200.25 4.125  P2 ROD 3\r\n",
        "# set out on a dull morning\n\n17, 100.5, 200.25, 4.125, p2-rod-3\n",
        "Point,Northing,Easting,Elevation,Description\n17,100.5,200.25,4.125,P2 ROD 3\n",
        "PT,DESC,ELEV,EAST,NORTH\n17,P2 ROD 3,4.125,200.25,100.5\n",
        "Point,Northing (ft),Easting (ft),Elevation (ft),Description\n17,100.5,200.25,4.125,P2ROD3\n",
        'p,n,e,z,d\n17,100.5,200.25,4.125,"P2, ROD 3"\n',
        "No,Y,X,Z,Code,Time\n17,100.5,200.25,4.125,P2 ROD 03,09:14\n",
    ],
)
def test_one_point_in_every_layout(text: str, site: SiteSpec) -> None:
    """A foot is 304.8 mm: 200.25 ft east is 61,036.2 mm, 100.5 ft north 30,632.4, 4.125 ft up 1,257.3."""
    (shot,) = read(text, site).shots
    assert shot.at == pytest.approx((200.25 * 304.8, 100.5 * 304.8, 4.125 * 304.8))
    assert (shot.point, shot.mark, shot.what, shot.which) == ("17", "P2", "rod", "3")


@pytest.mark.parametrize(
    ("unit", "mm"), [("ft", 304.8), ("us survey ft", 1200.0 / 3937.0 * 1000.0), ("m", 1000.0), ("mm", 1.0)]
)
def test_units_that_the_site_names(unit: str, mm: float, site: SiteSpec) -> None:
    (shot,) = read("1,4.0,1000000.0,2.0,P1 TOP", site, units=unit).shots
    assert shot.at == pytest.approx((1e6 * mm, 4.0 * mm, 2.0 * mm), rel=1e-14)


def test_the_header_names_the_unit(site: SiteSpec) -> None:
    text = "Point,Northing (m),Easting (m),Elevation (m),Description\n1,1,2,3,P1 TOP\n"
    assert read(text, site).shots[0].at == (2000.0, 1000.0, 3000.0)
    assert "make them agree" in problems(text, site, units="ft")[0]


def test_the_order_without_a_header_is_the_site_s(site: SiteSpec) -> None:
    assert read("1,2,1,3,P1 TOP", site, columns="PENZD", units="mm").shots[0].at == (2.0, 1.0, 3.0)
    assert read("1,2,3,P1 TOP", site, columns="NEZD", units="mm").shots[0].at == (2.0, 1.0, 3.0)


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("P1 ROD 3", ("P1", "rod", "3")),
        ("p1 rod 3 top", ("P1", "rod", "3")),
        ("P1 AB NE", ("P1", "rod", "NE")),
        ("P1 TOP NE", ("P1", "top", "NE")),
        ("P1 TOP", ("P1", "top", "")),
        ("P1_BOT_SW", ("P1", "bottom", "SW")),
        ("Q3 DOWEL 12", ("Q3", "dowel", "12")),
    ],
)
def test_descriptions_by_the_usual_pattern(text: str, named: tuple[str, str, str], site: SiteSpec) -> None:
    (shot,) = read(f"1,2,3,4,{text}", site).shots
    assert (shot.mark, shot.what, shot.which) == named


@pytest.mark.parametrize("text", ["P11 ROD 3", "GROUND", "", "P1 RODS 3", "ROD 3", "P1 ROD 3 OLD", "P9 TOP"])
def test_lines_that_name_nothing_are_listed_and_never_dropped(text: str, site: SiteSpec) -> None:
    found = read(f"1,2,3,4,P1 TOP\n2,5,6,7,{text}", site)
    assert len(found.shots) == 1
    ((place, line),) = found.unmatched
    assert place.line == 2
    assert line.split() == ["2", "5", "6", "7", *text.split()]


def test_a_pattern_and_words_of_the_crew(site: SiteSpec) -> None:
    more = {"pattern": "WHATNUMBER/MARK", "words": {"rod": "BLT", "top": "TC"}}
    found = read("1,2,3,4,blt2/q1\n2,2,3,4,TC/P1\n3,2,3,4,P1 ROD 2", site, **more)
    assert [(s.mark, s.what, s.which) for s in found.shots] == [("Q1", "rod", "2"), ("P1", "top", "")]
    assert [place.line for place, _ in found.unmatched] == [3]
    assert "needs the word WHAT once" in problems("1,2,3,4,P1 TOP", site, pattern="MARK NUMBER")[0]


def test_an_elevation_may_be_missing(site: SiteSpec) -> None:
    (shot,) = read("1,2,3,,P1 TOP", site).shots
    assert shot.at[2] != shot.at[2]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            "1,2,3,4,P1 TOP\n2,2.x,3,4,P1 TOP",
            "shots.csv, line 2: northing (column 2): 2.x is not a coordinate",
        ),
        ("1,2,,4,P1 TOP", "shots.csv, line 1: easting (column 3): it is empty"),
        ("1,2,3,high,P1 TOP", "shots.csv, line 1: elevation (column 4): high is not a coordinate"),
        ("1,2,1e3,4,P1 TOP", "shots.csv, line 1: easting (column 3): 1e3 is not a coordinate"),
        ("1,2,nan,4,P1 TOP", "shots.csv, line 1: easting (column 3): nan is not a coordinate"),
        ("1,2,3,4,P1 TOP\n2,2,3", "shots.csv, line 2: there are only 3 columns here, and the file has 5"),
        ("1,2,3,4,P1 TOP\n1,2,3,4,P2 TOP", "shots.csv, line 2: point 1 is there twice, here and on line 1"),
        (
            "1,2,9999999999999999,4,P1 TOP",
            "shots.csv, line 1: easting (column 3): 9999999999999999 is farther",
        ),
        ("P1 TOP\n", "shots.csv, line 1: the first line is neither a point nor a header"),
        ("Point,Northing,Northing,Easting,Desc\n1,2,3,4,P1 TOP", "the header names northing twice"),
        ("Point,Northing,Easting\n1,2,3", "the header names no description"),
        ("Point,Northing (rods),Easting,D\n1,2,3,P1 TOP", "coordinates in rods, which is not known here"),
        ("# nothing\n", "shots.csv: the file has no points"),
        ("Point,Northing,Easting,Elevation,Description\n", "shots.csv: the file has no points"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(text: str, told: str, site: SiteSpec) -> None:
    (problem,) = problems(text, site)
    assert told in problem


def test_every_wrong_line_is_told_at_once_up_to_fifty(site: SiteSpec) -> None:
    text = "\n".join(f"{k},x{k},2,3,P1 TOP" for k in range(60))
    told = problems(text, site)
    assert len(told) == 51
    assert told[-1].endswith("and 10 more lines like these")


def test_a_file_from_disk(tmp_path: Path, site: SiteSpec) -> None:
    path = tmp_path / "shots.txt"
    path.write_bytes("1,2,3,4,P1 TOP ½\n".encode("cp1252"))
    assert [text for _, text in read_shots(path, site).unmatched] == ["1 2 3 4 P1 TOP ½"]
    with pytest.raises(BadInput, match="there is no such shots file"):
        read_shots(tmp_path / "none.csv", site)


def test_the_site_file_takes_a_shots_block(tmp_path: Path) -> None:
    more = 'shots: {units: us survey ft, uncertainty: .02 ft, play: {shift: 1/2", turn: 1}, fit: best fit}\n'
    spec = spec_of(tmp_path, SITE + more).shots
    assert spec.units == "us survey ft"
    assert spec.uncertainty == pytest.approx(0.02 * 304.8)
    assert spec.play is not None
    assert (spec.play.shift, spec.play.turn) == (12.7, 1.0)
    assert spec.fit == "best fit"
    with pytest.raises(BadInput, match="did you mean best fit"):
        spec_of(tmp_path, SITE + "shots: {fit: bestfit}\n")
