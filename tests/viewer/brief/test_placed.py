"""The briefing from a survey: placed against drawn, in picture and words."""

from __future__ import annotations

import re
from math import hypot
from pathlib import Path

import pytest

from clash.fits.as_built import as_built
from clash.judge import judge
from models.reading.loading import load_site
from models.site import Site
from models.survey.shots import read_shots
from tests.support.survey import SITE, as_csv, built, dowels, judged, survey
from tests.viewer.running import DEMO, Run
from viewer.brief.after import After, after_pour
from viewer.brief.cards import cards
from viewer.brief.html import html
from viewer.brief.paper import pages
from viewer.brief.placed_picture import beside, draw_placed
from viewer.drawing.layers import Layer
from viewer.drawing.marks import Box, Fill
from viewer.drawing.page import Draft
from viewer.drawing.recording import record
from viewer.paper.job import Job

INCH = 25.4


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    return built(tmp_path_factory.mktemp("site"), SITE + "shots: {fit: as it stands}\n")


@pytest.fixture(scope="module")
def demo() -> tuple[Job, dict[str, After]]:
    site = load_site(DEMO / "reedbank.yaml")
    found = as_built(site, read_shots(DEMO / "shots.csv", site.spec))
    return Job(site, judge(site), "2025-05-06"), after_pour(found)


def _after(site: Site, points: list[tuple[str, float, float, float]]) -> dict[str, After]:
    return after_pour(judged(site, as_csv(points, digits=9)))


def test_the_arrow_is_as_long_as_the_factor_says(site: Site) -> None:
    # Rod 3 stood 1 in too far west. The rods are drawn 8 in apart: on the paper the arrow is factor x 1 / 8
    # of the distance between their circles, and runs to the left.
    one = _after(site, survey(site, rods={"P1 ROD 3": (-INCH, 0.0)}))["P1"].marks
    assert one is not None
    draft = Draft(180.0, 100.0)
    draw_placed(draft, one, Box(1.0, 1.0, 179.0, 99.0))
    found = record(draft.page())
    circles = [center for layer, center, _ in found.circles if layer is Layer.CONCRETE]
    tips = [mark.points[0] for mark in draft.marks if isinstance(mark, Fill) and mark.layer is Layer.PLACED]
    (tip,) = [tip for tip in tips if tip[0] < 100.0]  # that from above; the other is from the side
    apart = max(x for x, _ in circles) - min(x for x, _ in circles)
    moved = one.factor * apart / 8.0
    # It starts at the circle of rod 3, (4, 4) or (-4, 4) in from the center: one of the upper two.
    starts = [c for c in circles if hypot(c[0] - moved - tip[0], c[1] - tip[1]) < 1e-3]
    assert len(starts) == 1
    assert starts[0][1] == max(y for _, y in circles)
    assert (
        beside(one)
        == f"Arrows from drawn to placed, {one.factor} times as long as measured. Dashed: as drawn."
    )
    assert found.overlaps() == []


def test_nothing_is_drawn_where_the_measuring_could_have_made_it(site: Site) -> None:
    one = _after(site, survey(site, rods={"P1 ROD 3": (-1.0, 0.0)}))["P1"]  # .01 ft is 3 mm
    assert one.marks is not None
    draft = Draft(180.0, 100.0)
    draw_placed(draft, one.marks, Box(1.0, 1.0, 179.0, 99.0))
    assert not any(layer is Layer.PLACED for layer, _, _ in record(draft.page()).strokes)
    assert one.off == (
        "All 4 measured rods and dowels: within 0.12 in, which is what the measuring is sure to.",
    )


def test_a_few_words_in_figures_that_were_planted(site: Site) -> None:
    after = _after(site, survey(site, rods={"P1 ROD 3": (-INCH, 0.0)}, tops={"P2": (0.0, 50.8, 19.05)}))
    assert after["P1"].off[0].endswith(": 1.00 in W.")
    assert any(said.startswith("Plate: does not drop on") for said in after["P1"].says)
    assert after["P2"].says[0] == "Stands off: 2.00 in N."
    assert "Top of concrete, highest shot: 0.75 in high." in after["P2"].says
    # The level is P2's top and its least grout of 1 in, so that P1 comes to have 3/4 in more.
    assert "Grout: 1.00 in." in after["P2"].says
    assert "Grout: 1.75 in." in after["P1"].says
    assert after["P1"].held
    assert any("Beam B1: drops on" in said or "Beam B1: too close" in said for said in after["Q2"].says)


