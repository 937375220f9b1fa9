"""Schedules: a table of piers from CSV or XLSX, and what spreadsheets do to it, told by the cell."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from models.problems import BadInput, Problem
from models.reading.schedule import address, read_schedule
from models.reading.site_file import read_site
from tests.support.example_site import SCHEDULE, with_schedule, write

HEADER = ["mark", "x", "y", "top", "bottom", "kind"]
ROW = ["P1", "0", "0", "9'", "1'", "tall"]


def csv_of(folder: Path, text: str | bytes) -> Path:
    path = folder / "piers.csv"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


def xlsx_of(folder: Path, rows: list[list[Any]], title: str = "Piers") -> Path:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = title
    for row in rows:
        sheet.append(row)
    path = folder / "piers.xlsx"
    book.save(path)
    return path


def problems_of(path: Path, sheet: str | None = None) -> tuple[Problem, ...]:
    """The problems of a schedule, whether it could be read or not."""
    try:
        return tuple(read_schedule(path, sheet)[1])
    except BadInput as told:
        return told.problems


def test_addresses_of_cells() -> None:
    assert [address(7, n) for n in (1, 3, 26, 27, 52, 53, 702, 703)] == [
        "A7", "C7", "Z7", "AA7", "AZ7", "BA7", "ZZ7", "AAA7",
    ]  # fmt: skip


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
def test_a_csv_in_any_of_its_forms(tmp_path: Path, delimiter: str, newline: str) -> None:
    plain, _, _ = read_schedule(csv_of(tmp_path, SCHEDULE), None)
    text = SCHEDULE.replace(",", delimiter).replace("\n", newline)
    piers, problems, _ = read_schedule(csv_of(tmp_path, text), None)
    assert problems == []
    assert piers == plain
    assert piers[1] == {
        "mark": "P2", "x": "10'", "y": "0'", "top": "9'-0 1/2\"", "bottom": "1'", "kind": "tall",
        "cage": {"ties": {"spacing": '8"'}},
    }  # fmt: skip
    assert piers[1]["top"].place.cell == "D3"


def test_a_csv_in_windows_letters(tmp_path: Path) -> None:
    text = SCHEDULE.replace('9\'-0 1/2""', "9\u2019-0\u00bd\u201d")
    piers, problems, _ = read_schedule(csv_of(tmp_path, text.encode("cp1252")), None)
    assert problems == []
    assert piers[1]["top"] == "9\u2019-0\u00bd\u201d"


def test_blank_rows_are_skipped_and_still_counted(tmp_path: Path) -> None:
    piers, problems, _ = read_schedule(csv_of(tmp_path, SCHEDULE.replace("P2", "\n,,,\nP2")), None)
    assert problems == []
    assert piers[1]["mark"].place.cell == "A5"


def test_header_names_do_not_mind_case_and_spaces(tmp_path: Path) -> None:
    text = SCHEDULE.replace("mark,x", " Mark ,X").replace("cage.ties.spacing", "Cage. Ties .Spacing")
    piers, problems, _ = read_schedule(csv_of(tmp_path, text), None)
    assert problems == []
    assert piers == read_schedule(csv_of(tmp_path, SCHEDULE), None)[0]


def test_an_xlsx_gives_the_same_piers_as_the_csv(tmp_path: Path) -> None:
    rows = [
        line.split("|")
        for line in SCHEDULE.replace('""', "''").replace('"', "").replace(",", "|").split("\n")
    ]
    rows = [[cell.replace("''", '"') for cell in row] for row in rows]
    piers, problems, _ = read_schedule(xlsx_of(tmp_path, rows), "Piers")
    assert problems == []
    assert piers == read_schedule(csv_of(tmp_path, SCHEDULE), None)[0]
    assert piers[1]["top"].place.cell == "D3"


@pytest.mark.parametrize(
    ("old", "new", "cell", "says"),
    [
        ("P1,0'", "P1,6-Mar", "B2", "the spreadsheet has turned this cell into a date (6-Mar); format it"),
        ("P1,0'", "P1,3-Jun", "B2", "into a date (3-Jun)"),
        ("P1,0'", "P1,Jun-03", "B2", "into a date (Jun-03)"),
        ("P1,0'", "P1,3/6/2025", "B2", "into a date"),
        ("P1,0'", "P1,2025-06-03", "B2", "into a date"),
        ("P1,", "1-Mar,", "A2", "into a date"),
        ("mark,x", "mark,ex", "B1", "ex is no column of a schedule"),
        ("cage.ties.spacing", "cage.ties.spacign", "G1", "did you mean cage.ties.spacing?"),
        ("cage.ties.spacing", "cage.ties.spacing.more", "G1", "cage.ties.spacing has nothing below it"),
        ("cage.ties.spacing", "top", "G1", "the column top is there twice, here and in D1"),
        ("tall,,first", 'tall,,first,extra', "I2", "extra stands in a column without a header"),
        ("tall,,first", 'tall,,"first\nsecond"', "H2", "this cell runs over several lines"),
    ],
)  # fmt: skip
def test_what_is_wrong_in_a_csv_has_its_cell(
    tmp_path: Path, old: str, new: str, cell: str, says: str
) -> None:
    found = problems_of(csv_of(tmp_path, SCHEDULE.replace(old, new, 1)))
    assert found[0].place.cell == cell
    assert says in str(found[0])
    assert str(found[0]).startswith(f"piers.csv, cell {cell}: ")


def test_missing_columns_are_named_once(tmp_path: Path) -> None:
    (problem,) = problems_of(csv_of(tmp_path, "mark,x,y,kind\nP1,0',0',tall\nP2,0',0',tall\n"))
    assert str(problem).startswith("piers.csv, cell A1: the columns are missing in the header: top, bottom")


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "the file is empty"),
        (b",,,\n,,,\n", "the schedule is empty"),
        (b"mark,x,y,top,bottom,kind\n", "no piers below its header"),
        (b"\0\1\2", "this is no text"),
        (b'mark,"' + b"x" * 200_000, "cannot be read as cells"),
        (b"PK\x03\x04 and nothing more", "no workbook that can be read"),
    ],
)
def test_files_that_are_no_schedules(tmp_path: Path, data: bytes, says: str) -> None:
    (problem,) = problems_of(csv_of(tmp_path, data))
    assert says in str(problem)


def test_an_unclosed_quote_is_told_at_its_cell(tmp_path: Path) -> None:
    (problem,) = problems_of(csv_of(tmp_path, SCHEDULE.replace("20'", "\"20'")))
    assert problem.place.cell == "B4"
    assert "a quote is opened and not closed" in str(problem)


def test_a_cell_that_cannot_be_used_is_told_once_and_not_missed_as_well(tmp_path: Path) -> None:
    csv_of(tmp_path, SCHEDULE.replace("P3,20'", "P3,6-Mar").replace('"8"""', "3-Jun"))
    with pytest.raises(BadInput) as told:
        read_site(write(tmp_path, with_schedule()))
    assert [p.place.cell for p in told.value.problems] == ["G3", "B4"]
    assert all("into a date" in str(p) for p in told.value.problems)


