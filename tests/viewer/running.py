"""Running the command from tests."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import models

ROOT = Path(models.__file__).parent.parent
START = ROOT / "models" / "examples" / "start" / "site.yaml"
DEMO = ROOT / "models" / "examples" / "reedbank"
Run = Callable[..., tuple[int, str, str]]


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
