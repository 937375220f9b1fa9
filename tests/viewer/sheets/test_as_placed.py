"""Drilling and plate sheets from a survey: places by arithmetic, read back from page and DXF."""

from __future__ import annotations

import io
from collections.abc import Mapping
from pathlib import Path

import ezdxf
import numpy as np
import pytest

from clash.fits.as_built import as_built
from clash.judge import judge
from models.site import Site
from models.survey.shots import shots_in
from tests.support.survey import SITE, as_csv, built, survey
from tests.viewer.running import DEMO, Run
from viewer.drawing.dxf import dxf
from viewer.drawing.layers import Layer
from viewer.drawing.recording import record
from viewer.paper.job import Job, SheetFile
from viewer.paper.survey import Survey, placed_sheet

INCH = 25.4
HERE = SITE.replace("units: ft-in}", "units: ft-in}\nshots: {fit: as it stands}")
Points = list[tuple[str, float, float, float]]


@pytest.fixture
def quay(tmp_path: Path) -> Site:
    return built(tmp_path, HERE)


def sheets(site: Site, points: Points, name: str, only: str | None = None) -> dict[str, SheetFile]:
    found = as_built(site, shots_in(as_csv(points, digits=9), "walk.csv", site.spec))
    job = Job(site, judge(site), "2025-05-06")
    return {file.stem: file for file in placed_sheet(name)(job, Survey(found, "0123456789ab", only))}


def shot(site: Site, off: Mapping[str, tuple[float, float]], missing: tuple[str, ...] = ()) -> Points:
    return [point for point in survey(site, off) if point[0] not in missing]


def words(file: SheetFile) -> str:
    return " ".join(w.replace("\n", " ") for page in file.pages for w, _, _ in record(page).texts)


def in_beam(file: SheetFile, long: float, wide: float) -> list[tuple[float, float]]:
    """(along from the left end, across from the upper face), mm, of the holes in the stretched picture."""
    found = record(file.pages[0])
    lines = np.array([[*a, *b] for layer, a, b in found.strokes if layer is Layer.OUTLINE])
    left, low = lines[:, [0, 2]].min(), lines[:, [1, 3]].min()
    right, high = lines[:, [0, 2]].max(), lines[:, [1, 3]].max()
    return sorted(
        ((x - left) / (right - left) * long, (high - y) / (high - low) * wide)
        for layer, (x, y), _ in found.circles
        if layer is Layer.HOLES
    )


