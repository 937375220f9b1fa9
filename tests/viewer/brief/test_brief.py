"""The crew briefing: what it says of each pier, on paper and as one HTML file."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest

from clash.judge import judge
from models.reading.loading import load_site
from tests.viewer.running import DEMO, Run
from viewer.brief.cards import Card, cards
from viewer.brief.html import html
from viewer.brief.lines3d import lines
from viewer.brief.paper import pages
from viewer.drawing.recording import record
from viewer.paper.job import Job

INCH = 25.4


@pytest.fixture(scope="module")
def job() -> Job:
    site = load_site(DEMO / "reedbank.yaml")
    return Job(site, judge(site), "2025-05-06")


@pytest.fixture(scope="module")
def made(job: Job) -> dict[str, Card]:
    return {card.pier.mark: card for card in cards(job.site, job.report)}


@pytest.fixture(scope="module")
def page(job: Job) -> str:
    return html(job)


def test_the_piers_on_hold_are_those_of_the_planted_faults(job: Job, made: dict[str, Card]) -> None:
    held = {f.pier for f in job.report.findings if f.level.value == "HOLD"}
    assert {mark for mark, card in made.items() if card.held} == held
    assert {"P2", "P4", "P8", "P15", "P17", "P22"} <= held


def test_the_walk_before_the_pour_has_the_figures_of_the_site(made: dict[str, Card]) -> None:
    checks = " ".join(made["P2"].checks)
    for said in (
        "8 verticals and 9 ties",
        '3" at the sides, 3" at the top, 2" at the bottom',
        "Dowels: 4",
        "Rods: 2, plumb, their tops 1'-6 1/2\" above",
        "Template: level",
        "Pour opening",
        "7'-0\"",
        "Embeds: conduit",
    ):
        assert said in checks, said
    assert not any("Embeds" in check for check in made["P1"].checks)


def test_an_answered_finding_stays_with_its_reference_and_holds_nothing_up(job: Job) -> None:
    findings = tuple(
        replace(f, answered="the engineer, 2025-05-06, RFI 4") if f.pier == "P8" else f
        for f in job.report.findings
    )
    answered = replace(job, report=replace(job.report, findings=findings))
    card = next(c for c in cards(job.site, answered.report) if c.pier.mark == "P8")
    assert card.watch
    assert not card.held
    assert "RFI 4" in html(answered)


def test_lines_in_space_by_arithmetic(made: dict[str, Card]) -> None:
    # P1 is 60 in tall, its verticals end 3 in below the top and 2 in above the bottom; about its middle that
    # is 30 - 3 = 27 in up and 30 - 2 = 28 in down. No. 6 is 0.750 in thick.
    runs = [
        np.array(p).reshape(-1, 3)
        for _, thick, p in lines(made["P1"].pier)
        if abs(thick - 0.75 * INCH) < 0.06
    ]
    plumb = [run for run in runs if len(run) == 2 and np.ptp(run[:, :2], axis=0).max() == 0]
    assert len(plumb) == 8
    for run in plumb:
        assert sorted(run[:, 2].tolist()) == [round(-28 * INCH), round(27 * INCH)]


def test_on_paper_a_page_each_and_no_word_on_another(job: Job) -> None:
    made = pages(job)
    assert len(made) == 1 + len(job.site.piers)
    for n, one in enumerate(made):
        found = record(one)
        assert found.overlaps() == [], n
        assert found.outside(one.width, one.height) == [], n
    words = " ".join(w for w, _, _ in record(made[8]).texts)
    assert "P8" in words
    assert "1. HOLD: Dowel 1 (S)" in words
    assert "Before the pour" in words


class _Seen(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.outside: list[str] = []
        self.ids: list[str] = []
        self.targets: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.ids += [given["id"] or ""] if "id" in given else []
        self.outside += [given[k] or "" for k in ("src", "srcset", "data") if k in given]
        if tag == "a":
            self.targets.append(given["href"] or "")
        elif "href" in given:
            self.outside.append(given["href"] or "")


def test_one_file_that_asks_for_nothing_else(page: str, job: Job) -> None:
    seen = _Seen()
    seen.feed(page)
    assert seen.outside == []
    assert len(seen.ids) == len(set(seen.ids))
    assert {t.removeprefix("#") for t in seen.targets} <= set(seen.ids)
    assert {p.mark for p in job.site.piers} <= set(seen.ids)
    assert set(re.findall(r"https?://[^\s\"'<>]+", page)) <= {"http://www.w3.org/2000/svg"}
    assert len(page.encode()) < 15_000_000
    assert "no structural design" in page


def test_names_cannot_break_the_page(job: Job) -> None:
    info = job.site.spec.site.model_copy(update={"name": "<script>alert(1)</script> & Co"})
    spec = job.site.spec.model_copy(update={"site": info})
    text = html(replace(job, site=replace(job.site, spec=spec)))
    assert "<script>alert" not in text
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp; Co" in text


def test_the_command_writes_either(run: Run, site: Path, tmp_path: Path) -> None:
    for name, start in (("b.html", b"<!doctype html>"), ("b.pdf", b"%PDF-")):
        code, out, err = run("brief", site, "--to", tmp_path / name)
        assert (code, err) == (0, "")
        assert (tmp_path / name).read_bytes().startswith(start)
        assert name in out


@pytest.mark.parametrize("name", ["brief.doc", "brief", "-"])
def test_another_ending_is_one_line(run: Run, site: Path, tmp_path: Path, name: str) -> None:
    code, out, err = run("brief", site, "--to", tmp_path / name)
    assert (code, out) == (2, "")
    assert err == f"--to: {name} ends neither in .html nor in .pdf; name the file brief.html or brief.pdf\n"
    assert not (tmp_path / name).exists()
