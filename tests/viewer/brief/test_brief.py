"""The crew briefing: what it says of each pier, on paper and as one HTML file."""

from __future__ import annotations

import io
import json
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from msgspec.structs import replace

from clash.judge import judge
from models.motion import Motion
from models.reading.loading import load_site
from tests.viewer.running import DEMO, Run
from viewer.brief.cards import Card, cards, states
from viewer.brief.html import _plan_size, html
from viewer.brief.paper import _site, pages
from viewer.brief.solids3d import SOLID, pier_glb, solids, viewer_page
from viewer.drawing.recording import record
from viewer.legend.spots import Watch
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


def _loaded(blob: bytes) -> Any:
    return trimesh.load_scene(io.BytesIO(blob), file_type="glb")


def test_solids_in_space_by_arithmetic(made: dict[str, Card]) -> None:
    # P1: verticals of No. 6 (0.750 in) from 2 in above the bottom to 3 in under the top of 60 in: 55 in long.
    scene = _loaded(pier_glb(made["P1"].pier))
    bars = scene.geometry["vertical"]
    assert len(bars.split()) == 8
    for bar in bars.split():
        # Read in meters, y up, float32; eight sides within a circle have at least 0.92 of its width.
        wide, tall, deep = bar.extents * 1000.0 / INCH
        assert tall == pytest.approx(55.0, abs=1e-3)
        assert 0.92 * 0.75 <= wide <= 0.7501
        assert 0.92 * 0.75 <= deep <= 0.7501
    assert scene.geometry["concrete"].extents * 1000.0 / INCH == pytest.approx([24.0, 60.0, 24.0], abs=1e-3)
    assert not {"beam", "grade beam", "grout"} & set(scene.geometry)


def test_a_turned_pier_stands_in_the_directions_of_the_site(made: dict[str, Card]) -> None:
    # P1's rods stand 4 in to the west and to the east of its center; turned by 90 degrees, south and north.
    pier = made["P1"].pier
    turned = replace(pier, frame=Motion.turned(np.pi / 2.0))
    for one, (x, z) in ((pier, (8.0, 0.0)), (turned, (0.0, 8.0))):
        rods = _loaded(pier_glb(one)).geometry["rod"]
        ends = [rod.centroid[[0, 2]] * 1000.0 / INCH for rod in rods.split()]
        assert np.abs(ends[0] - ends[1]) == pytest.approx([x, z], abs=1e-3)


def test_the_first_look_has_the_whole_pier_in_it(made: dict[str, Card]) -> None:
    for mark in ("P1", "P14", "P24"):
        scene = _loaded(pier_glb(made[mark].pier))
        document = json.loads(_json(pier_glb(made[mark].pier)))
        matrix = np.array(document["nodes"][-1]["matrix"]).reshape(4, 4).T
        assert np.allclose(matrix[:3, :3] @ matrix[:3, :3].T, np.eye(3))
        assert np.linalg.det(matrix[:3, :3]) == pytest.approx(1.0)
        seen = np.concatenate([one.vertices for one in scene.geometry.values()]) - matrix[:3, 3]
        seen = seen @ matrix[:3, :3]  # in the camera's axes: it looks along its own -z
        angle = document["cameras"][0]["perspective"]["yfov"]
        assert (seen[:, 2] < 0.0).all()
        assert (np.abs(seen[:, 1]) <= -seen[:, 2] * np.tan(angle / 2.0)).all()


def _json(blob: bytes) -> bytes:
    """The JSON of a GLB: its first chunk (glTF 2.0, 4.4.3: length, type, data after a header of 12 bytes)."""
    return blob[20 : 20 + int.from_bytes(blob[12:16], "little")]


def test_piers_that_look_alike_share_their_solids(job: Job) -> None:
    found = solids(job.site.piers)
    assert list(found.which) == [p.mark for p in job.site.piers]
    assert found.which["P1"] == found.which["P3"]  # nothing differs in the schedule but where they stand
    assert found.which["P1"] != found.which["P8"]  # whose dowels went astray
    assert len(set(found.blobs)) == len(found.blobs) < len(job.site.piers)


def test_the_viewer_of_the_library_is_one_page_that_needs_nothing() -> None:
    page = viewer_page()
    assert page is not None, "this version of trimesh ships another viewer: the briefing has no view in 3D"
    assert page.count(SOLID) == 1
    assert not re.search(r"<(?:script|link|img)[^>]*(?:src|href)=", page)


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


def test_how_many_are_on_hold_and_not_checked(made: dict[str, Card]) -> None:
    some = [made["P1"], made["P2"], made["P3"]]
    unsure = replace(made["P1"], watch=(Watch(1, "NOT CHECKED", "x", None, None),))
    assert states(some) == "1 of 3 piers on HOLD."
    assert states([unsure, *some]) == "1 of 4 piers on HOLD; something is NOT CHECKED at 1 other."
    assert states([unsure, some[0]]) == "No pier of 2 is on HOLD; something is NOT CHECKED at 1."
    assert states([some[0]]) == "No pier of 1 is on HOLD."
    answered = replace(unsure, watch=(replace(unsure.watch[0], answered="RFI 1"),))
    assert (unsure.state, answered.state, made["P2"].state) == ("NOT CHECKED", "", "HOLD")


def test_a_site_of_many_piers_keeps_its_words_apart(job: Job) -> None:
    # Fifteen of the demo side by side to the north: 360 piers.
    piers = tuple(
        replace(p, mark=f"{p.mark}-{k}", spec=p.spec.model_copy(update={"y": p.spec.y + k * 40 * 12 * INCH}))
        for k in range(15)
        for p in job.site.piers
    )
    many = [Card(p, (), (), ()) for p in piers]
    held = [replace(c, watch=(Watch(1, "HOLD", "x", None, None),)) for c in many[:5]]
    page = _site(job, [*held, *many[5:]], job.title("x", "x", []).on(1, 1, "none"), "", ())
    found = record(page)
    assert found.overlaps() == []
    assert found.outside(page.width, page.height) == []
    assert any(w.startswith("HOLD: P1-0") for w, _, _ in found.texts)
    wide, high = _plan_size(many)
    # 60 rows of 10 ft, one finger (150 units) from row to row, and the margins
    assert (wide, high) == (1000.0, pytest.approx(59 * 150.0 + 160.0))


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
    # What is left is names and a comment of the library's; that nothing is asked for, the browser proves.
    ours = re.sub(r'<script type="application/json" id="viewer">.*?</script>', "", page, flags=re.DOTALL)
    assert set(re.findall(r"https?://[^\s\"'<>]+", ours)) <= {"http://www.w3.org/2000/svg"}
    assert len(page.encode()) < 15_000_000
    assert "no structural design" in page


def test_with_another_viewer_in_the_library_the_pictures_remain(
    job: Job, monkeypatch: pytest.MonkeyPatch
) -> None:
    import viewer.brief.html as module

    monkeypatch.setattr(module, "viewer_page", lambda: None)
    text = html(job)
    assert '<script type="application/json" id="viewer">null</script>' in text
    assert text.count("This browser shows no view in 3D.") == len(job.site.piers)
    assert text.count("<svg") >= 1 + len(job.site.piers)


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
