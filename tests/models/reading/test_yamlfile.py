"""YAML as a builder writes it: text stays text, places are right, and every trap is told in plain words."""

from __future__ import annotations

import pytest

from models.problems import BadInput, Place
from models.reading.yamlfile import Items, Map, Text, load


def test_scalars_stay_the_text_that_was_written() -> None:
    written = [
        "no",
        "yes",
        "on",
        "off",
        "y",
        "010",
        "1_000",
        "12:30",
        "0x1F",
        "1e3",
        "2024-05-01",
        ".nan",
        "=",
    ]
    root, problems = load("".join(f"k{i}: {word}\n" for i, word in enumerate(written)), "f")
    assert problems == []
    assert list(root.values()) == written
    assert all(isinstance(value, Text) for value in root.values())


def test_empty_fields_are_none_and_quoted_ones_are_text() -> None:
    root, _ = load("a:\nb: ~\nc: null\nd: \"\"\ne: 'null'\n", "f")
    assert root == {"a": None, "b": None, "c": None, "d": "", "e": "null"}


def test_lengths_need_no_quotes() -> None:
    root, _ = load('a: 3\'-6 1/2"\nb: [3\'-6", 1/2"]\nc: {d: 6", e: 4\'}\n', "f")
    assert root["a"] == "3'-6 1/2\""
    assert root["b"] == ["3'-6\"", '1/2"']
    assert root["c"] == {"d": '6"', "e": "4'"}


def test_everything_knows_its_place() -> None:
    root, _ = load("é: ½ x\nTop  Group:\n  - {b: 1}\n  - two\n", "f")
    assert (root["é"].place.line, root["é"].place.column) == (1, 4)
    assert root.keys_at["top_group"].line == 2
    items = root["top_group"]
    assert isinstance(items, Items)
    assert isinstance(items[0], Map)
    assert (items[0].place.line, items[0].place.column) == (3, 5)
    assert (items[0]["b"].place.line, items[0]["b"].place.column) == (3, 9)
    assert (items[1].place.line, items[1].place.column) == (4, 5)


@pytest.mark.parametrize("key", ["top_group", "Top group", "TOP-GROUP", "top  group", '"top group"'])
def test_field_names_do_not_mind_case_spaces_hyphens_and_underscores(key: str) -> None:
    assert load(f"{key}: 1\n", "f")[0] == {"top_group": "1"}


def test_names_of_kinds_and_marks_are_kept_as_written() -> None:
    text = "kinds:\n  Tall Pier: {Top Group: 1}\npiers:\n  differences:\n    P-7: {Cage Size: 2}\n"
    root, _ = load(text, "f")
    assert root["kinds"] == {"Tall Pier": {"top_group": "1"}}
    assert root["piers"]["differences"] == {"P-7": {"cage_size": "2"}}


def test_a_field_twice_is_told_with_both_lines() -> None:
    _, problems = load("a: 1\nTop group: 2\nb:\n  c: 1\n  c: 2\ntop_group: 3\n", "f")
    assert [str(p) for p in problems] == [
        "f, line 5, column 3: c is given twice, here and on line 4; keep one of them",
        "f, line 6, column 1: top_group is given twice, here and as Top group on line 2; keep one of them",
    ]


@pytest.mark.parametrize(
    ("text", "line", "column", "number"),
    [
        ("a:\n  size: #8\n", 2, 9, 8),
        ("a:\n  size:  #11  and more\n", 2, 10, 11),
        ("a:\n  size: # 8\n", 2, 9, 8),
        ("a:\n  - #8\n", 2, 5, 8),
    ],
)
def test_a_size_that_a_comment_swallowed(text: str, line: int, column: int, number: int) -> None:
    _, (problem,) = load(text, "f")
    assert (problem.place.line, problem.place.column) == (line, column)
    assert "# begins a comment in YAML" in problem.wrong
    assert problem.instead == f'write No. {number}, {number} or "#{number}"'


def test_a_size_that_a_comment_swallowed_within_braces() -> None:
    with pytest.raises(BadInput) as told:
        load("a:\n  b: {size: #8, count: 4}\nc: 1\n", "f")
    (problem,) = told.value.problems
    assert (problem.place.line, problem.place.column) == (2, 13)
    assert problem.instead == 'write No. 8, 8 or "#8"'


