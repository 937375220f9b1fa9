"""Files that are no site files, and what Windows does to those that are."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.problems import BadInput
from models.reading.site_file import read_site
from tests.support.example_site import SITE, write


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
