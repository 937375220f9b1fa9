"""The house keeps its order: imports run one way, files stay short, nothing lies about or loads too early."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
MAY_IMPORT = {"models": {"models"}, "clash": {"models", "clash"}, "viewer": {"models", "clash", "viewer"}}
HOUSE = set(MAY_IMPORT) | {"tests"}
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "clash", "viewer", "tests", "models"}
SOURCES = sorted(p for package in (*MAY_IMPORT, "tests") for p in (ROOT / package).rglob("*.py"))
HEAVY = ("pyvista", "trimesh", "ezdxf", "scipy", "openpyxl", "shapely", "rich", "PIL", "matplotlib")


def tracked() -> list[str]:
    """Paths of the files that belong to the repository; where there is none, of all files of the house."""
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if listed.returncode == 0 and listed.stdout:
        return listed.stdout.splitlines()
    files = [p for p in ROOT.iterdir() if p.is_file()]
    files += [
        p for name in HOUSE for p in (ROOT / name).rglob("*") if p.is_file() and "__pycache__" not in p.parts
    ]
    return [p.relative_to(ROOT).as_posix() for p in files]


def imported(path: Path) -> list[tuple[int, str]]:
    """Every module that a file imports, in functions and relatively as well: line and dotted name."""
    package = path.relative_to(ROOT).with_suffix("").parts[:-1]
    found: list[tuple[int, str]] = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found += [(node.lineno, name.name) for name in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else ()
            found.append((node.lineno, ".".join([*base, node.module or ""]).strip(".")))
        elif isinstance(node, ast.Call) and getattr(node.func, "attr", getattr(node.func, "id", "")) in {
            "import_module",
            "__import__",
        }:
            first = node.args[0] if node.args else None
            parts = first.values if isinstance(first, ast.JoinedStr) else [first]
            if isinstance(parts[0], ast.Constant):
                found.append((node.lineno, str(parts[0].value)))
    return found


def wrong_way(path: Path) -> list[str]:
    """The imports of a file that run against the direction viewer -> clash -> models."""
    package = path.relative_to(ROOT).parts[0]
    return [
        f"{path.relative_to(ROOT)}:{line} imports {name}"
        for line, name in imported(path)
        if name.split(".")[0] in HOUSE - MAY_IMPORT[package]
    ]


@pytest.mark.parametrize("package", MAY_IMPORT)
def test_imports_run_one_way(package: str) -> None:
    files = [p for p in SOURCES if p.relative_to(ROOT).parts[0] == package]
    assert files
    assert [wrong for p in files for wrong in wrong_way(p)] == []


@pytest.mark.parametrize(
    "line",
    [
        "import viewer.cli",
        "from viewer import cli",
        "def f():\n    from viewer.cli import main",
        "from ..viewer import cli",
        "import importlib\nimportlib.import_module('viewer.cli')",
        "import importlib\nimportlib.import_module(f'viewer.{1}')",
        "import tests.support",
    ],
)
def test_the_check_of_imports_sees_each_way_to_import(line: str, monkeypatch: pytest.MonkeyPatch) -> None:
    made = ROOT / "clash" / "made_up.py"
    monkeypatch.setattr(Path, "read_text", lambda self, encoding: line)
    assert wrong_way(made), line


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_files_stay_short(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 450


def test_the_top_level_is_as_designed() -> None:
    top = {Path(p).parts[0] for p in tracked()}
    if (ROOT / ".git").exists():
        assert {name for name in top if not name.startswith(".")} == TOP
    assert {"README.md", "pyproject.toml", "models", "clash", "viewer", "tests"} <= top


def test_no_file_names_a_package_registry_or_a_path_of_some_machine() -> None:
    words = re.compile(
        "|".join(["py" + r"pi\.(org|io)", "python" + "hosted", "conda" + r"\.anaconda", "/wo" + "rk/"])
    )
    found = []
    for name in tracked():
        path = ROOT / name
        if path.is_file() and path.suffix not in {".png", ".xlsx", ".glb"}:
            text = path.read_text(encoding="utf-8", errors="replace")
            found += [f"{name}: {match[0]}" for match in words.finditer(text)]
    assert found == []


def loaded_by(code: str) -> set[str]:
    """Top-level modules that are loaded after `code` ran in a fresh interpreter."""
    tail = "\nimport sys; print('LOADED', *sorted({m.split('.')[0] for m in sys.modules}))"
    ran = subprocess.run(
        [sys.executable, "-c", code + tail], cwd=ROOT, capture_output=True, text=True, check=True, timeout=120
    )
    return set(ran.stdout.rsplit("LOADED", 1)[1].split())


def running(*arguments: str) -> str:
    """Code that runs the command with these arguments and goes on after it."""
    return (
        f"import sys\nsys.argv = {['pierclear', *arguments]!r}\nfrom viewer.cli import main\n"
        "try:\n    main()\nexcept SystemExit as end:\n    assert end.code in (0, 1, None), end.code"
    )


def test_help_loads_nothing_heavy() -> None:
    loaded = loaded_by(running("--help"))
    assert "typer" in loaded
    assert loaded.isdisjoint({"numpy", "pydantic", "yaml", "manifold3d", *HEAVY})


def test_check_loads_only_what_it_needs() -> None:
    site = ROOT / "models" / "examples" / "start" / "site.yaml"
    loaded = loaded_by(running("check", str(site)))
    assert {"numpy", "pydantic", "yaml"} <= loaded
    assert loaded.isdisjoint(HEAVY)