@pytest.mark.parametrize(
    ("value", "says"),
    [
        (datetime.datetime(2025, 6, 3), "the spreadsheet has turned this cell into a date"),
        (datetime.time(12, 30), "the spreadsheet has turned this cell into a date"),
        ("#REF!", "this cell holds the error #REF!"),
        ("=1+1", "a formula whose value was not saved"),
    ],
)
def test_what_a_spreadsheet_did_to_a_cell_is_told_by_its_address(
    tmp_path: Path, value: object, says: str
) -> None:
    (problem,) = problems_of(xlsx_of(tmp_path, [HEADER, ["P1", "0", value, *ROW[3:]]]))
    assert problem.place.cell == "C2"
    assert says in str(problem)


def test_merged_cells_are_refused_by_their_address(tmp_path: Path) -> None:
    path = xlsx_of(tmp_path, [HEADER, ROW, ["P2", *ROW[1:]]])
    book = openpyxl.load_workbook(path)
    book["Piers"].merge_cells("F2:F3")
    book.save(path)
    (problem,) = problems_of(path)
    assert str(problem) == "piers.xlsx, cell F2:F3: these cells are merged; unmerge them and fill each in"


@pytest.mark.parametrize(("mark", "shown"), [(7, "7"), (1e2, "100"), (2.5, "2.5")])
def test_a_mark_that_became_a_number_is_refused(tmp_path: Path, mark: float, shown: str) -> None:
    xlsx_of(tmp_path, [HEADER, [mark, *ROW[1:]], ["P2", *ROW[1:]]])
    with pytest.raises(BadInput) as told:
        read_site(write(tmp_path, _no_beams(with_schedule(schedule="piers.xlsx"))))
    (problem,) = told.value.problems
    assert str(problem).startswith("piers.xlsx, cell A2: mark of pier ")
    assert f"{shown} is a number, not a mark; a spreadsheet turns 07 into 7 and 1E2 into 100" in str(problem)


