"""The README's two commands: what they call exists, does the main job, and is the same on Windows."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return [b.strip() for b in re.findall(rf"```{language}\n(.*?)```", README, re.DOTALL)]


def first_command() -> str:
    return blocks("sh")[0]


def second_command() -> str:
    return blocks("sh")[1]


def test_the_first_command_sets_up_and_runs_the_demo(tmp_path: Path) -> None:
    steps = [step.strip() for step in first_command().split("&&")]
    assert steps[:2] == ["python3 -m venv .venv", ".venv/bin/pip install ."]
    program, *arguments = steps[2].split()
    assert program == ".venv/bin/pierclear"
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    module, function = project["scripts"]["pierclear"].split(":")
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            f"import sys; from {module} import {function}; sys.exit({function}())",
            *arguments,
        ],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        env={"PYTHONPATH": str(ROOT), "PATH": ""},
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "10 HOLD on 7 piers" in done.stdout
    assert (tmp_path / "reedbank" / "what-you-should-find.md").is_file()
    pictures = sorted((tmp_path / "reedbank" / "pictures").iterdir())
    assert [p.suffix for p in pictures] == [".png"] * 25  # 24 piers and the key plan
    assert all(p.read_bytes().startswith(b"\x89PNG") for p in pictures)


def test_the_second_command_runs_these_tests() -> None:
    install, run = [step.strip() for step in second_command().split("&&")]
    assert install == '.venv/bin/pip install ".[test]"'
    program, *arguments = run.split()
    assert program == ".venv/bin/python"
    assert arguments == ["-m", "pytest", "-n", "auto"]
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "--collect-only", str(Path(__file__))],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "test_the_second_command_runs_these_tests" in done.stdout


@pytest.mark.parametrize("number", [0, 1])
def test_windows_reads_the_same(number: int) -> None:
    unix = (first_command(), second_command())[number]
    windows = blocks("powershell")[number]
    same = (
        unix.replace("python3 -m venv", "py -m venv")
        .replace(" && ", "; ")
        .replace(".venv/bin/", ".venv\\Scripts\\")
    )
    assert windows == same


def test_ci_calls_the_readme() -> None:
    done = subprocess.run(
        [sys.executable, str(ROOT / ".ci" / "readme_commands.py")], capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines() == [first_command(), second_command()]


def test_the_site_file_section_names_every_field_of_its_blocks() -> None:
    """The table leaves out no field of a block but those that the sentence under it leaves to the schema."""
    from models.spec.cage import Cage, Dowels, Ties, Verticals
    from models.spec.concrete import ConcreteSpec
    from models.spec.outline import OutlineSpec
    from models.spec.pier import KindSpec
    from models.spec.required import Required
    from models.spec.seat import Rods, Seat
    from models.spec.shots import ShotsSpec
    from models.spec.site import Answered, BeamSpec, GradeBeamSpec, Placing, SiteInfo, SiteSpec

    rows = dict(re.findall(r"^\| `([a-z ]+)` \| (.*) \|$", README, re.MULTILINE))
    models = {
        "site": SiteInfo, "concrete": ConcreteSpec, "required": Required, "placing": Placing,
        "kinds": KindSpec, "outline": OutlineSpec, "cage": Cage, "verticals": Verticals, "ties": Ties,
        "dowels": Dowels, "seat": Seat, "rods": Rods, "grade beams": GradeBeamSpec, "beams": BeamSpec,
        "answered": Answered, "shots": ShotsSpec,
    }  # fmt: skip
    assert models.keys() <= rows.keys()
    assert {name.replace("_", " ") for name in SiteSpec.model_fields} <= rows.keys()
    further = {"coating", "grade", "named end", "measured"}
    for name, model in models.items():
        fields = {field.replace("_", " ") for field in model.model_fields} - further
        words = {w for code in re.findall(r"`([^`]+)`", rows[name]) for w in re.split(r"[:{},\[\]]\s*", code)}
        missing = {field for field in fields if field not in {w.strip() for w in words}}
        assert missing == set(), (name, missing)
