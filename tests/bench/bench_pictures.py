"""How long the demo's pictures take: 24 pages and the key plan, beside as many bare pages of one color."""

from __future__ import annotations

import io
import time
from pathlib import Path

import PIL.Image
import pytest

from clash.judge import judge
from models.reading.loading import load_site
from viewer.commands.view import site_picture
from viewer.paper.job import Job
from viewer.pictures.made import pictures, sheets

DEMO = Path(__file__).parent.parent.parent / "models" / "examples" / "reedbank" / "reedbank.yaml"


@pytest.mark.bench
def test_pictures_of_the_demo() -> None:
    site = load_site(DEMO)
    job = Job(site, judge(site), "2025-05-06")
    begun = time.perf_counter()
    made = [site_picture(job), *(one.data for one in pictures(sheets(job, site.piers)))]
    took = time.perf_counter() - begun
    begun = time.perf_counter()
    for _ in made:
        PIL.Image.new("RGB", (2550, 3300), "#ffffff").save(io.BytesIO(), "PNG", compress_level=4)
    bare = time.perf_counter() - begun
    size = sum(len(data) for data in made) / 1e6
    print(
        f"\n25 pictures {took:.1f} s, {size:.1f} MB; as many white PNGs {bare:.1f} s, ratio {took / bare:.1f}"
    )
    assert took <= 20.0