def test_a_number_in_a_workbook_is_a_bare_number(tmp_path: Path) -> None:
    xlsx_of(tmp_path, [HEADER, ["P1", 0, 12.5, *ROW[3:]]])
    with pytest.raises(BadInput) as told:
        read_site(write(tmp_path, _no_beams(with_schedule(schedule="piers.xlsx"))))
    (problem,) = told.value.problems
    assert str(problem).startswith("piers.xlsx, cell C2: y of pier P1: 12.5 has no unit")


def test_sheets_are_chosen_by_name(tmp_path: Path) -> None:
    path = xlsx_of(tmp_path, [HEADER, ROW])
    book = openpyxl.load_workbook(path)
    book.create_sheet("Notes").append(["words", "words"])
    book.save(path)
    assert read_schedule(path, "Piers")[0][0]["mark"] == "P1"
    (several,) = problems_of(path)
    assert "several sheets: Piers, Notes; say which, like sheet: Piers" in str(several)
    (unknown,) = problems_of(path, "Pears")
    assert "there is no sheet Pears; did you mean Piers?" in str(unknown)


def test_an_empty_second_sheet_does_not_matter(tmp_path: Path) -> None:
    path = xlsx_of(tmp_path, [HEADER, ROW])
    book = openpyxl.load_workbook(path)
    book.create_sheet("Sheet2")
    book.save(path)
    assert len(read_schedule(path, None)[0]) == 1


def test_old_workbooks_and_sheets_of_a_csv_are_refused(tmp_path: Path) -> None:
    old = tmp_path / "piers.xls"
    old.write_bytes(b"\xd0\xcf\x11\xe0")
    assert "save it as .xlsx or .csv" in str(problems_of(old)[0])
    assert "a CSV has no sheets" in str(problems_of(csv_of(tmp_path, SCHEDULE), "Piers")[0])


def test_bad_cells_are_told_with_the_pier_and_the_cell(tmp_path: Path) -> None:
    csv_of(tmp_path, SCHEDULE.replace("P3,20',0',4'", "P3,20',0',").replace('"8"""', "8"))
    with pytest.raises(BadInput) as told:
        read_site(write(tmp_path, with_schedule()))
    assert [str(p).split(";")[0] for p in told.value.problems] == [
        "piers.csv, cell G3: spacing of the ties of the cage of pier P2: 8 has no unit",
        "piers.csv, cell D4: top of pier P3 is empty",
    ]


