"""The command itself: exit codes, outputs, and errors in one line each."""

from __future__ import annotations

import csv
import io
import json
from itertools import repeat
from pathlib import Path

import jsonschema
import pytest

from tests.viewer.running import DEMO, START, Run
from viewer.commands import examples
from viewer.report.schemas import findings_schema, gaps_schema

COMMANDS = (
    "demo",
    "start",
    "check",
    "rules",
    "gaps",
    "solids",
    "sheet",
    "compare",
    "brief",
    "view",
    "schema",
)


# -- help, wrong options ---------------------------------------------------------------------------------


def test_help_lists_every_command(run: Run) -> None:
    code, out, err = run("--help")
    assert (code, err) == (0, "")
    for command in COMMANDS:
        assert f"\n  {command} " in out
        assert run(command, "--help")[0] == 0


@pytest.mark.parametrize(
    "arguments",
    [
        ("nonsense",),
        ("check",),
        ("check", START, "--nonsense"),
        ("check", START, "--json"),
        ("check", START, "extra"),
        ("gaps", START),
        ("solids", START),
        ("schema",),
        ("schema", "nonsense"),
        ("start",),
    ],
)
def test_wrong_options_end_with_2(run: Run, arguments: tuple[object, ...]) -> None:
    code, out, err = run(*arguments)
    assert (code, out) == (2, "")
    assert "Error:" in err


