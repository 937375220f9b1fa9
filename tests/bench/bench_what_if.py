"""How long a what-if step takes: a change, built, measured and judged; and with the window drawn anew.

The peer in the first is judging the whole changed site from nothing, which says the same. Medians; the window
draws in software, 1280 x 800, warm, and is counted in wall time, so run this alone on a quiet machine.
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
from pathlib import Path

import pytest

from clash.judge import judge
from clash.what_if import WhatIf
from models.build import build_site
from models.changes.change import Change, MoveTie, NudgeRods, TurnRods
from models.reading.loading import load_site
from tests.support.screen import MISSING, screen
from tests.support.timing import cpu_median

ROOT = Path(__file__).parent.parent.parent
DEMO = ROOT / "models" / "examples" / "reedbank" / "reedbank.yaml"
RUNS = 9
CHANGES: tuple[Change, ...] = (NudgeRods(3.175, 0.0), TurnRods(1.0), MoveTie(2, -3.175))


@pytest.mark.bench
def test_a_step_without_the_window() -> None:
    start = WhatIf.of(load_site(DEMO))
    spec = start.site.spec
    whole = cpu_median(lambda: judge(build_site(spec, "")), RUNS)
    took = {
        (mark, type(change).__name__): cpu_median(
            lambda m=mark, c=change: start.with_change(m, c).report, RUNS
        )
        for mark in ("P2", "P13", "P20")
        for change in CHANGES
    }
    for (mark, change), seconds in took.items():
        print(
            f"\n{mark} {change} {1e3 * seconds:.0f} ms, {whole / seconds:.0f} times faster than from nothing",
            end="",
        )
    print(f" ({1e3 * whole:.0f} ms)")
    assert statistics.median(took.values()) <= 0.05


@pytest.mark.bench
def test_a_step_in_the_window() -> None:
    if MISSING:
        pytest.skip(f"no {' and no '.join(MISSING)} here")
    with screen() as display:
        ran = subprocess.run(
            [sys.executable, "-m", "tests.support.what_if_steps", str(DEMO), "P2", "P13", "P20"],
            cwd=ROOT,
            env={**os.environ, "DISPLAY": display, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            text=True,
            check=True,
        )
    took = json.loads(ran.stdout.splitlines()[-1])
    every = [seconds for keys in took.values() for runs in keys.values() for seconds in runs]
    for mark, keys in took.items():
        told = ", ".join(f"{key} {1e3 * statistics.median(runs):.0f}" for key, runs in keys.items())
        print(f"\n{mark}: {told} ms", end="")
    print(f"\na step in the window: median {1e3 * statistics.median(every):.0f} ms")
    assert statistics.median(every) <= 0.1
