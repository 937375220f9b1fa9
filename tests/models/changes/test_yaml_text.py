"""Fields set in a text where they stand: what comes out is written here by hand, character by character."""

from __future__ import annotations

import pytest
import yaml

from models.changes.yaml_text import CannotEdit, Tree, YamlText, scalar

ROD: Tree = {"seat": {"rods": {"pattern": {"offset": '[1/8", 0]'}}}}


def put(text: str, fields: Tree) -> str:
    written = YamlText.of(text)
    return written.edited(list(written.edits(written.root, fields)))


@pytest.mark.parametrize(
    ("text", "fields", "becomes"),
    [
        # a block gets a line of its own at the end, as its first line is indented
        ("a: 1\n", {"b": "2"}, "a: 1\nb: 2\n"),
        ("a: 1  # one\n\n# the end\n", {"b": "2"}, "a: 1  # one\nb: 2\n\n# the end\n"),
        ("a:\n    x: 1\n\nc: 3\n", {"a": {"y": "2"}}, "a:\n    x: 1\n    y: 2\n\nc: 3\n"),
        ("a:\n  x:\n    - 1\n    - 2 # two\nc: 3\n", {"a": {"y": "2"}},
         "a:\n  x:\n    - 1\n    - 2 # two\n  y: 2\nc: 3\n"),
        ("a: 1", {"b": "2"}, "a: 1\nb: 2"),
        ("a: 1\r\nc: 3", {"b": "2"}, "a: 1\r\nc: 3\r\nb: 2"),
        ("a: 1\r\nc: 3\r\n", {"b": "2"}, "a: 1\r\nc: 3\r\nb: 2\r\n"),
        ("a: >\n  folded\n  text\nb: 1\n", {"c": "2"}, "a: >\n  folded\n  text\nb: 1\nc: 2\n"),
        ("b: 1\na: |\n  kept\n", {"c": "2"}, "b: 1\na: |\n  kept\nc: 2\n"),
        ("a: 'it''s # no comment'  # but this\n", {"b": "2"}, "a: 'it''s # no comment'  # but this\nb: 2\n"),
        # what is there is replaced, and its comment stays
        ("a: 1   # one\nb: 2\n", {"a": "3"}, "a: 3   # one\nb: 2\n"),
        ("offset: [1,\n         2]  # both\nb: 2\n", {"offset": "[3, 4]"}, "offset: [3, 4]  # both\nb: 2\n"),
        ("offset:\n  - 1\n  - 2\nb: 2\n", {"offset": "[3, 4]"}, "offset:\n  [3, 4]\nb: 2\n"),
        ("a:     # empty\nb: 2\n", {"a": "3"}, "a: 3     # empty\nb: 2\n"),
        # names as a hand writes them
        ("Top Group: 1\n", {"top_group": "2"}, "Top Group: 2\n"),
        # brackets
        ("a: {x: 1}\n", {"a": {"y": "2"}}, "a: {x: 1, y: 2}\n"),
        ("a: { x: 1 }  # one\n", {"a": {"y": "2"}}, "a: { x: 1, y: 2 }  # one\n"),
        ("a: {}\n", {"a": {"y": "2"}}, "a: {y: 2}\n"),
        ("a: {x: 1,}\n", {"a": {"y": "2"}}, "a: {x: 1, y: 2,}\n"),
        ("a: {x: 1,   # one\n    z: 3}\n", {"a": {"y": "2"}}, "a: {x: 1,   # one\n    z: 3, y: 2}\n"),
        ('seat: {rods: {pattern: {at: [[-4", 0]]}}}\n', ROD,
         'seat: {rods: {pattern: {at: [[-4", 0]], offset: [1/8", 0]}}}\n'),
        ("seat:\n  type: none\n", ROD, 'seat:\n  type: none\n  rods: {pattern: {offset: [1/8", 0]}}\n'),
        # several at one place keep their order
        ("a: {x: 1}\n", {"a": {"y": "2", "z": "3"}, "b": "4"}, "a: {x: 1, y: 2, z: 3}\nb: 4\n"),
        # wide spaces and letters of more than one byte do not shift the place
        ("n: S\u00e9jour \u2019s\u00a0\U0001f600\na: {x: 1}\n", {"a": {"y": "2"}},
         "n: S\u00e9jour \u2019s\u00a0\U0001f600\na: {x: 1, y: 2}\n"),
        # differences go one a line
        ("a: 1\n", {"differences": {"P1": {"x": "1"}, "P2": {"y": "2"}}},
         "a: 1\ndifferences:\n  P1: {x: 1}\n  P2: {y: 2}\n"),
        ("p:\n  differences:\nq: 1\n", {"p": {"differences": {"P1": {"x": "1"}}}},
         "p:\n  differences:\n    P1: {x: 1}\nq: 1\n"),
        ("p:\n  differences: {}\nq: 1\n", {"p": {"differences": {"P1": {"x": "1"}}}},
         "p:\n  differences: {P1: {x: 1}}\nq: 1\n"),
    ],
)  # fmt: skip
def test_what_is_put_in(text: str, fields: Tree, becomes: str) -> None:
    made = put(text, fields)
    assert made == becomes
    assert yaml.safe_load(made) != yaml.safe_load(text)


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("a: &shared {x: 1}\nb: *shared\n", 1, r"&shared here is used elsewhere"),
        ("z: &shared {x: 1}\na: *shared\n", 2, r"\*shared stands here"),
        ("a:\n  y: &two 2\nb: *two\n", 2, r"&two here is used elsewhere"),
    ],
)
def test_what_others_share_is_not_changed_under_them(text: str, line: int, says: str) -> None:
    with pytest.raises(CannotEdit, match=says) as refused:
        put(text, {"a": {"y": "2"}})
    assert refused.value.line == line


def test_an_anchor_that_nobody_uses_is_no_hindrance() -> None:
    assert put("a: &mine {x: 1}\n", {"a": {"y": "2"}}) == "a: &mine {x: 1, y: 2}\n"


@pytest.mark.parametrize(
    "text",
    [
        "piers.csv",
        "../my site/piers (2).csv",
        "P#1.csv",
        "a: b.csv",
        "- x.csv",
        "it's.csv",
        "{a}.csv",
        "é.csv",
    ],
)
def test_a_name_reads_back_as_it_was(text: str) -> None:
    assert yaml.safe_load(f"schedule: {scalar(text)}  # the piers\n") == {"schedule": text}
