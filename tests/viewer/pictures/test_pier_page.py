"""The page of a pier: true to scale, with its figures, numbered as in the report, no words on anything."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from clash.judge import judge
from models.part import Role
from models.reading.loading import load_site
from tests.viewer.running import DEMO, ROOT, START
from viewer.drawing.layers import Layer
from viewer.drawing.marks import Area
from viewer.drawing.page import Page
from viewer.drawing.recording import Recorded, record
from viewer.legend.looks import LEVELS, role_look
from viewer.paper.job import Job
from viewer.pictures.made import page, sheets
from viewer.pictures.pier_plan import top_ties
from viewer.pictures.pier_side import sides
from viewer.pictures.scale import words_of_scale

INCH = 25.4
SITES = [
    START,
    *(ROOT / "models/examples/light-pole").glob("*.yaml"),
    *(ROOT / "tests/faults/sites").glob("*"),
]


def job_of(path: Path) -> Job:
    site = load_site(path)
    return Job(site, judge(site), "2025-05-06")


def drawn(job: Job, marks: set[str] | None = None) -> Iterator[tuple[str, Page]]:
    piers = [pier for pier in job.site.piers if marks is None or pier.mark in marks]
    for sheet in sheets(job, piers):
        yield sheet.pier.mark, page(sheet, space=False)[0]


@pytest.fixture(scope="module")
def demo() -> Job:
    return job_of(DEMO / "reedbank.yaml")


@pytest.fixture(scope="module")
def recorded(demo: Job) -> dict[str, tuple[Page, Recorded]]:
    return {mark: (made, record(made)) for mark, made in drawn(demo)}


def words(found: Recorded) -> list[str]:
    return [said for said, _, _ in found.texts]


def test_no_words_lie_on_words_or_parts_in_the_demo(recorded: dict[str, tuple[Page, Recorded]]) -> None:
    assert len(recorded) == 24
    for mark, (made, found) in recorded.items():
        assert found.overlaps() == [], mark
        assert found.outside(made.width, made.height) == [], mark


@pytest.mark.parametrize("path", SITES, ids=lambda p: p.stem)
def test_no_words_lie_on_words_or_parts_elsewhere(path: Path) -> None:
    for mark, made in drawn(job_of(path)):
        found = record(made)
        assert found.overlaps() == [], mark
        assert found.outside(made.width, made.height) == [], mark


def test_a_metric_site_goes_on_its_own_paper_in_its_own_scales() -> None:
    job = job_of(ROOT / "tests/faults/sites/hoops.yaml")
    assert job.site.spec.site.units == "mm"
    ((_, made),) = drawn(job)
    assert (made.width, made.height) == (210.0, 297.0)
    scales = {w for w in words(record(made)) if re.fullmatch(r"1:[\d.]+", w)}
    assert scales
    assert scales <= {f"1:{s:g}" for s in (1, 2, 2.5, 5, 7.5, 10, 15, 20, 25, 50, 75, 100)}


def test_the_recording_of_a_page_sees_words_within_a_bar(recorded: dict[str, tuple[Page, Recorded]]) -> None:
    """The check above can fail: a word in the middle of a swatch of steel is found."""
    made, found = recorded["P1"]
    swatch = next(rings for area, rings in found.areas if area.layer is Layer.STEEL and len(rings[0]) == 4)
    middle = np.mean(swatch[0], axis=0)
    text = replace(
        next(m for m in made.marks if getattr(m, "words", "") == "Key"),
        at=(float(middle[0]) - 0.1, float(middle[1]) - 0.1),
        words="i",
        height=0.2,
    )
    assert record(replace(made, marks=(*made.marks, text))).overlaps() == ["'i' within a part"]


def struck_out(found: Recorded) -> list[str]:
    """Words that a dimension line, a center line or a leader runs through."""
    lines = [
        (a, b) for layer, a, b in found.strokes if layer in (Layer.DIMENSIONS, Layer.CENTER, Layer.SHEET)
    ]
    return [w for w, box, _ in found.texts if any(box.grown(-0.35).crossed(a, b) for a, b in lines)]


def test_no_line_runs_through_words(recorded: dict[str, tuple[Page, Recorded]]) -> None:
    for mark, (_, found) in recorded.items():
        assert struck_out(found) == [], mark


@pytest.mark.parametrize("path", SITES, ids=lambda p: p.stem)
def test_no_line_runs_through_words_elsewhere(path: Path) -> None:
    for mark, made in drawn(job_of(path)):
        assert struck_out(record(made)) == [], mark


def test_more_findings_than_there_is_room_for_are_counted_and_flagged(demo: Job) -> None:
    (sheet,) = sheets(demo, [p for p in demo.site.piers if p.mark == "P12"])
    first = sheet.watch[0]
    assert first.at is not None
    x, y, z = first.at
    many = tuple(
        replace(
            first, number=n, level=("HOLD", "TIGHT", "NOT CHECKED")[n % 3], at=(x + 8.0 * n, y, z - 40.0 * n)
        )
        for n in range(1, 31)
    )
    made, _ = page(replace(sheet, watch=many), space=False)
    found = record(made)
    assert found.overlaps() == []
    assert found.outside(made.width, made.height) == []
    flat = " ".join(words(found))
    rest = re.search(r"(\d+) to 30: in the report of pierclear check", flat)
    assert rest is not None
    told = {
        int(w)
        for w, box, layer in found.texts
        if layer is Layer.FINDINGS and box.left > 120.0 and box.high < 160
    }
    assert told >= set(range(1, int(rest[1])))


def discs(found: Recorded, color: str, left_of: float) -> list[tuple[float, float, float]]:
    """Center and diameter of the round steel of a color in the plan, mm on paper."""
    out = []
    for area, rings in found.areas:
        ring = np.array(rings[0])
        if (
            area.layer is Layer.STEEL
            and area.fill == color
            and len(ring) == 48
            and ring[:, 0].max() < left_of
        ):
            low, high = ring.min(axis=0), ring.max(axis=0)
            out.append((*((low + high) / 2.0).tolist(), float(high[0] - low[0])))
    return out


def test_the_plan_is_true_to_its_scale(recorded: dict[str, tuple[Page, Recorded]]) -> None:
    # P1: 24 in square at 1:8; eight No. 6 (3/4 in) verticals, outermost in the ties' corners; rods of 1 in,
    # 8 in apart: all from reedbank.yaml.
    _, found = recorded["P1"]
    assert '1:8 (1 1/2" = 1\'-0")' in words(found)
    verticals = discs(found, role_look(Role.VERTICAL).color, 115.0)
    assert len(verticals) == 8
    assert [d for _, _, d in verticals] == pytest.approx([0.75 * INCH / 8.0] * 8, rel=2e-3)
    rods = sorted(discs(found, role_look(Role.ROD).color, 115.0))
    assert len(rods) == 2
    assert rods[1][0] - rods[0][0] == pytest.approx(8.0 * INCH / 8.0, abs=1e-6)
    assert rods[1][1] == pytest.approx(rods[0][1], abs=1e-6)
    concrete = [np.array(r[0]) for a, r in found.areas if a.layer is Layer.TONE]
    widths = [float(np.ptp(ring[:, 0])) for ring in concrete]
    assert max(widths) == pytest.approx(24.0 * INCH / 8.0, abs=1e-6)
    side = sum(x for x, _, _ in rods) / 2.0
    assert any(abs(float(r[:, 0].mean()) - side) < 1e-6 for r in concrete)


def test_figures_run_from_the_faces_to_the_rods_and_between_them(
    recorded: dict[str, tuple[Page, Recorded]],
) -> None:
    # Rods 4 in east and west of the center of 24 in: 8, 8 and 8; 12 and 12 the other way.
    found = words(recorded["P1"][1])
    assert found.count('8"') == 3
    assert found.count("1'-0\"") == 2
    assert found.count("2'-0\"") >= 2
    # P12's rods stand 10 1/4 in north of the center: 1 3/4 in to the N face, 1'-10 1/4" to the S face.
    north = words(recorded["P12"][1])
    assert '1 3/4"' in north
    assert "1'-10 1/4\"" in north
    # Embedment and projection in both elevations; the first tie 3 in to its top and half of 1/2 in on.
    assert found.count("3'-0\"") == 2
    assert found.count("1'-6 1/2\"") == 2
    assert found.count('3 1/4"') == 2
    assert found.count("7'-0\"") == 2
    assert found.count("top") == found.count("bottom") == 2


def test_faces_are_named_by_the_winds_of_the_site() -> None:
    # anchors.yaml is turned by 45 degrees: its faces look between the winds.
    ((_, made),) = drawn(job_of(ROOT / "tests/faults/sites/anchors.yaml"))
    faces = {w for w in words(record(made)) if w.endswith(" face")}
    assert faces == {"NE face", "NW face", "SW face", "SE face"}


def test_spots_have_the_numbers_of_the_report_in_every_view(
    demo: Job, recorded: dict[str, tuple[Page, Recorded]]
) -> None:
    for sheet in sheets(demo, demo.site.piers):
        _, found = recorded[sheet.pier.mark]
        numbers = sorted(int(w) for w, _, layer in found.texts if layer is Layer.FINDINGS)
        # Plan, two elevations, and the list of sentences.
        assert numbers == sorted(
            [n.number for n in sheet.watch if n.at] * 3 + [n.number for n in sheet.watch]
        )
        flat = " ".join(words(found))
        for note in sheet.watch:
            assert " ".join(note.says.split()[:4]) in flat


def test_the_rings_lie_on_the_spots(demo: Job) -> None:
    # P8's only spot lies between the dowel at (-1.9, -6.65) and the vertical at (0, -6.875) in: reedbank.yaml
    # and 15 1/2 in of cage. Halfway between their surfaces, for they are equally thick: halfway of centers.
    (sheet,) = sheets(demo, [p for p in demo.site.piers if p.mark == "P8"])
    found = record(page(sheet, space=False)[0])
    color = LEVELS["HOLD"].color
    rings = [np.array(r[0]).mean(axis=0) for a, r in found.areas if a.rim == color and not a.fill]
    assert len(rings) == 3
    plan = discs(found, role_look(Role.VERTICAL).color, 115.0)
    center = np.array([(min(v) + max(v)) / 2.0 for v in zip(*((x, y) for x, y, _ in plan), strict=True)])
    expected = center + np.array([-1.9 / 2.0, -(6.65 + 6.875) / 2.0]) * INCH / 8.0
    assert min(float(np.hypot(*(ring - expected))) for ring in rings) < 0.02


def test_elevations_are_chosen_for_their_spots(demo: Job) -> None:
    by_mark = {sheet.pier.mark: sheet for sheet in sheets(demo, demo.site.piers)}
    # what-you-should-find.md: P12's rods are at its north face, P8's dowel at the south.
    for mark, first in (("P12", (0.0, 1.0)), ("P8", (0.0, -1.0))):
        one, other = sides(by_mark[mark].pier, by_mark[mark].watch)
        assert one.toward == first
        assert one.toward[0] * other.toward[0] + one.toward[1] * other.toward[1] == 0.0


def test_near_bars_lie_over_far_ones(recorded: dict[str, tuple[Page, Recorded]]) -> None:
    # Seen square on, the tie's near leg is drawn after the verticals behind it, its far leg before them.
    made, _ = recorded["P1"]
    steel = [m for m in made.marks if getattr(m, "layer", None) is Layer.STEEL]
    tie, vertical = role_look(Role.TIE).color, role_look(Role.VERTICAL).color
    kinds = [
        m.fill
        for m in steel
        if m.fill in (tie, vertical) and not (isinstance(m, Area) and len(m.rings[0]) > 8)
    ]
    assert kinds.index(tie) < kinds.index(vertical)
    last = len(kinds) - 1 - kinds[::-1].index(vertical)
    assert tie in kinds[last:]


def test_only_the_top_tie_and_flagged_ones_are_cut(demo: Job) -> None:
    pier = next(p for p in demo.site.piers if p.mark == "P15")
    assert top_ties(pier) == {"P15/tie/1"}


def test_epoxy_looks_epoxy_on_paper(recorded: dict[str, tuple[Page, Recorded]]) -> None:
    _, found = recorded["P13"]
    assert len(discs(found, role_look(Role.BAR_ANCHOR, "epoxy").color, 115.0)) == 4
    assert "bar anchor, epoxy" in words(found)


def test_a_missing_view_in_space_leaves_a_sentence(recorded: dict[str, tuple[Page, Recorded]]) -> None:
    flat = " ".join(words(recorded["P1"][1]))
    assert "No view in space" in flat
    assert recorded["P1"][1].images == []


def test_every_page_says_its_site_and_the_caution(
    demo: Job, recorded: dict[str, tuple[Page, Recorded]]
) -> None:
    for mark, (_, found) in recorded.items():
        flat = " ".join(words(found))
        for said in ("Reedbank Field Station", mark, "2025-05-06", demo.site.sha256[:12]):
            assert said in flat
        assert "no structural design" in flat
        assert "ask the engineer" in flat


def test_scales_in_words() -> None:
    # 12 in over 8 is 1 1/2 in to the foot; over 32, 3/8.
    from models.lengths import Units

    assert words_of_scale(8.0, Units.FT_IN) == '1:8 (1 1/2" = 1\'-0")'
    assert words_of_scale(32.0, Units.FT_IN) == '1:32 (3/8" = 1\'-0")'
    assert words_of_scale(12.0, Units.FT_IN) == '1:12 (1" = 1\'-0")'
    assert words_of_scale(2.5, Units.MM) == "1:2.5"


def test_words_without_room_are_listed_and_none_is_dropped(
    demo: Job, recorded: dict[str, tuple[Page, Recorded]]
) -> None:
    for pier in demo.site.piers:
        flat = " ".join(words(recorded[pier.mark][1]))
        over = [p for p in pier.parts if p.role in (Role.TEMPLATE, Role.PLATE, Role.BEAM)]
        assert over
        for part in over:
            assert part.label in flat.split(" Key ")[-1] or part.label in flat
        rods = [p for p in pier.parts if p.role in (Role.ROD, Role.BAR_ANCHOR)]
        word = "rod" if rods[0].role is Role.ROD else "anchor"
        assert all(f"{word} {n}" in words(recorded[pier.mark][1]) for n in range(1, len(rods) + 1))
    # The short anchors of row C leave no room over them for the template's name.
    assert "Without room in the views: template." in words(recorded["P13"][1])
