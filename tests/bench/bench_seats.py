"""How long the drop-on answers of a large site take: 360 piers, rods placed by hand, some far off."""

from __future__ import annotations

import statistics
import time
from pathlib import Path

import numpy as np
import pytest

from clash.fits.as_built import as_built
from clash.fits.seats import seat_fits
from models.survey.shots import shots_in
from tests.support.survey import SITE, as_csv, built, survey

MARKS = 360


@pytest.mark.bench
def test_all_seats_of_360_piers(tmp_path: Path) -> None:
    head = SITE[: SITE.index("beams:")]
    piers = [
        f"  - {{mark: P{k}, x: {k % 20 * 10}', y: {k // 20 * 10}', top: 4', bottom: 0, kind: plate pier}}"
        for k in range(MARKS)
    ]
    site = built(tmp_path, head + "piers:\n" + "\n".join(piers) + "\n")
    rng = np.random.default_rng(360)
    points = []
    for name, x, y, z in survey(site):
        dx, dy = rng.normal(0.0, 4.0, 2) if "ROD" in name else (0.0, 0.0)
        points.append((name, x + dx, y + dy, z))
        if "ROD" in name:
            points.append((name, x + dx + rng.normal(0.0, 1.0), y + dy, z - 100.0))
    shots = shots_in(as_csv(points), "shots.csv", site.spec)
    begun = time.perf_counter()
    found = as_built(site, shots)
    whole = time.perf_counter() - begun
    lifts = [0.0] * MARKS
    took = []
    for _ in range(5):
        begun = time.perf_counter()
        fits = seat_fits(site, found.piers, lifts)
        took.append(time.perf_counter() - begun)
    stuck = sum(fit.drops_on is False for fit in fits)
    print(
        f"\n{MARKS} seats {statistics.median(took):.2f} s (median of 5), {stuck} of them stuck; the whole "
        f"as-built report {whole:.2f} s; proven to {max(fit.bound - fit.room for fit in fits):.1e} mm"
    )
    assert len(fits) == MARKS
    assert statistics.median(took) <= 5.0
