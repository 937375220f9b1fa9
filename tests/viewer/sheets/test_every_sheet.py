"""What every sheet has to hold, whatever it shows."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import pytest

from models.problems import BadInput
from tests.viewer.running import Run
from viewer.drawing.page import Draft
from viewer.drawing.recording import record
from viewer.paper.job import Job, SheetFile, sheet, sheet_names, unlike
from viewer.paper.title import Title, draw_frame, holds_of, in_words, short

NAMES = ("bars", "drilling", "grout", "plate", "template")
Sheets = Callable[[str], dict[str, SheetFile]]


def test_sheets_are_found_by_their_modules() -> None:
    assert sheet_names() == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_no_words_lie_on_words_or_parts_and_none_run_off_the_paper(name: str, demo_sheets: Sheets) -> None:
    pages = [(stem, n, page) for stem, file in demo_sheets(name).items() for n, page in enumerate(file.pages)]
    assert pages
    for stem, n, page in pages:
        found = record(page)
        assert found.overlaps() == [], (stem, n)
        if page.window is None:
            assert found.outside(page.width, page.height) == [], (stem, n)


@pytest.mark.parametrize("name", NAMES)
def test_every_page_says_site_file_date_and_input(name: str, demo_sheets: Sheets, demo_job: Job) -> None:
    for stem, file in demo_sheets(name).items():
        for page in file.pages:
            words = " ".join(w for w, _, _ in record(page).texts)
            for said in ("Reedbank Field Station", stem, "2025-05-06", demo_job.site.sha256[:12]):
                assert said in words
            flat = words.replace("\n", " ")
            assert "no structural design" in flat
            assert "ask the engineer" in flat


def test_open_holds_stand_on_the_sheets_of_their_piers_and_on_no_other(demo_sheets: Sheets) -> None:
    def held(name: str, stem: str) -> bool:
        return all(
            "ON HOLD" in " ".join(w for w, _, _ in record(p).texts) for p in demo_sheets(name)[stem].pages
        )

    # what-you-should-find.md: P15's anchor, P22's plate; of the piers of B2 only P8 is on hold.
    assert held("template", "template-P15")
    assert held("plate", "plate-PL2-P22")
    assert not held("plate", "plate-PL2")
    words = " ".join(w for w, _, _ in record(demo_sheets("drilling")["drilling-B2"].pages[0]).texts)
    assert "P8: " in words
    assert "P4: " not in words


def test_holds_beyond_a_handful_are_counted_with_their_piers(demo_job: Job) -> None:
    marks = [pier.mark for pier in demo_job.site.piers]
    lines = holds_of(demo_job.report, marks)
    assert len(lines) == 5
    assert lines[-1].startswith("and ")
    assert holds_of(demo_job.report, ["P1"]) == ()


def test_marks_are_drawn_together_and_none_is_left_out() -> None:
    assert in_words(["P1", "P2", "P3", "P9", "GATE", "Q01"]) == "P1 to P3, P9, GATE, Q01"


def test_an_unknown_sheet_is_one_line_with_the_nearest() -> None:
    with pytest.raises(BadInput) as bad:
        sheet("templat")
    assert [str(p) for p in bad.value.problems] == [
        "sheet: there is no sheet templat; did you mean template?"
    ]


def test_the_command_writes_files_and_ends_with_0(run: Run, site: Path, tmp_path: Path) -> None:
    target = tmp_path / "paper"
    code, out, _ = run("sheet", "template", site, "--to", target)
    assert code == 0
    names = sorted(p.name for p in target.iterdir())
    assert names
    assert {n.rpartition(".")[2] for n in names} == {"pdf", "dxf"}
    assert all(name in out for name in names)


@pytest.mark.parametrize("name", ["nonsense", "../template", ""])
def test_a_wrong_name_ends_with_2_and_writes_nothing(run: Run, site: Path, tmp_path: Path, name: str) -> None:
    target = tmp_path / "paper"
    code, out, err = run("sheet", name, site, "--to", target)
    assert (code, out) == (2, "")
    assert len(err.splitlines()) == 1
    assert not target.exists()


def test_names_of_files_never_meet_on_a_disk_that_ignores_case() -> None:
    taken: set[str] = set()
    assert [unlike(stem, taken) for stem in ("plate-PL1", "plate-pl1", "plate-PL1", "plate-PL2")] == [
        "plate-PL1",
        "plate-pl1-2",
        "plate-PL1-3",
        "plate-PL2",
    ]


def test_the_help_names_every_sheet(run: Run) -> None:
    _, out, _ = run("sheet", "--help")
    assert all(name in out for name in NAMES)


def test_a_title_stays_short_whatever_piers_it_is_for() -> None:
    marks = [f"M{k}X" for k in range(200)]
    assert short(marks) == "M0X and 199 more"
    draft = Draft(279.4, 215.9)
    title = Title("S" * 200, "Template for " + short(marks), "template-M0X", "2025-05-06", "0" * 12)
    draw_frame(draft, title.on(100, 100, "1:7.5"))
    found = record(draft.page())
    assert found.overlaps() == []
    assert found.outside(279.4, 215.9) == []


def test_pictures_are_written_when_asked_for(run: Run, site: Path, tmp_path: Path) -> None:
    target = tmp_path / "paper"
    assert run("sheet", "bars", site, "--to", target, "--pictures")[0] == 0
    assert sorted(p.name for p in target.iterdir()) == ["bars.pdf", "bars.svg"]
    root = ElementTree.fromstring((target / "bars.svg").read_text(encoding="utf-8"))
    assert "Bars by mark" in {t.text for t in root.iter("{http://www.w3.org/2000/svg}text")}


def test_a_site_without_plates_has_no_sheet_of_plates(run: Run, site: Path, tmp_path: Path) -> None:
    lines = site.read_text(encoding="utf-8").splitlines()
    start = next(i for i, line in enumerate(lines) if line.startswith("  plate pier:"))
    end = next(i for i in range(start + 1, len(lines)) if lines[i] and not lines[i].startswith("   "))
    kept = [*lines[:start], *lines[end:]]
    only = [line for line in kept if not ("mark: P2" in line and not line.lstrip().startswith("#"))]
    site.write_text("\n".join(only) + "\n", encoding="utf-8")
    target = tmp_path / "paper"
    code, out, err = run("sheet", "plate", site, "--to", target)
    assert (code, out) == (2, ""), err
    assert err == "site.yaml: the site has nothing for the sheet plate; see what its seats say\n"
    assert not target.exists()
