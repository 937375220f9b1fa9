"""Random damage to a site file and its schedule: it is read, or refused in clean lines; nothing else."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.problems import BadInput, Problem
from models.reading.site_file import read_site
from tests.support.example_site import SCHEDULE, SITE, with_schedule

VALUES = st.one_of(
    st.sampled_from(["", "none", "null", "~", "0", "-1", "1e9", "nan", ".inf", "yes", "9" * 400]),
    st.sampled_from(
        ["#8", '"', "'", "[", "]", "{", "}", "{}", "[]", "[1, 2]", "{a: b}", "*a", "&a x", "!x y"]
    ),
    st.sampled_from(["- a", "a: b", "| x", "> x", "? x", "%x", "@x", "\t", "\ud7ff", "\u2028", "\x85"]),
    st.sampled_from(
        ["3'-6\"", "12 in", "-3 mm", '1/0"', "\u00bd in", "2025-01-02", "tall", "P1", "No. 8", "25M"]
    ),
    st.text(max_size=12),
)
CHANGES = st.lists(
    st.tuples(
        st.sampled_from(["drop", "double", "swap", "value", "indent", "cut", "insert", "key"]),
        st.integers(0, 10_000),
        st.integers(0, 10_000),
        VALUES,
    ),
    min_size=1,
    max_size=4,
)


def changed(text: str, changes: list[tuple[str, int, int, str]]) -> str:
    """The text after some damage, by line numbers and columns taken round and round."""
    for what, first, second, value in changes:
        lines = text.split("\n")
        i, j = first % len(lines), second % len(lines)
        line = lines[i]
        column = second % (len(line) + 1)
        if what == "drop":
            del lines[i]
        elif what == "double":
            lines.insert(j, line)
        elif what == "swap":
            lines[i], lines[j] = lines[j], lines[i]
        elif what == "value":
            lines[i] = f"{line.split(':')[0]}: {value}"
        elif what == "indent":
            lines[i] = " " * (second % 9) + line.lstrip()
        elif what == "cut":
            lines[i] = line[:column]
        elif what == "insert":
            lines[i] = line[:column] + value + line[column:]
        elif what == "key":
            lines[i] = f"{value}:{line.partition(':')[2]}"
        text = "\n".join(lines)
    return text


def problems(path: Path) -> tuple[Problem, ...]:
    """The problems of a site file; none where it is read."""
    try:
        read_site(path)
    except BadInput as told:
        assert told.problems, "refused without a reason"  # noqa: PT017 - any other way hides what was raised
        return told.problems
    return ()


def reads_or_refuses(folder: Path, site: bytes, schedule: bytes | None = None) -> None:
    (folder / "site.yaml").write_bytes(site)
    if schedule is not None:
        (folder / "piers.csv").write_bytes(schedule)
    for problem in problems(folder / "site.yaml"):
        assert len(str(problem).splitlines()) == 1
        assert problem.wrong
        assert len(str(problem)) < 700


def _bytes(text: str) -> bytes:
    return text.encode("utf-8", "surrogatepass")


@settings(max_examples=150, deadline=None)
@given(changes=CHANGES)
def test_a_damaged_site_is_read_or_refused(changes: list[tuple[str, int, int, str]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        reads_or_refuses(Path(folder), _bytes(changed(SITE, changes)))


@settings(max_examples=100, deadline=None)
@given(changes=CHANGES)
def test_a_damaged_schedule_is_read_or_refused(changes: list[tuple[str, int, int, str]]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        reads_or_refuses(Path(folder), _bytes(with_schedule()), _bytes(changed(SCHEDULE, changes)))


@settings(max_examples=60, deadline=None)
@given(at=st.integers(0, len(SITE)), junk=st.binary(min_size=1, max_size=6))
def test_stray_bytes_are_read_or_refused(at: int, junk: bytes) -> None:
    data = SITE.encode()
    with tempfile.TemporaryDirectory() as folder:
        reads_or_refuses(Path(folder), data[:at] + junk + data[at:])


@pytest.mark.long
@settings(max_examples=5_000, deadline=None)
@given(changes=CHANGES, more=CHANGES)
def test_a_much_damaged_site_is_read_or_refused(
    changes: list[tuple[str, int, int, str]], more: list[tuple[str, int, int, str]]
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        reads_or_refuses(Path(folder), _bytes(changed(SITE, changes + more)))
        reads_or_refuses(Path(folder), _bytes(with_schedule()), _bytes(changed(SCHEDULE, changes + more)))
