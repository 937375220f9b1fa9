"""The command itself: exit codes, streams, and errors in one line each."""

from __future__ import annotations

import csv
import io
import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest

import models
from viewer import check as check_module
from viewer import cli
from viewer.schemas import findings_schema, gaps_schema

ROOT = Path(models.__file__).parent.parent
START = ROOT / "models" / "examples" / "start" / "site.yaml"
DEMO = ROOT / "models" / "examples" / "reedbank"
COMMANDS = ("demo", "start", "check", "rules", "gaps", "solids", "schema")
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run the command in this process: exit code, standard output, standard error."""

    def command(*arguments: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["pierclear", *map(str, arguments)])
        capsys.readouterr()
        with pytest.raises(SystemExit) as end:
            cli.main()
        said = capsys.readouterr()
        return (int(end.value.code or 0), said.out, said.err)

    return command


def process(*arguments: object, **options: object) -> subprocess.CompletedProcess[bytes]:
    """Run the command as a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "viewer", *map(str, arguments)],
        cwd=ROOT,
        capture_output="stdout" not in options,
        timeout=120,
        check=False,
        **options,
    )


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """The site to begin with, alone in a folder."""
    file = tmp_path / "site.yaml"
    file.write_bytes(START.read_bytes())
    return file


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


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_under_standard_output() -> None:
    with open("/dev/full", "wb") as full:  # noqa: PTH123  a device
        ran = process("check", START, stdout=full, stderr=subprocess.PIPE)
    assert ran.returncode == 2
    assert len(ran.stderr.splitlines()) == 1


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
        assert (gap["shared_mm3"] is not None) <= (gap["gap_mm"] < 0)
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
    code, out, err = run("demo")
    assert (code, err) == (0, "")
    target = tmp_path / "reedbank"
    copied = {p.name for p in DEMO.iterdir() if p.is_file()}
    assert {p.name for p in target.iterdir()} == copied | {"report.txt", "findings.json", "findings.csv"}
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


# -- faults of ours, the keyboard, hung-up readers -------------------------------------------------------


def test_a_fault_of_ours_is_one_line_and_3(
    run: Run, site: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("a wheel\ncame off")

    monkeypatch.setattr(check_module, "judged", broken)
    code, out, err = run("check", site, "--json", tmp_path / "f.json")
    assert (code, out) == (3, "")
    assert len(err.splitlines()) == 1
    assert "RuntimeError: a wheel came off" in err
    assert "PIERCLEAR_TRACEBACK=1" in err
    assert not (tmp_path / "f.json").exists()
    monkeypatch.setenv("PIERCLEAR_TRACEBACK", "1")
    code, out, err = run("check", site)
    assert (code, out) == (3, "")
    assert "Traceback" in err


def test_the_keyboard_ends_it_with_130(run: Run, site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(check_module, "judged", stopped)
    code, out, err = run("check", site, "--json", site.parent / "f.json")
    assert (code, out) == (130, "")
    assert "Traceback" not in err
    assert sorted(p.name for p in site.parent.iterdir()) == ["site.yaml"]


@pytest.mark.skipif(sys.platform == "win32", reason="pipes of a Unix")
def test_a_reader_that_hangs_up_changes_nothing() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    try:
        ran = process("check", START, stdout=writing, stderr=subprocess.PIPE)
    finally:
        os.close(writing)
    assert ran.stderr == b""
    assert ran.returncode == process("check", START).returncode
    assert ran.returncode in (0, 1)
    assert signal.SIGPIPE > 0


@pytest.mark.parametrize("encoding", ["ascii", "cp437", "cp1252", "utf-8"])
def test_any_console_shows_any_name(site: Path, encoding: str) -> None:
    site.write_text(site.read_text(encoding="utf-8").replace("My site", "Übergang №8 → 岸"), encoding="utf-8")
    ran = process("check", site, env={**os.environ, "PYTHONIOENCODING": encoding})
    assert ran.returncode in (0, 1), ran.stderr
    assert ran.stderr == b""
    assert b"bergang" in ran.stdout


def test_piped_output_is_plain_and_80_wide() -> None:
    ran = process("check", START.relative_to(ROOT), env={**os.environ, "COLUMNS": "200", "FORCE_COLOR": "1"})
    assert b"\x1b" not in ran.stdout
    assert max(len(line) for line in ran.stdout.decode().splitlines()) <= 80