def cut(file: SheetFile) -> list[tuple[float, float, float]]:
    assert file.cad is not None
    space = ezdxf.read(io.StringIO(dxf(file.cad).decode())).modelspace()
    return [(c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in space.query('CIRCLE[layer=="CUT"]')]


def leaning(points: Points, name: str, dx: float, dz: float) -> Points:
    """With a second shot of a rod, lower by dz and off by -dx: it leans dx in dz to the east."""
    (top,) = (p for p in points if p[0] == name)
    return [*points, (name, top[1] - dx, top[2], top[3] - dz)]


def test_holes_of_a_beam_are_where_the_rods_were_measured(quay: Site) -> None:
    # The beam begins 12 in west of Q1 and is 22 ft long, 8 in wide: rods 8 and 16 in from its end, then 10 ft
    # on; 4 in from its north face. Q2's first rod stands 0.3 in east and 0.2 in north: less across.
    file = sheets(quay, shot(quay, {"Q2 ROD 1": (0.3 * INCH, 0.2 * INCH)}), "drilling")[
        "drilling-B1-as-placed"
    ]
    want = [(120.0 * n + k, 4.0) for n in range(3) for k in (8.0, 16.0)]
    want[2] = (128.3, 3.8)
    assert np.array(in_beam(file, 264 * INCH, 8 * INCH)) == pytest.approx(np.array(want) * INCH, abs=0.01)
    said = words(file)
    assert "AS MEASURED" in said
    assert "walk.csv (0123456789ab), each point sure to 0.12 in" in said  # the site's usual .01 ft
    assert "AS DRAWN" not in said
    assert "0.37 in" in said  # hypot(0.3, 0.2) = 0.3606, rounded up


def test_a_leaning_rod_is_met_at_the_middle_of_the_beam(quay: Site) -> None:
    # Q2's first rod: its top 13 in above the concrete as drawn, a shot 10 in lower stands 1 in to the west,
    # so 0.1 in of lean in an inch. The beam is 11 1/4 in deep and lies on the pier: its middle is at
    # 5 5/8 in, 7 3/8 in under the rod's top: 0.7375 in west of it; from underside to top 1.125 in.
    points = leaning(shot(quay, {}), "Q2 ROD 1", INCH, 10 * INCH)
    file = sheets(quay, points, "drilling")["drilling-B1-as-placed"]
    at = in_beam(file, 264 * INCH, 8 * INCH)
    assert at[2] == pytest.approx(((128.0 - 0.7375) * INCH, 4.0 * INCH), abs=0.01)
    said = words(file)
    assert "1.13 in" in said
    assert "Hole 3 of the drawn size: TOO LITTLE ROOM" in said
    assert "5 of the rods were measured at one height" in said


def test_a_rod_that_was_not_shot_is_told_and_not_drawn(quay: Site) -> None:
    file = sheets(quay, shot(quay, {}, ("Q2 ROD 1",)), "drilling")["drilling-B1-as-placed"]
    at = in_beam(file, 264 * INCH, 8 * INCH)
    want = [(120.0 * n + k, 4.0) for n in range(3) for k in (8.0, 16.0) if (n, k) != (1, 8.0)]
    assert np.array(at) == pytest.approx(np.array(want) * INCH, abs=0.01)
    said = words(file)
    assert said.count("NOT MEASURED") >= 2
    assert "Rod 1 (W) of Q2 was not measured." in said


def test_a_plate_is_cut_where_its_rods_were_measured(quay: Site) -> None:
    # Rods 8 in apart, holes 1 5/16 in: the first stands 1 in too far west, and its plate does not drop on.
    made = sheets(quay, shot(quay, {"P2 ROD 1": (-INCH, 0.0)}), "plate")
    assert list(made) == ["plate-P2-as-placed"]
    want = [(-5.0, -4.0), (-4.0, 4.0), (4.0, -4.0), (4.0, 4.0)]
    found = np.array(sorted(cut(made["plate-P2-as-placed"])))
    assert found[:, :2] == pytest.approx(np.array(want) * INCH, abs=0.01)
    assert found[:, 2] == pytest.approx(21 / 32 * INCH, abs=0.01)
    said = words(made["plate-P2-as-placed"])
    for part in ("AS PLACED", "FOR THE ENGINEER TO DECIDE", "walk.csv", "1.00 in"):
        assert part in said


def test_a_plate_that_drops_on_is_drawn_when_asked_for_and_lean_counts(quay: Site) -> None:
    # P1's first rod: 5 in above the concrete; 1/20 in of lean in an inch to the east. The plate lies at
    # 1 1/2 in, or at the level of the greatest top with its least grout, 1 in; all tops are as drawn, so it
    # lies at 1 in; 3/4 in thick, its middle is at 1 3/8 in: 3 5/8 in under the top, 0.18125 in to the west.
    points = leaning(shot(quay, {}), "P1 ROD 1", 0.2 * INCH, 4 * INCH)
    made = sheets(quay, points, "plate", "P1")
    assert list(made) == ["plate-P1-as-placed"]
    want = [(-4.18125, -4.0), (-4.0, 4.0), (4.0, -4.0), (4.0, 4.0)]
    found = np.array(sorted(cut(made["plate-P1-as-placed"])))[:, :2]
    assert found == pytest.approx(np.array(want) * INCH, abs=0.01)


def test_a_plate_of_which_a_rod_was_not_shot_has_nothing_to_cut(quay: Site) -> None:
    file = sheets(quay, shot(quay, {}, ("P2 ROD 3",)), "plate")["plate-P2-as-placed"]
    assert cut(file) == []
    assert file.cad is not None
    space = ezdxf.read(io.StringIO(dxf(file.cad).decode())).modelspace()
    assert not [e for e in space if e.dxf.layer == "CUT"]
    holes = sorted((c.dxf.center.x, c.dxf.center.y) for c in space.query('CIRCLE[layer=="HOLES"]'))
    want = [(-4.0, -4.0), (4.0, -4.0), (4.0, 4.0)]
    assert np.array(holes) == pytest.approx(np.array(want) * INCH, abs=0.01)
    assert "Hole 3: NOT MEASURED, and not drawn." in words(file)


def test_a_hole_that_runs_out_of_the_plate_keeps_it_from_the_machine(quay: Site) -> None:
    # 14 in plate: 7 in to its edge; 2.5 in west of -4 in, a hole of 21/32 in about it runs out.
    file = sheets(quay, shot(quay, {"P2 ROD 1": (-2.5 * INCH, 0.0)}), "plate")["plate-P2-as-placed"]
    assert cut(file) == []
    assert "CAN'T BE CUT SO: hole 1 runs out of the plate" in words(file)


def test_by_tape_the_beam_sheet_says_that_piers_were_not_measured(quay: Site) -> None:
    text = "pier,rod,from W,from S\n" + "".join(f'Q{n},{k},{8 * k}",12"\n' for n in (1, 2, 3) for k in (1, 2))
    found = as_built(quay, shots_in(text, "tape.csv", quay.spec))
    assert found.shots.tape
    job = Job(quay, judge(quay), "2025-05-06")
    (file,) = placed_sheet("drilling")(job, Survey(found, "0123456789ab"))
    assert "MEASURE BETWEEN PIERS" in words(file)
    assert "NOT MEASURED: measure from pier to pier" in words(file)


@pytest.mark.parametrize("name", ["drilling", "plate"])
def test_the_demo_in_full(run: Run, tmp_path: Path, name: str) -> None:
    code, _, err = run("sheet", name, DEMO, "--to", tmp_path / "p", "--shots", DEMO / "shots.csv")
    assert (code, err) == (0, "")
    # what-was-placed.md: P14 does not drop on, P19 lacks a shot, P22 is too close to tell.
    stems = ("B1", "B2", "B3") if name == "drilling" else ("PL1-P14", "PL2-P19", "PL2-P22")
    assert {p.stem for p in (tmp_path / "p").iterdir()} == {f"{name}-{stem}-as-placed" for stem in stems}


def test_pages_of_the_demo_keep_their_words_apart(demo_job: Job) -> None:
    site = demo_job.site
    found = as_built(site, shots_in((DEMO / "shots.csv").read_text(encoding="utf-8"), "shots.csv", site.spec))
    for name in ("drilling", "grout", "plate"):
        for file in placed_sheet(name)(demo_job, Survey(found, "0123456789ab")):
            for page in file.pages:
                assert record(page).overlaps() == [], file.stem
                if page.window is None:
                    assert record(page).outside(page.width, page.height) == [], file.stem


@pytest.mark.parametrize("name", ["bars", "template"])
def test_other_sheets_know_no_survey(run: Run, tmp_path: Path, name: str) -> None:
    target = tmp_path / "p"
    code, out, err = run("sheet", name, DEMO, "--to", target, "--shots", DEMO / "shots.csv")
    assert (code, out, len(err.splitlines())) == (2, "", 1)
    assert f"the sheet {name} knows no survey" in err
    assert not target.exists()


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (("--pier", "P14"), "--pier: goes with the sheet plate and with --shots"),
        (("--pier", "P1", "--shots", DEMO / "shots.csv"), "pier P1 has no plate of which a rod was measured"),
        (("--shots", DEMO / "none.csv"), "none.csv"),
    ],
)
def test_what_can_not_be_is_one_line(run: Run, tmp_path: Path, more: tuple[object, ...], says: str) -> None:
    target = tmp_path / "p"
    code, out, err = run("sheet", "plate", DEMO, "--to", target, *more)
    assert (code, out, len(err.splitlines())) == (2, "", 1), err
    assert says in err
    assert not target.exists()