def test_a_rod_that_leans(site: Site) -> None:
    points = survey(site)
    name, x, y, z = next(p for p in points if p[0] == "P1 ROD 1")
    after = _after(site, [*points, (name, x - 12.7, y, z - 101.6)])  # 1/2 in east in 4 in of height
    assert any(said.endswith("leans: 0.50 in E in 4.00 in of height.") for said in after["P1"].off)


def test_dowels_before_the_pour_leave_the_walk_before_the_pour(site: Site) -> None:
    after = _after(site, dowels(site, {"P3 DOWEL 2": (0.0, 50.8)}))
    made = {card.pier.mark: card for card in cards(site, judge(site), after)}
    assert made["P3"].walk[0] == "Before the pour"
    assert made["P3"].walk[1] == made["P3"].checks
    assert any(said.endswith(": 2.00 in N.") for said in after["P3"].off)
    assert after["Q1"].says[0] == "As placed: NOT CHECKED, nothing of it was measured."
    shot = _after(site, survey(site))
    poured = {card.pier.mark: card for card in cards(site, judge(site), shot)}
    assert poured["P3"].walk[0] == "Before steel is set"
    assert "Underside of the plate marked and leveled: 4'-1\"." in poured["P3"].walk[1]


def test_by_tape_the_concrete_is_not_checked(site: Site, tmp_path: Path) -> None:
    path = tmp_path / "tape.csv"
    path.write_text('pier,rod,from W,from S\nP1,1,8",8"\nP1,2,16",8"\nP1,3,8",17"\nP1,4,16",16"\n')
    after = after_pour(as_built(site, read_shots(path, site.spec)))
    assert after["P1"].says[0].endswith("where the concrete itself stands is NOT CHECKED.")
    assert after["P1"].off[0].endswith(": 1.00 in N.")
    assert not after["P1"].poured


def test_every_page_of_the_demo(demo: tuple[Job, dict[str, After]]) -> None:
    job, after = demo
    made = pages(job, after, "shots.csv")
    assert len(made) == 1 + len(job.site.piers)
    for n, page in enumerate(made):
        found = record(page)
        assert found.overlaps() == [], n
        assert found.outside(page.width, page.height) == [], n
        lowest = min(box.low for words, box, _ in found.texts if "structural" not in words)
        assert lowest > 9.0, n
    # P7 and P19 are not on HOLD, and whether steel drops on there is not known.
    assert sum(w == "NOT CHECKED" for w, _, _ in record(made[0]).texts) == 2
    words = " ".join(w for w, _, _ in record(made[14]).texts)
    for said in (
        "P14",
        "Placed against drawn",
        "5 times as long as measured",
        "does not drop on",
        "1.00 in W",
    ):
        assert said in words, said


def test_in_the_file_for_the_phone(demo: tuple[Job, dict[str, After]]) -> None:
    job, after = demo
    text = html(job, after, 'shots.csv (0123456789ab), each point sure to 1/16"')
    assert text.count("Placed against drawn") == len(job.site.piers)
    assert text.count("times as long as measured. Dashed: as drawn.") == len(job.site.piers)
    assert "As placed: shots.csv (0123456789ab)" in text
    card = re.search(r'<article id="P19".*?</article>', text, re.DOTALL)
    assert card is not None
    assert "Rod 4 (SE): NOT MEASURED." in card[0]
    assert "<h2>P19 <span>NOT CHECKED</span></h2>" in card[0]
    assert 'class="hold">NOT CHECKED</text>' in text.partition("<article")[0]
    assert "Plate: NOT CHECKED: rod 4 (SE) of P19 was not measured." in card[0]
    assert "Placed against drawn" not in html(job)
    # P14 is on HOLD for what was placed, and for nothing that was drawn.
    card = re.search(r'<article id="P14".*?</article>', text, re.DOTALL)
    assert card is not None
    assert "<h2>P14 <span>ON HOLD</span></h2>" in card[0]
    assert "Nothing found as drawn." in card[0]
    assert "Nothing found by this check." not in text


def test_the_command_takes_a_survey(run: Run, tmp_path: Path) -> None:
    for name in ("b.html", "b.pdf"):
        code, out, err = run("brief", DEMO, "--to", tmp_path / name, "--shots", DEMO / "shots.csv")
        assert (code, err) == (0, "")
    (tmp_path / "bad.csv").write_text("x\n")
    code, out, err = run("brief", DEMO, "--to", tmp_path / "c.html", "--shots", tmp_path / "bad.csv")
    assert (code, out) == (2, "")
    assert "bad.csv" in err
    assert not (tmp_path / "c.html").exists()
