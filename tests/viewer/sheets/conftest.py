"""The demo site, judged, as a job for sheets."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from clash.judge import judge
from models.reading.loading import load_site
from tests.viewer.running import DEMO
from viewer.paper.job import Job, SheetFile, sheet


@pytest.fixture(scope="session")
def demo_job() -> Job:
    """The demo's job, dated."""
    site = load_site(DEMO / "reedbank.yaml")
    return Job(site, judge(site), "2025-05-06")


@pytest.fixture(scope="session")
def demo_sheets(demo_job: Job) -> Callable[[str], dict[str, SheetFile]]:
    """The demo's sheets of a name, by stem, made once."""
    made: dict[str, dict[str, SheetFile]] = {}

    def of(name: str) -> dict[str, SheetFile]:
        if name not in made:
            made[name] = {file.stem: file for file in sheet(name)(demo_job)}
        return made[name]

    return of