def test_comments_that_are_comments_are_let_be() -> None:
    root, problems = load("a: # the cage\n  b: 1 # 8 of them\nc: # none\n", "f")
    assert problems == []
    assert root == {"a": {"b": "1"}, "c": None}


@pytest.mark.parametrize(
    ("text", "line", "column", "says"),
    [
        ('a: 1\nname: "Reed\nb: 2\n', 2, 7, "the quote that opens here is never closed"),
        ("a: 1\nname: 'Reed\nb: 2\n", 2, 7, "the quote that opens here is never closed"),
        ('a: 1\nname: "Reed\nb: "x"\nc: 3\n', 2, 7, "the quote that opens here is closed only on line 3"),
        ('a: "3\'-6 1/2""\n', 1, 14, "the quote that opens here is never closed"),
        ("a:\n\tb: 1\n", 2, 1, "a tab stands here; indent with spaces"),
        ("a:\n  b: 1\n\tc: 2\n", 3, 1, "a tab stands here; indent with spaces"),
        ("a:\n  b: 1\n c: 2\n", 3, 2, "does not fit the block"),
        ("a: b: c\n", 1, 5, "a second colon on this line"),
        ("a: 1\nb\nc: 2\n", 2, 1, "a colon is missing after the name"),
        ("a: [1, 2\nb: 3\n", 1, 4, "the bracket [ that opens here"),
        ("a: {b: 1\nc: 3\n", 1, 4, "the brace { that opens here"),
        ("a: @x\n", 1, 4, "nothing may begin with @; put quotes round it"),
        ("a: %5\n", 1, 4, "nothing may begin with %"),
        ("a: `x\n", 1, 4, "nothing may begin with `"),
        ("a: *\n", 1, 4, "nothing may begin with *"),
        ("a: *x\n", 1, 4, "* refers to an anchor that is not there"),
        ("a: - b\n", 1, 4, "a list cannot begin on the line of its field"),
        ("a: 1\n---\nb: 2\n", 2, 1, "a second document begins here"),
        ("a: &x [*x]\n", 1, 4, "an anchor here holds itself"),
        ("a: " + "[" * 5000, 1, 4, "nest too deep"),
        ("a: " + "[" * 100 + "]" * 100, 1, 44, "nest too deep"),
        ("a: ]\n", 1, 4, "cannot be read from here on"),
        ("[a]\n", 1, 1, "not a block of fields; begin it with site:"),
    ],
)
def test_what_cannot_be_read_is_one_plain_line_where_it_starts(
    text: str, line: int, column: int, says: str
) -> None:
    with pytest.raises(BadInput) as told:
        load(text, "f")
    (problem,) = told.value.problems
    assert says in str(problem)
    if "[" * 5000 not in text:
        assert (problem.place.line, problem.place.column) == (line, column)
    for jargon in ("token", "scalar", "mapping", "<", "stream", "node", "flow"):
        assert jargon not in str(problem)


def test_tags_are_refused_and_run_nothing() -> None:
    _, (problem,) = load("a: !!python/object/apply:os.getcwd []\n", "f")
    assert "the tag !python/object/apply:os.getcwd is not read here; leave it off" in str(problem)
    assert (problem.place.line, problem.place.column) == (1, 4)


def test_aliases_are_read() -> None:
    root, problems = load("a: &x {b: 1}\nc: *x\n", "f")
    assert problems == []
    assert root["c"] == {"b": "1"}


def test_aliases_that_write_out_to_too_much_are_refused_at_once() -> None:
    # ten times ten times ten ...: 10 ** 12 things if they were written out
    bomb = "a0: &a0 [x]\n" + "".join(
        f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 10)}]\n" for i in range(1, 13)
    )
    with pytest.raises(BadInput, match="write out to too much"):
        load(bomb, "f")


@pytest.mark.parametrize("space", ["\u00a0", "\u202f", "\u2009", "\u2003"])
def test_a_space_that_is_pasted_in_is_a_space(space: str) -> None:
    read, problems = load(f"a:\n{space} b:{space}3{space}1/2 in\n", "f.yaml")
    assert problems == []
    assert read == {"a": {"b": "3 1/2 in"}}
    assert read["a"]["b"].place == Place("f.yaml", 2, 6)