def test_the_version_is_the_projects(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("importlib.metadata.version", lambda name: f"{name} 1.2.3")
    assert run("--version") == (0, "pierclear pierclear 1.2.3\n", "")


@pytest.mark.parametrize("command", ["check", "gaps", "solids"])
def test_two_marks_are_refused_in_one_line(run: Run, site: Path, tmp_path: Path, command: str) -> None:
    target = {"check": [], "gaps": ["--json", tmp_path / "g"], "solids": ["--to", tmp_path / "s"]}[command]
    code, out, err = run(command, site, "--pier", "P1", "--pier", "P2", *target)
    assert (code, out) == (2, "")
    assert err == (
        "--pier: is given 2 times (P1, P2), and one pier is taken; run the command once for each, or leave "
        "it off for all\n"
    )
    assert sorted(p.name for p in tmp_path.iterdir()) == ["site.yaml"]


# -- check -----------------------------------------------------------------------------------------------


def test_the_start_site_is_read_without_a_complaint(run: Run, site: Path) -> None:
    code, out, err = run("check", site)
    assert code in (0, 1), err
    assert err == ""
    assert "My site" in out
    assert f"Exit code {code}:" in out
    assert "no structural design" in out


def test_check_writes_what_is_asked_for(run: Run, site: Path, tmp_path: Path) -> None:
    j, c = tmp_path / "f.json", tmp_path / "f.csv"
    code, out, _ = run("check", site, "--json", j, "--csv", c)
    content = json.loads(j.read_text())
    jsonschema.Draft7Validator(findings_schema()).validate(content)
    stuck = [f for f in content["findings"] if f["answered"] is None and f["level"] != "TIGHT"]
    assert code == (1 if stuck else 0)
    rows = list(csv.DictReader(io.StringIO(c.read_bytes().decode("utf-8-sig"), newline="")))
    assert [r["id"] for r in rows] == [f["id"] for f in content["findings"]]
    assert content["piers"] == 2
    assert content["checked"] > 100
    assert f"{content['checked']:,} measurements checked on 2 piers" in " ".join(out.split())


@pytest.mark.parametrize("option", ["--json", "--csv"])
def test_a_dash_is_standard_output_and_nothing_else_goes_there(run: Run, site: Path, option: str) -> None:
    code, out, err = run("check", site, option, "-")
    assert code in (0, 1)
    assert err == ""
    if option == "--json":
        assert json.loads(out)["version"] == 1
    else:
        assert out.startswith("\ufefflevel,pier,says")


def test_two_dashes_are_one_too_many(run: Run, site: Path) -> None:
    code, out, err = run("check", site, "--json", "-", "--csv", "-")
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1


def test_one_pier_alone(run: Run, site: Path) -> None:
    code, out, _ = run("check", site, "--pier", "P2", "--json", "-")
    assert code in (0, 1)
    content = json.loads(out)
    assert content["piers"] == 1
    assert {f["pier"] for f in content["findings"]} <= {"P2"}
    assert 0 < content["checked"] < json.loads(run("check", site, "--json", "-")[1])["checked"]


@pytest.mark.parametrize(
    ("mark", "near"),
    [
        ("P99", "the piers are P1, P2"),
        ("p2", "did you mean P2?"),
        ("P1x", "did you mean P1?"),
        ("", "the piers are P1, P2"),
    ],
)
@pytest.mark.parametrize("command", ["check", "gaps", "solids"])
def test_an_unknown_mark_offers_the_nearest(
    run: Run, site: Path, tmp_path: Path, command: str, mark: str, near: str
) -> None:
    target = {"check": [], "gaps": ["--json", tmp_path / "g"], "solids": ["--to", tmp_path / "s"]}[command]
    code, out, err = run(command, site, "--pier", mark, *target)
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert err.rstrip().endswith(near)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["site.yaml"]


def test_exit_1_with_a_hold(run: Run, site: Path) -> None:
    """The rods of P1 moved to 9.5 in from the center of a 20 in pier: half an inch from its face."""
    site.write_text(site.read_text().replace('[[-4", 0], [4", 0]]', '[[-9.5", 0], [9.5", 0]]'))
    code, out, _ = run("check", site)
    assert code == 1
    assert "\nPier P1\n  HOLD " in out
    assert "do not pour" in out


# -- what stands in for a site file ----------------------------------------------------------------------


def test_a_folder_stands_for_its_only_site_file(run: Run, site: Path) -> None:
    assert run("check", site.parent, "--json", "-")[1] == run("check", site, "--json", "-")[1]


def test_a_folder_with_none_or_two_does_not(run: Run, site: Path) -> None:
    (site.parent / "other.yml").write_text("x")
    code, _, err = run("check", site.parent)
    assert code == 2
    assert "other.yml, site.yaml" in err
    (site.parent / "other.yml").unlink()
    site.unlink()
    code, _, err = run("check", site.parent)
    assert code == 2
    assert len(err.splitlines()) == 1


@pytest.mark.parametrize("content", [None, b"", b"\x00\xff\x00", b"site: [", b"site: {name: x}"])
def test_a_site_that_cannot_be_used(run: Run, tmp_path: Path, content: bytes | None) -> None:
    file = tmp_path / "bad.yaml"
    if content is not None:
        file.write_bytes(content)
    code, out, err = run("check", file, "--json", tmp_path / "f.json")
    assert (code, out) == (2, "")
    assert err.strip()
    assert "Traceback" not in err
    assert not (tmp_path / "f.json").exists()


# -- outputs that can't be written -----------------------------------------------------------------------


@pytest.mark.parametrize("command", ["check", "gaps"])
@pytest.mark.parametrize("place", ["none/f.json", "site.yaml/f.json", ".", "site.yaml"])
def test_unwritable_files(run: Run, site: Path, command: str, place: str) -> None:
    before = site.read_bytes()
    code, out, err = run(command, site, "--json", site.parent / place)
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert "can't be written" in err
    assert site.read_bytes() == before
    assert sorted(p.name for p in site.parent.iterdir()) == ["site.yaml"]


def test_names_that_no_disk_takes(run: Run, site: Path) -> None:
    long = site.parent / ("x" * 300 + ".json")
    for arguments in (
        ("check", long),
        ("check", site, "--json", long),
        ("solids", site, "--to", long),
        ("start", long),
    ):
        code, out, err = run(*arguments)
        assert (code, out) == (2, "")
        assert len(err.splitlines()) == 1


def test_the_schedule_is_not_written_over(run: Run, tmp_path: Path) -> None:
    for file in DEMO.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    schedule = tmp_path / "piers.csv"
    before = schedule.read_bytes()
    code, out, err = run("check", tmp_path, "--csv", schedule)
    assert (code, out) == (2, "")
    assert "the site is read from it" in err
    assert schedule.read_bytes() == before


@pytest.mark.parametrize("command", ["solids", "start", "demo"])
@pytest.mark.parametrize("place", ["none/x", "site.yaml/x", "site.yaml"])
def test_unwritable_folders(run: Run, site: Path, command: str, place: str) -> None:
    target = site.parent / place
    code, out, err = run(command, *([site, "--to", target] if command == "solids" else [target]))
    assert (code, out) == (2, "")
    assert err.strip()
    assert sorted(p.name for p in site.parent.iterdir()) == ["site.yaml"]


# -- gaps, solids, schema, rules -------------------------------------------------------------------------


def test_gaps(run: Run, site: Path, tmp_path: Path) -> None:
    target = tmp_path / "g.json"
    code, out, _ = run("gaps", site, "--json", target)
    assert code == 0
    content = json.loads(target.read_text())
    jsonschema.Draft7Validator(gaps_schema()).validate(content)
    gaps = content["gaps"]
    assert f"{len(gaps):,} gaps" in out
    assert max(g["gap_mm"] for g in gaps) <= 150.0
    assert {g["pier"] for g in gaps} == {"P1", "P2"}
    assert {"P1/concrete/side", "P1/concrete/top", "P1/concrete/bottom"} <= {g["b"] for g in gaps}
    for gap in gaps:
        parts = "/concrete/" not in gap["b"]
        assert (gap["shared_mm3"] is not None) == (parts and gap["gap_mm"] < 0)
    (template,) = [g for g in gaps if (g["a"], g["b"]) == ("P2/plate/1", "P2/template/1")]
    assert template["together"] is False
    assert template["gap_mm"] == pytest.approx(
        0.0, abs=1e-9
    )  # 1 3/4 + 1/2 in above the concrete, and 2 1/4 in
    near = json.loads(run("gaps", site, "--json", "-", "--within", '2"', "--pier", "P2")[1])["gaps"]
    pairs = {(g["a"], g["b"]) for g in gaps if g["pier"] == "P2" and g["gap_mm"] <= 50.8}
    assert {(g["a"], g["b"]) for g in near} == pairs
    assert pairs


def test_points_of_gaps_are_in_site_axes(run: Run, site: Path) -> None:
    """P2 stands 10 ft = 3048 mm east of P1; nothing reaches 24 in = 610 mm past its center in x."""
    for gap in json.loads(run("gaps", site, "--json", "-", "--pier", "P2")[1])["gaps"]:
        assert abs(gap["at_a_mm"][0] - 3048.0) < 610.0
        assert abs(gap["at_b_mm"][0] - 3048.0) < 610.0


@pytest.mark.parametrize("within", ["150", "0 mm", "-1 in", "nonsense", "nan"])
def test_a_reach_that_is_no_length(run: Run, site: Path, within: str) -> None:
    code, out, err = run("gaps", site, "--json", "-", f"--within={within}")
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert err.startswith("--within: ")


def test_solids(run: Run, site: Path, tmp_path: Path) -> None:
    target = tmp_path / "solids"
    assert run("solids", site, "--to", target, "--pier", "P1")[0] == 0
    listed = json.loads((target / "parts.json").read_text())
    parts = listed["parts"] if isinstance(listed, dict) else listed
    assert {part["pier"] for part in parts} == {"P1"}
    for part in parts:
        assert (target / part["file"]).stat().st_size > 0
    assert list(target.glob("*.glb"))
    assert not [p for p in target.iterdir() if p.name.startswith(".")]


@pytest.mark.parametrize("document", ["site", "findings", "gaps"])
def test_schemas(run: Run, document: str) -> None:
    code, out, err = run("schema", document)
    assert (code, err) == (0, "")
    jsonschema.Draft7Validator.check_schema(json.loads(out))
    assert json.loads(out)["$schema"].startswith("http://json-schema.org/draft-07/schema")


def test_rules_with_sources_and_figures(run: Run, site: Path) -> None:
    code, out, err = run("rules")
    assert (code, err) == (0, "")
    assert "ACI 318" in out
    code, with_site, err = run("rules", site)
    assert (code, err) == (0, "")
    assert "My site" in with_site
    assert "1.00 in" in with_site
    assert "as specified" in with_site
    assert "1 hole " in with_site
    assert "1 holes" not in with_site
    assert "contact " in with_site
    assert " -0." not in with_site


def test_rules_with_tolerances(run: Run, site: Path) -> None:
    published = " ".join(run("rules")[1].split())
    # ACI 117-10 2.3.4.2: 3/8 in for rods over 7/8 in; AISC 303-05 7.5.1(a): 1/8 in between any two.
    assert "0.38 in rod, plan, over 0.88 in: ACI 117-10 2.3.4.2" in published
    assert "0.13 in rod to rod, plan: AISC 303-05 7.5.1(a)" in published
    assert "-5.0 mm rod, height: (+45.0 mm) EN 1090-2" in published
    told = " ".join(run("rules", site)[1].split())
    assert "Rods: ACI 117-10, set through a template." in told
    assert (
        "0.13 in a rod in plan: practice: 1/8 in within a group set by a rigid template [all piers]" in told
    )
    site.write_text(
        site.read_text().replace(
            "rods set by: template", "rods set by: hand\n  tolerances: {rod height: 3/4 in}"
        )
    )
    own = " ".join(run("rules", site)[1].split())
    assert "0.25 in a rod in plan: ACI 117-10 2.3.4.2 [all piers]" in own
    assert "0.75 in the top of a rod: as specified, placing: tolerances: rod height [all piers]" in own


# -- start, demo -----------------------------------------------------------------------------------------


def test_start_writes_once(run: Run, tmp_path: Path) -> None:
    target = tmp_path / "mine"
    code, out, _ = run("start", target)
    assert code == 0
    assert (target / "site.yaml").read_bytes() == START.read_bytes()
    assert "pierclear check" in out
    (target / "site.yaml").write_text("mine")
    code, out, err = run("start", target)
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert (target / "site.yaml").read_text() == "mine"


def test_demo_twice_then_edited(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(examples, "_pictures", lambda job: repeat(b"", 1 + len(job.site.piers)))
    code, out, err = run("demo")
    assert (code, err) == (0, "")
    target = tmp_path / "reedbank"
    copied = {p.name for p in DEMO.iterdir() if p.is_file()}
    assert {p.name for p in target.iterdir()} == copied | {
        "report.txt",
        "findings.json",
        "findings.csv",
        "pictures",
    }
    assert len(list((target / "pictures").iterdir())) == 1 + 24
    for name in copied:
        assert (target / name).read_bytes() == (DEMO / name).read_bytes()
        assert name in out
    jsonschema.Draft7Validator(findings_schema()).validate(json.loads((target / "findings.json").read_text()))
    assert (target / "report.txt").read_text().splitlines()[0] in out
    assert run("demo")[0] == 0
    edited = target / next(n for n in sorted(copied) if n.endswith(".yaml"))
    edited.write_text(edited.read_text() + "# mine\n")
    code, out, err = run("demo")
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert edited.read_text().endswith("# mine\n")


@pytest.mark.parametrize("command", ["start", "demo"])
def test_a_folder_with_another_site_file_is_left_alone(run: Run, tmp_path: Path, command: str) -> None:
    other = tmp_path / "mine.yml"
    other.write_text("site:\n")
    code, out, err = run(command, tmp_path)
    assert (code, out) == (2, "")
    assert err == (
        f"{other}: is another site file, and a folder stands for one site; choose another folder\n"
    )
    assert list(tmp_path.iterdir()) == [other]
