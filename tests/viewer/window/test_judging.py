"""A large site judged in two processes comes out as in one."""

from __future__ import annotations

import sys

import numpy as np
import pytest

from clash.gaps import measure
from clash.judge import judge
from models.reading.loading import load_site
from tests.viewer.running import DEMO
from viewer.window import judging


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere one process judges")
def test_two_processes_find_what_one_finds(monkeypatch: pytest.MonkeyPatch) -> None:
    site = load_site(DEMO / "reedbank.yaml")
    gaps = measure(site.piers)
    whole = judge(site, gaps)
    monkeypatch.setattr(judging, "LARGE", 2)
    report, found = judging.judged(site)
    assert report.findings == whole.findings
    assert report.piers == whole.piers == 24
    for name in ("pier", "a", "b", "gap", "at_a", "at_b"):
        # which of two like pairs is measured depends on who else is there: float noise, no more
        assert np.allclose(getattr(found, name), getattr(gaps, name), rtol=0.0, atol=1e-9, equal_nan=True)
