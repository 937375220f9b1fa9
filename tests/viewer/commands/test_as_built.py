"""`pierclear asbuilt` and `check --as-placed`: exit codes, outputs, and the survey beside the demo."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests.support.survey import SITE, as_csv, built, dowels, survey
from tests.viewer.running import DEMO, Run
from viewer.report.schemas import schema_of

SHOTS = DEMO / "shots.csv"


@pytest.fixture
def quay(tmp_path: Path) -> Path:
    built(tmp_path, SITE)
    return tmp_path / "site.yaml"


def shots(quay: Path, text: str) -> Path:
    path = quay.parent / "shots.csv"
    path.write_text(text, encoding="utf-8")
    return path


def told(run: Run, site: Path, file: Path) -> dict[str, Any]:
    code, out, err = run("asbuilt", site, file, "--json", "-")
    assert err == ""
    content: dict[str, Any] = json.loads(out)
    stuck = [f for f in content["findings"] if f["answered"] is None and f["level"] != "TIGHT"]
    assert code == (1 if stuck else 0)
    return content


def test_a_site_placed_as_drawn_ends_with_0(run: Run, quay: Path) -> None:
    file = shots(quay, as_csv(survey(built(quay.parent))))
    code, out, err = run("asbuilt", quay, file)
    assert (code, err) == (0, "")
    assert "Quay of the station, as placed" in out
    assert "no structural design" in out
    assert "4 of 4 plates and beams drop on, 0 HOLD, 0 NOT CHECKED" in out
    assert "Exit code 0:" in out
    assert max(len(line) for line in out.splitlines() if str(quay) not in line) <= 80


def test_the_json_has_its_keys_and_keeps_its_schema(run: Run, quay: Path) -> None:
    site = built(quay.parent)
    file = shots(quay, as_csv(survey(site, {"P1 ROD 1": (-25.4, 0.0)}, {"P3": (5.0, 0.0, 3.0)}), digits=5))
    content = told(run, quay, file)
    jsonschema.validate(content, schema_of("asbuilt"))
    assert content["version"] == 1
    assert {"turn_deg", "move_mm", "residual_mm", "ppm"} <= set(content["fit"])
    assert [pier["pier"] for pier in content["piers"]] == ["P1", "P2", "P3", "Q1", "Q2", "Q3"]
    p3 = content["piers"][2]
    assert p3["off_mm"] == pytest.approx([5.0, 0.0], abs=0.3)
    assert p3["top_off_mm"] == pytest.approx(3.0, abs=0.05)
    assert p3["plumb_mm"] == pytest.approx([5.0, 0.0], abs=0.05)
    seats = {seat["pier"]: seat for seat in content["seats"]}
    assert [seats[mark]["drops_on"] for mark in ("P1", "P2", "P3")] == [False, True, True]
    assert seats["P3"]["move_mm"] == pytest.approx([5.0, 0.0], abs=0.3)
    assert content["level_mm"] == pytest.approx(4 * 304.8 + 3.0 + 25.4, abs=0.05)
    assert seats["P1"]["grout_mm"] == pytest.approx(28.4, abs=0.05)
    assert [beam["beam"] for beam in content["beams"]] == ["B1"]
    assert content["beams"][0]["drops_on"] is True


def test_json_to_standard_output_stands_alone_and_to_a_file_comes_too(run: Run, quay: Path) -> None:
    file = shots(quay, as_csv(survey(built(quay.parent))))
    code, out, _ = run("asbuilt", quay, file, "--json", "-")
    assert code == 0
    json.loads(out)
    target = quay.parent / "placed.json"
    code, out, _ = run("asbuilt", quay, file, "--json", target)
    assert "as placed" in out
    assert json.loads(target.read_text(encoding="utf-8"))["version"] == 1


def test_bad_shots_end_with_2_and_a_line_each(run: Run, quay: Path) -> None:
    file = shots(quay, "1,2,x,4,P1 TOP\n2,2,3\n")
    target = quay.parent / "placed.json"
    code, out, err = run("asbuilt", quay, file, "--json", target)
    assert (code, out) == (2, "")
    assert [line.partition(":")[0] for line in err.splitlines()] == ["shots.csv, line 1", "shots.csv, line 2"]
    assert not target.exists()
    code, out, err = run("asbuilt", quay, quay.parent / "none.csv")
    assert (code, out) == (2, "")
    assert "there is no such shots file" in err
    code, _, err = run("asbuilt", quay, file, "--json", file)
    assert code == 2
    assert "choose another name" in err
    assert run("asbuilt", quay)[0] == 2


def test_check_as_placed_sees_a_dowel_that_stands_wrong(run: Run, quay: Path) -> None:
    """Dowel 1 (SW) pushed out to the side by 3 in: the 2 in of cover are gone."""
    site = built(quay.parent)
    file = shots(quay, as_csv([*survey(site), *dowels(site, {"P1 DOWEL 1": (-76.2, 0.0)})]))
    code, out, err = run("check", quay, "--as-placed", file, "--json", "-")
    assert (code, err) == (1, "")
    content = json.loads(out)
    jsonschema.validate(content, schema_of("findings"))
    assert content["site"] == "Quay of the station, as placed"
    assert content["not_checked"] == sum(f["level"] == "NOT CHECKED" for f in content["findings"])
    covers = [f for f in content["findings"] if f["rule"] == "cover" and "P1/dowel/1" in f["parts"]]
    assert [f["level"] for f in covers] == ["HOLD"]
    before = json.loads(run("check", quay, "--json", "-")[1])
    assert not [f for f in before["findings"] if f["rule"] == "cover" and "P1/dowel/1" in f["parts"]]
    assert run("check", quay, "--as-placed", quay.parent / "none.csv")[0] == 2


# -- the survey of the demo; what-was-placed.md says what is planted in it ----------------------------------


@pytest.fixture(scope="module")
def reedbank() -> dict[str, Any]:
    from clash.fits.as_built import as_built
    from models.reading.loading import load_site
    from models.survey.shots import read_shots
    from viewer.report.as_built_json import as_built_json

    site = load_site(DEMO / "reedbank.yaml")
    content: dict[str, Any] = json.loads(as_built_json(as_built(site, read_shots(SHOTS, site.spec))))
    return content


def test_the_demo_s_grid_is_found(reedbank: dict[str, Any]) -> None:
    fit = reedbank["fit"]
    assert fit["turn_deg"] == pytest.approx(0.35, abs=0.003)
    assert fit["move_mm"] == pytest.approx([2000 * 304.8, 5000 * 304.8], abs=5.0)
    assert fit["ppm"] == pytest.approx(60.0, abs=25.0)
    assert reedbank["seats"][0]["uncertainty_mm"] == pytest.approx(0.005 * 304.8, rel=0.2)
    assert [line["text"].split(" ", 4)[4] for line in reedbank["unmatched"]] == [
        "GROUND AT CULVERT",
        "TBM NAIL IN STUMP",
    ]


def test_what_is_planted_in_the_demo_s_survey_is_told_and_nothing_else(reedbank: dict[str, Any]) -> None:
    seats = {seat["pier"]: seat for seat in reedbank["seats"]}
    assert {mark: seat["drops_on"] for mark, seat in seats.items()} == {
        **dict.fromkeys(("P13", "P15", "P16", "P17", "P18", "P20", "P21", "P23", "P24"), True),
        "P14": False,
        "P19": None,
        "P22": None,
    }
    assert {beam["beam"]: beam["drops_on"] for beam in reedbank["beams"]} == {
        "B1": False,
        "B2": None,
        "B3": None,
    }
    assert [way["rod"] for way in seats["P14"]["in_the_way"]] == [3]
    assert seats["P14"]["in_the_way"][0]["toward"][0] > 0.9
    assert seats["P21"]["turn_deg"] == pytest.approx(2.0, abs=0.15)
    assert seats["P23"]["room_mm"] < seats["P24"]["room_mm"] - 2.0
    holds = {f["id"] for f in reedbank["findings"] if f["level"] == "HOLD"}
    high = {f"as built top of rod:P16/anchor/{n}" for n in (1, 2, 3, 4)}
    assert holds == high | {
        "as built in plan:P5",
        "as built drops on:B1/beam",
        "as built plumb:P9",
        "as built drops on:P14/plate/1",
        "as built rods of one group:P14",
        "as built top:P16",
        "as built top of rod:P20/rod/1",
        "as built nut on rod:P20/rod/1",
    }
    piers = {pier["pier"]: pier for pier in reedbank["piers"]}
    assert piers["P5"]["off_mm"] == pytest.approx([1.25 * 25.4, 0.0], abs=1.0)
    assert piers["P9"]["plumb_mm"] == pytest.approx([0.0, 1.375 * 25.4], abs=1.5)
    assert piers["P16"]["top_off_mm"] == pytest.approx(0.75 * 25.4, abs=1.0)


def test_the_page_names_every_pier_that_has_something_planted(reedbank: dict[str, Any]) -> None:
    page = (DEMO / "what-was-placed.md").read_text(encoding="utf-8")
    stuck = {f["pier"] for f in reedbank["findings"] if f["level"] == "HOLD"}
    told_there = {f"P{k}" for k in (5, 9, 14, 16, 19, 20, 21, 22, 23)}
    for mark in told_there:
        assert f"| {mark} |" in page
    # P1 is where beam B1 begins
    assert stuck <= told_there | {"P1"}
