"""Reading a site file: what it becomes, and the one line that each mistake gets, at its exact place."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from models.problems import BadInput, Problem
from models.reading import read_site, read_site_file
from tests.support.example_site import SCHEDULE, SITE, column_of, line_of, with_schedule, write

IN = 25.4


def problems(folder: Path, text: str) -> tuple[Problem, ...]:
    with pytest.raises(BadInput) as told:
        read_site(write(folder, text))
    assert all("\n" not in str(problem) for problem in told.value.problems)
    return told.value.problems


def test_the_example_becomes_mm(tmp_path: Path) -> None:
    spec, sha256 = read_site(write(tmp_path))
    assert sha256 == hashlib.sha256(SITE.encode()).hexdigest()
    assert [pier.mark for pier in spec.piers] == ["P1", "P2", "P3"]
    assert set(spec.kinds) == {"tall", "post"}
    tall = spec.piers[0]
    assert (tall.top, tall.bottom) == (2743.2, 304.8)
    assert tall.outline.square == pytest.approx(18 * IN)
    assert tall.cage is not None
    assert tall.cage.ties is not None
    assert tall.cage.verticals.size == "No. 6"
    assert tall.cage.ties.size == "No. 3"
    assert tall.cage.ties.crossties is not None
    assert tall.cage.ties.crossties.pairs == [(2, 6), (4, 8)]
    assert tall.seat.rods is not None
    assert tall.seat.rods.pattern.grid == (1, 2)
    assert tall.concrete.cover.side == pytest.approx(2.5 * IN)
    assert tall.required.rod_bar_clear == pytest.approx(IN)
    assert spec.piers[2].seat.rods is not None
    assert spec.piers[2].seat.rods.bar == "No. 8"
    assert spec.site.flood is not None
    assert spec.site.flood.base_flood_elevation == 3352.8
    assert spec.answered[0].date == "2025-05-06"


def test_a_pier_differs_from_its_kind_in_one_thing_alone(tmp_path: Path) -> None:
    spec, _ = read_site(write(tmp_path))
    first, second, _ = spec.piers
    assert first.cage is not None
    assert first.cage.ties is not None
    assert second.cage is not None
    assert second.cage.ties is not None
    assert first.cage.ties.spacing == 304.8
    assert second.cage.ties.spacing == 203.2
    assert second.cage.ties.model_copy(update={"spacing": 304.8}) == first.cage.ties
    assert second.cage.verticals == first.cage.verticals
    assert second.seat == first.seat


def test_places_of_piers_and_kinds_are_told(tmp_path: Path) -> None:
    read = read_site_file(write(tmp_path))
    assert read.pier_places["P2"].line == line_of(SITE, "- mark: P2")
    assert read.kind_places["post"].line == line_of(SITE, "  post:")


# Old text, new text, where the problem is to stand (the text that begins there), what it says.
ONE = [
    # units, signs, ranges
    (
        "units: ft-in",
        "units: feet",
        "feet",
        "units of the site: feet is not known here; write one of ft-in, mm",
    ),
    ("  units: ft-in\n", "", "site:", "units of the site is missing; write units: ft-in"),
    ('aggregate: 3/4"', "aggregate: 19", "19\n", 'aggregate of the concrete: 19 has no unit; write 19"'),
    ('aggregate: 3/4"', 'aggregate: -3/4"', '-3/4"\n', "is not more than 0; write a figure above 0"),
    ('aggregate: 3/4"', "aggregate: 0", "0\n  exposure", "0 is not more than 0"),
    ("strength: 5000 psi", "strength: 5000", "5000", "5000 does not say its unit; write 5000 psi"),
    ('least: 3/4"', 'least: -3/4"', '-3/4", most', "least of the grout of the seat of kind post"),
    ('most: 1 1/2"', 'most: 1/2"', '1/2"}\n      template', "the most is less than the least"),
    (
        'spacing: 12"',
        "spacing: .nan",
        ".nan",
        "spacing of the ties of the cage of kind tall: .nan is not a length",
    ),
    ('spacing: 12"', "spacing: .inf", ".inf", ".inf is not a length that can be built"),
    ('spacing: 12"', "spacing: 99999999 ft", "99999999", "longer than 10,000 km"),
    ("turn: 45", "turn: 450", "450", "turn of pier P2: 450 is more than a full turn"),
    ("start: 45", "start: east", "east}", "east is not an angle; write degrees"),
    ("plies: 3", "plies: 30", "30\n    overhang", "30 is more than 12; write at most 12"),
    # types
    ('spacing: 12"', "spacing: [12 in]", "spacing: [12 in]", "a list where a length should be"),
    ('spacing: 12"', "spacing: {a: b}", "spacing: {a: b}", "a block of fields where a length should be"),
    ('spacing: 12"', "spacing:", "spacing:\n", 'of kind tall is empty; write spacing: 8"'),
    ("count: 8\n", "count: 8.5\n", "8.5", "8.5 is not a count; write a whole number"),
    ("count: 8\n", "count: many\n", "many", "many is not a count"),
    ("count: 8\n", "count: -8\n", "-8\n", "-8 is less than 3; write at least 3"),
    ("pairs: [[2, 6], [4, 8]]", "pairs: 3", "3\n      dowels", "3 where a list should be; write [[4, 4]]"),
    ("[[2, 6], [4, 8]]", "[[2], [4, 8]]", "[2], ", "item 1 of the pairs of the crossties"),
    ("[[2, 6], [4, 8]]", "[[2, 6, 7], [4, 8]]", "[2, 6, 7]", "it has 3 items; give at most 2"),
    (
        '{square: 18"}',
        'square 18"',
        'square 18"',
        "where a block of fields should be; write its fields: square",
    ),
    ("placing:\n  rods set by: template", "placing: hand", "hand", "placing: hand where a block of fields"),
    (
        "date: 2025-05-06",
        "date: {a: b}",
        "date: {a",
        "date of answer 1: a block of fields where a text should be",
    ),
    (
        "piers: [P1, P2]",
        "piers: P1",
        "P1\n    width",
        "piers of beam B1: P1 where a list should be; write [P7]",
    ),
    # words
    ("use: column", "use: colum", "colum", "did you mean column? write one of column, pedestal"),
    ("hook: 90", "hook: 180", "180}", "180 is not known here; write one of none, 90"),
    (
        "exits: [top]",
        "exits: [up]",
        "up]",
        "item 1 of the exits of embed conduit of kind tall: up is not known",
    ),
    # fields
    (
        'spacing: 12"',
        'spacign: 12"\n        spacing: 12"',
        'spacign: 12"',
        "no such field; did you mean spacing?",
    ),
    ("placing:", "plaicng:", "plaicng:", "plaicng: there is no such field; did you mean placing?"),
    (
        '        spacing: 12"\n',
        "",
        "ties:\n        size: 3",
        "spacing of the ties of the cage of kind tall is missing",
    ),
    # sizes
    ("size: 3\n", "size: 33\n", "33\n", "there is no bar size '33' here; write one of No. 3, No. 4"),
    (
        "size: 3\n",
        "size: #3\n",
        "#3\n",
        '# begins a comment in YAML, so nothing is left of #3; write No. 3, 3 or "#3"',
    ),
    ("{size: No. 5, count: 6}", "{size: #5, count: 6}", "#5, ", "# begins a comment in YAML"),
    (
        'diameter: 3/4"\n',
        'diameter: 0.9"\n',
        '0.9"',
        "no nut is listed for a rod of this diameter; rods listed are",
    ),
    # names
    ("kind: post}", "kind: psot}", "psot", "kind of pier P3: there is no kind psot; did you mean post?"),
    ("kind: post}", "kind: 12}", "12}", "there is no kind 12; the kinds are tall, post"),
    ("piers: [P1, P2]", "piers: [P1, Q9]", "Q9", "pier 2 of beam B1: there is no pier Q9"),
    ("piers: [P1, P2]", "piers: [P1, P1]", "P1]", "P1 is in the list twice"),
    ("piers: [P1, P2]", "piers: [P1]", "piers: [P1]", "a beam over one pier needs its direction"),
    ("mark: P3", "mark: p1", "p1,", "p1 is the mark of two piers, here and on line 95"),
    ("mark: P3", "mark: 07", "07,", "07 is a number, not a mark; a spreadsheet turns 07 into 7"),
    ("mark: P3", "mark: P/3", "P/3,", "P/3 cannot be a mark"),
    ("name: GB1", "name: B1", "B1\n    piers", "B1 is the name of something else already"),
    (
        "        count: 8",
        "        count: 8\n        Count: 9",
        "Count: 9",
        "Count is given twice, here and as count on",
    ),
    # one thing said twice, or not at all
    (
        '{square: 18"}',
        '{square: 18", round: 18"}',
        '18"}\n    use',
        "square and round exclude each other; keep one",
    ),
    (
        '{square: 18"}',
        "{center: [0, 0]}",
        "outline: {center",
        "it says too little; give one of square, rectangle",
    ),
    ("count: 4, start: 45", "start: 45", '10", start', "a circle needs the count of its rods"),
    ('grid: [1, 2], spacing: 8"', "grid: [1, 2]", "grid: [1", "a grid needs its spacing"),
    (
        "count: 4, start: 45",
        'count: 4, spacing: 3"',
        '3"}\n        embedment',
        "spacing goes with grid, not with circle",
    ),
    ("end: L", "end: plate", "plate\n      plate", "end: plate needs head_plate"),
    (
        "        end: L\n",
        "",
        '"#8"',
        "a bar has no thread for a nut at its foot; write end: plain, plate, L or J",
    ),
    (
        "level on: shims",
        "level on: nuts",
        "nuts\n",
        "bar anchors have no leveling nuts; write level_on: shims",
    ),
    ('      shim: {square: 2"}\n', "", "shims", "shims need the plan of a shim"),
    ("width: 24\", top: 1'", "top: 1'", "{name: GB1", "grade beam GB1: it needs its width beside its start"),
    ("end: [30', 0]", "end: [-2', 0]", "end: [-2'", "end of grade beam GB1: it ends where it starts"),
    # what cannot exist
    ('spacing: 12"', 'spacing: 5/16"', '5/16"', 'ties 3/8" thick would run into each other'),
    ('spacing: 12"', "spacing: 1 mm", "1 mm", 'ties 3/8" thick would run into each other'),
    ('{square: 18"}', "{square: 2 km}", "2 km", "2 km is not a length"),
    ('{square: 18"}', "{square: 2000 m}", "2000 m", "2000 m is longer than 1 km, and nothing of a pier is"),
    ("top: 9', bottom: 1'", "top: 900', bottom: 1'", "900'", "the pier would be 899'-0\" tall"),
    (
        "top: 9', bottom: 1'",
        "top: 1', bottom: 9'",
        "9', kind",
        "bottom of pier P1: the bottom is not below the top",
    ),
    ('{side: 2 1/2"', '{side: 9"', '9", top', '9" on both sides leaves nothing of a pier 1\'-6" wide'),
    (
        '{square: 18"}',
        '{square: 6"}',
        "No. 6\n        count",
        'inside the ties there are 1/4", and two of these bars',
    ),
    (
        "      verticals:\n        size",
        '      size: 19"\n      verticals:\n        size',
        '19"',
        "the cage is wider than its",
    ),
    ("[4, 8]]", "[4, 9]]", "9]]", "there is no vertical 9; verticals are numbered 1 to 8"),
    ("[4, 8]]", "[4, 4]]", "[4, 4]", "a crosstie from vertical 4 to itself"),
    ("count: 6}", "per face: {x: 2, y: 2}}", "per face", "a round cage has no faces; give count"),
    (
        'spacing: 12"\n',
        'spacing: 12"\n        lap: 6"\n',
        '6"\n        top',
        "only round hoops lap; leave it off",
    ),
]


@pytest.mark.parametrize(("old", "new", "at", "says"), ONE)
def test_one_mistake_is_one_line_at_its_place(tmp_path: Path, old: str, new: str, at: str, says: str) -> None:
    assert SITE.count(old) == 1, old
    text = SITE.replace(old, new)
    (problem,) = problems(tmp_path, text)
    assert says in str(problem)
    assert (problem.place.line, problem.place.column) == (line_of(text, at), column_of(text, at))
    assert str(problem).startswith(f"site.yaml, line {problem.place.line}, column {problem.place.column}: ")


def test_two_kinds_of_one_name_are_told_with_both_lines(tmp_path: Path) -> None:
    text = SITE.replace("  post:", "  tall:").replace("kind: post}", "kind: tall}")
    (problem,) = problems(tmp_path, text)
    assert "tall is given twice, here and on line 24; keep one of them" in str(problem)
    assert (problem.place.line, problem.place.column) == (line_of(SITE, "  post:"), 3)


def test_all_mistakes_are_told_at_once_in_their_order(tmp_path: Path) -> None:
    text = SITE.replace("use: column", "use: pillar").replace("turn: 45\n", "turn: 450\n")
    text = text.replace("kind: post}", "kind: zzz}").replace("strength: 5000 psi", "strength: 5")
    found = problems(tmp_path, text)
    assert [p.place.line for p in found] == [line_of(text, w) for w in ("strength", "pillar", "450", "zzz")]


def test_a_mistake_in_a_kind_is_told_once_however_many_piers_share_it(tmp_path: Path) -> None:
    text = SITE.replace('spacing: 12"', "spacing: 12").replace("embedment: 3'-0\"", "embedment: deep")
    found = problems(tmp_path, text)
    assert len(found) == 2
    assert all("kind tall" in str(p) for p in found)


def test_a_mistake_in_the_concrete_of_the_site_is_told_once(tmp_path: Path) -> None:
    (problem,) = problems(tmp_path, SITE.replace('side: 2 1/2"', "side: 64"))
    assert str(problem).startswith(
        "site.yaml, line 14, column 17: side of the cover of the concrete: 64 has no unit"
    )


def test_a_bad_hook_of_rods_needs_its_bend_and_its_tail(tmp_path: Path) -> None:
    text = SITE.replace('diameter: 3/4"\n', 'diameter: 3/4"\n        end: J\n')
    found = [str(p) for p in problems(tmp_path, text)]
    assert len(found) == 2
    assert "end: J needs bend" in found[0]
    assert "end: J needs tail" in found[1]


def test_the_survey_foot_moves_coordinates_and_nothing_else(tmp_path: Path) -> None:
    spec, _ = read_site(write(tmp_path, SITE.replace("foot: international", "foot: us survey")))
    assert spec.piers[1].x == pytest.approx(10 * 1200 / 3937 * 1000, abs=1e-9)
    assert spec.piers[0].top == pytest.approx(9 * 1200 / 3937 * 1000, abs=1e-9)
    assert spec.piers[0].seat.rods is not None
    assert spec.piers[0].seat.rods.embedment == 36 * IN
    assert spec.grade_beams[0].end == pytest.approx((30 * 1200 / 3937 * 1000, 0.0), abs=1e-9)


def test_a_site_in_mm_takes_bare_numbers(tmp_path: Path) -> None:
    text = """\
