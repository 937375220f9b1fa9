"""How long a person waits: whole warm processes, medians of five, beside the bare import of the libraries."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
RUNS = 5
DEMO = ROOT / "models" / "examples" / "reedbank" / "reedbank.yaml"
LIBRARIES = "import typer, numpy, yaml, msgspec; from pydantic import BaseModel"
"""What `check` imports of its libraries; `import pydantic` alone is lazy and loads next to nothing of it."""
NAMES_ALONE = "import typer, numpy, yaml, msgspec, pydantic"


def median(*command: str) -> float:
    """Median wall time, s, of five runs of a whole process, after one that warms the disk."""
    took = []
    for _ in range(RUNS + 1):
        begun = time.perf_counter()
        ran = subprocess.run(
            [sys.executable, *command], cwd=ROOT, capture_output=True, check=False, timeout=120
        )
        took.append(time.perf_counter() - begun)
        assert ran.returncode in (0, 1), ran.stderr.decode()
    return statistics.median(took[1:])


@pytest.mark.bench
def test_check_on_the_demo() -> None:
    bare, alone = median("-c", LIBRARIES), median("-c", NAMES_ALONE)
    check = median("-m", "viewer", "check", str(DEMO))
    print(
        f"\ncheck on the demo {check:.3f} s; bare import {bare:.3f} s, ratio {check / bare:.2f}; "
        f"of the names alone {alone:.3f} s, ratio {check / alone:.2f} (medians of {RUNS})"
    )
    assert check <= 0.8
    assert check <= 4.0 * bare


@pytest.mark.bench
def test_help() -> None:
    took = median("-m", "viewer", "--help")
    print(f"\n--help {took:.3f} s (median of {RUNS})")
    assert took <= 0.3
