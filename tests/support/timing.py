"""How long something takes, for tests/bench alone: no other test asserts a time."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable


def cpu_median(work: Callable[[], object], runs: int) -> float:
    """Median CPU seconds of so many runs, after one that warms up."""
    took = []
    for _ in range(runs + 1):
        begun = time.process_time()
        work()
        took.append(time.process_time() - begun)
    return statistics.median(took[1:])