@pytest.mark.parametrize("row", ["P3,20',0',,1',tall", "P3,20',0'", "P3,20',0',,,,,"])
def test_an_empty_cell_of_a_needed_column_is_told_at_the_cell(tmp_path: Path, row: str) -> None:
    lines = SCHEDULE.splitlines()
    csv_of(tmp_path, "\n".join([*lines[:3], row, *lines[4:]]) + "\n")
    with pytest.raises(BadInput) as told:
        read_site(write(tmp_path, with_schedule()))
    cells = [p.place.cell for p in told.value.problems]
    assert cells == (["D4"] if "tall" in row else ["D4", "E4", "F4"])
    assert str(told.value.problems[0]) == (
        'piers.csv, cell D4: top of pier P3 is empty; fill in its cell, like 8"'
    )


def test_an_empty_cell_of_another_column_takes_nothing_from_the_kind(tmp_path: Path) -> None:
    csv_of(tmp_path, SCHEDULE.replace('"8"""', ""))
    spec, _ = read_site(write(tmp_path, with_schedule()))
    assert {p.cage.ties.spacing for p in spec.piers if p.kind == "tall" and p.cage and p.cage.ties} == {304.8}


def test_a_row_with_a_note_alone_is_one_line(tmp_path: Path) -> None:
    xlsx_of(tmp_path, [HEADER, ROW, ["", None], ["Note: elevations from the station datum"]])
    with pytest.raises(BadInput) as told:
        read_site(write(tmp_path, _no_beams(with_schedule(schedule="piers.xlsx"))))
    assert [str(p) for p in told.value.problems] == [
        "piers.xlsx, cell A4: this row holds nothing but Note: elevations from the station datum, and every "
        "row is a pier; empty it; notes go into a column named notes"
    ]


@pytest.mark.parametrize(
    ("shown_as", "unit"),
    [
        ('0.00" ft"', "ft"), ('0.00\\ "ft."', "ft"), ("0.00'", "ft"), ('0.00" m"', "m"), ('0\\"', "in"),
        ('0.00" inches"', "inches"), ('[Red]0.0" ft"', "ft"),
    ],
)  # fmt: skip
def test_a_unit_that_only_the_format_shows_is_told(tmp_path: Path, shown_as: str, unit: str) -> None:
    path = xlsx_of(tmp_path, [HEADER, ["P1", "0", 4.5, *ROW[3:]]])
    book = openpyxl.load_workbook(path)
    book["Piers"]["C2"].number_format = shown_as
    book.save(path)
    with pytest.raises(BadInput) as told:
        read_site(write(tmp_path, _no_beams(with_schedule(schedule="piers.xlsx"))))
    assert [str(p) for p in told.value.problems] == [
        f"piers.xlsx, cell C2: Excel shows the unit {unit} here, but the cell itself holds the bare number "
        f"4.5; format the cell as text and type 4.5 {unit}"
    ]


@pytest.mark.parametrize(
    "shown_as", ["General", "0.00", '0" mm"', "0.0%", '0"\u00b0"', "#,##0", "[$-409]0.00"]
)
def test_other_formats_leave_a_number_alone(tmp_path: Path, shown_as: str) -> None:
    path = xlsx_of(tmp_path, [HEADER, ["P1", "0", 4.5, *ROW[3:]]])
    book = openpyxl.load_workbook(path)
    book["Piers"]["C2"].number_format = shown_as
    book.save(path)
    assert read_schedule(path, None)[0][0]["y"] == "4.5"


def test_a_block_and_a_part_of_it_exclude_each_other(tmp_path: Path) -> None:
    text = SCHEDULE.replace("notes", "cage").replace('"8""",', '"8""",none').replace("first", "")
    (problem,) = problems_of(csv_of(tmp_path, text))
    assert problem.place.cell == "H3"
    assert "cage is given as a whole and in part" in str(problem)


def _no_beams(text: str) -> str:
    return text[: text.index("\nbeams:")] + text[text.index("\npiers:") :]
