"""Every mistake in a site file gets one line, at its exact place, in plain words."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.support.example_site import SITE, column_of, line_of, problems

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
    ("pairs: [[2, 6], [4, 8]]", "pairs: 3", "3\n      dowels", "3 where a list should be; write [[2, 6]]"),
    ("[[2, 6], [4, 8]]", "[[2], [4, 8]]", "[2], ", "item 1 of the pairs of the crossties"),
    ("[[2, 6], [4, 8]]", "[[2, 6, 7], [4, 8]]", "[2, 6, 7]", "it has 3 items; give at most 2"),
    # ties by number
    (
        'spacing: 12"',
        'spacing: 12"\n        moved: {x: 1"}',
        'x: 1"',
        "x is not a count; write a whole number",
    ),
    ('spacing: 12"', 'spacing: 12"\n        moved: {0: 1"}', '0: 1"}', "0 is less than 1; write at least 1"),
    (
        'spacing: 12"',
        'spacing: 12"\n        moved: {3: 1/2}',
        "1/2}",
        '1/2 has no unit; write 1/2" if inches',
    ),
    (
        'spacing: 12"',
        'spacing: 12"\n        moved: up',
        "up\n",
        "moved of the ties of the cage of kind tall: up where a block of fields should be",
    ),
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
    (
        "embedment: 3'-0\"",
        "embedmnt: 3'-0\"",
        "embedmnt",
        "embedmnt of the rods of the seat of kind tall: there is no such field; did you mean embedment?",
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
    (
        '      shim: {square: 2"}\n',
        '      shim: {square: 2"}\n      leveling washer: {size: 3", thickness: 1/4"}\n',
        "leveling washer: {",
        "there are no leveling nuts; write level_on: nuts",
    ),
    (
        'cutouts: [{round: 2"}]',
        "carries: [{name: post, outline: {round: 4 in}, height: 1'}, "
        "{name: post, outline: {round: 1 in}, height: 1'}]",
        "post, outline: {round: 1 in}",
        "post is the name of two things on the plate; rename one",
    ),
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


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("%PDF-1.7\n1 0 obj\n<< /Type /Catalog >>\nendobj\n", "this is a PDF, no site file"),
        ('{"version": 1, "site": "S", "piers": 6, "findings": [{"id": "a"}]}', "a file of findings that"),
        ('{"version": 1, "site": "S", "within_mm": 150, "gaps": []}', "a file of gaps that"),
        ('{"a": {"b": 1}, "c": [1, 2]}', "this is a JSON file, no site file"),
    ],
)
def test_another_file_in_place_of_the_site_file_is_one_line(tmp_path: Path, text: str, says: str) -> None:
    (problem,) = problems(tmp_path, text)
    assert says in str(problem)


def test_a_site_file_may_be_written_as_json(tmp_path: Path) -> None:
    text = '{"site": {"name": "S", "units": "mm"}, "kinds": {}, "piers": []}'
    assert all("JSON" not in str(p) for p in problems(tmp_path, text))