site: {name: Pump house, units: mm, rules: en-1992}
concrete: {cover: {side: 50, top: 50, bottom: 50}}
kinds:
  Post:
    outline: {rectangle: [400, 500]}
    cage:
      verticals: {size: 16, per face: {x: 3, y: 3}}
      ties: {size: 10 mm, spacing: 200}
piers:
  - {mark: A1, x: 1000, y: 2.5 m, top: 2000, bottom: 0, kind: Post}
"""
    spec, _ = read_site(write(tmp_path, text))
    pier = spec.piers[0]
    assert pier.outline.rectangle == (400.0, 500.0)
    assert (pier.x, pier.y, pier.top) == (1000.0, 2500.0, 2000.0)
    assert pier.cage is not None
    assert pier.cage.verticals.size == "16 mm"
    assert pier.seat.type == "none"


@pytest.mark.parametrize("word", ["none", "None", "", "null", "~"])
@pytest.mark.parametrize("field", ["cage", "seat"])
def test_none_or_nothing_takes_a_block_away(tmp_path: Path, field: str, word: str) -> None:
    text = SITE.replace(
        'turn: 45\n    cage:\n      ties: {spacing: 8"}\n', f"turn: 45\n    {field}: {word}\n"
    )
    text = text.replace("piers: [P1, P2]", "piers: [P1, P3]")
    spec, _ = read_site(write(tmp_path, text))
    if field == "cage":
        assert spec.piers[1].cage is None
    else:
        assert spec.piers[1].seat.type == "none"
        assert spec.piers[1].seat.rods is None
    assert spec.piers[0].cage is not None
    assert spec.piers[0].seat.rods is not None


def test_a_difference_replaces_another_way_of_saying_the_same_thing(tmp_path: Path) -> None:
    text = SITE.replace(
        '      ties: {spacing: 8"}\n',
        '      verticals: {per face: {x: 3, y: 3}}\n    outline: {rectangle: [18", 20"]}\n'
        '    seat: {rods: {pattern: {at: [[0, 4"], [0, -4"]]}}}\n',
    )
    spec, _ = read_site(write(tmp_path, text))
    pier = spec.piers[1]
    assert pier.outline.square is None
    assert pier.outline.rectangle == (18 * IN, 20 * IN)
    assert pier.cage is not None
    assert pier.cage.verticals.count is None
    assert pier.cage.verticals.per_face is not None
    assert pier.cage.verticals.size == "No. 6"
    assert pier.seat.rods is not None
    assert pier.seat.rods.pattern.grid is None
    assert pier.seat.rods.pattern.spacing is None
    assert pier.seat.rods.pattern.at == [(0.0, 4 * IN), (0.0, -4 * IN)]


def test_a_difference_may_change_a_part_of_the_same_way(tmp_path: Path) -> None:
    text = SITE.replace(
        '      ties: {spacing: 8"}\n',
        '      ties: {spacing: 8"}\n    seat: {rods: {pattern: {spacing: 9 in}}}\n',
    )
    spec, _ = read_site(write(tmp_path, text))
    assert spec.piers[1].seat.rods is not None
    assert spec.piers[1].seat.rods.pattern.grid == (1, 2)
    assert spec.piers[1].seat.rods.pattern.spacing == 9 * IN


def test_a_schedule_gives_the_same_piers_as_the_list(tmp_path: Path) -> None:
    listed, _ = read_site(write(tmp_path))
    write(tmp_path, SCHEDULE, "piers.csv")
    text = with_schedule().replace(
        "schedule: piers.csv\n", "schedule: piers.csv\n  differences: {P2: {turn: 45}}\n"
    )
    scheduled, sha256 = read_site(write(tmp_path, text, "scheduled.yaml"))
    assert scheduled.piers == listed.piers
    assert sha256 == hashlib.sha256(text.encode() + SCHEDULE.encode()).hexdigest()


def test_differences_of_unknown_marks_are_refused(tmp_path: Path) -> None:
    write(tmp_path, SCHEDULE, "piers.csv")
    text = with_schedule().replace(
        "schedule: piers.csv\n", "schedule: piers.csv\n  differences: {PP2: {turn: 45}}\n"
    )
    (problem,) = problems(tmp_path, text)
    assert "the schedule has no pier PP2; did you mean P2?" in str(problem)
    assert problem.place.line == line_of(text, "differences")


def test_differences_do_not_rename_a_pier(tmp_path: Path) -> None:
    write(tmp_path, SCHEDULE, "piers.csv")
    text = with_schedule().replace(
        "schedule: piers.csv\n", "schedule: piers.csv\n  differences: {P2: {mark: P9}}\n"
    )
    (problem,) = problems(tmp_path, text)
    assert "differences of P2: the mark is the schedule's; leave it off" in str(problem)


def test_an_unread_schedule_is_the_only_thing_told(tmp_path: Path) -> None:
    (problem,) = problems(tmp_path, with_schedule(schedule="nowhere.csv"))
    assert str(problem).startswith("nowhere.csv: there is no such schedule; looked for")


# Files that are no site files.
@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "the file is empty"),
        (b" \n\n", "the file is empty"),
        (b"\xef\xbb\xbf", "the file is empty"),
        (b"# only a comment\n", "nothing but comments"),
        (b"a: \0\1\2", "this is no text"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "this is no text"),
        (b"site: \x81\x8d", "this is no text"),
        (b"- a\n- b\n", "line 1, column 1: the file is not a block of fields"),
        (b"just words\n", "line 1, column 1: the file is not a block of fields"),
        (b"a: \x07\n", "line 1, column 4: a character here cannot be shown"),
    ],
)
def test_files_that_are_no_site_files(tmp_path: Path, data: bytes, says: str) -> None:
    path = tmp_path / "site.yaml"
    path.write_bytes(data)
    with pytest.raises(BadInput) as told:
        read_site(path)
    (problem,) = told.value.problems
    assert says in str(problem)
    assert str(problem).startswith("site.yaml")


def test_a_missing_file_a_folder_and_a_path_that_is_none(tmp_path: Path) -> None:
    for path, says in (
        (tmp_path / "nowhere.yaml", "there is no such site file"),
        (tmp_path, "this is a folder"),
        (tmp_path / "a\0b", "a?b: there is no such site file"),
    ):
        with pytest.raises(BadInput) as told:
            read_site(path)
        assert says in str(told.value)
        assert len(told.value.problems) == 1


def test_a_file_of_50_mb_is_refused_unread(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "site.yaml"
    with path.open("wb") as file:
        file.truncate(50_000_000)

    def never(_: Path) -> bytes:
        raise AssertionError("a file too large was read")

    monkeypatch.setattr(Path, "read_bytes", never)
    with pytest.raises(BadInput, match="the file has 50 MB, and a site file has at most 5 MB"):
        read_site(path)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_what_windows_does_to_a_file_does_not_matter(tmp_path: Path, encoding: str, newline: str) -> None:
    plain, _ = read_site(write(tmp_path))
    text = SITE.replace("3'-0\"", "3\u2019-0\u201d").replace('1 1/2"', "1\u00bd\u201d").replace("\n", newline)
    path = tmp_path / "windows.yaml"
    path.write_bytes(text.encode(encoding))
    spec, _ = read_site(path)
    assert spec == plain
