"""A copy of a site file says what was tried and is, in every other byte, the site file."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from clash.judge import judge
from models.changes.change import Change, MoveTie, NudgeRods, TurnRods
from models.changes.copying import check_copy, copy_of
from models.changes.rebuilt import rebuilt
from models.problems import BadInput
from models.reading.loading import load_site
from models.site import Site
from tests.support.example_site import SCHEDULE, SITE, with_schedule, write
from tests.support.reports import assert_same

EXAMPLES = Path(__file__).parents[3] / "models" / "examples"
EAST = NudgeRods(3.175, 0.0)
INLINE = "  - {mark: P1, x: 0,   y: 0, top: 4'-0\", bottom: 0, kind: beam pier"
OFFSET = 'seat: {rods: {pattern: {offset: [1/8", 0]}}}'


def tried(drawn: Site, *changes: tuple[str, Change]) -> Site:
    now = drawn
    for mark, change in changes:
        spec = next(p.spec for p in now.piers if p.mark == mark)
        now = rebuilt(now, change.applied(spec, drawn.units))
    return now


def copied(file: Path, *changes: tuple[str, Change]) -> bytes:
    """The copy, checked: it reads back to the very spec that was tried, and is judged the same."""
    drawn = load_site(file)
    now = tried(drawn, *changes)
    data = copy_of(file, file.parent, drawn, now)
    copy = file.with_name("copy.yaml")
    copy.write_bytes(data)
    check_copy(copy, now.spec)
    again = load_site(copy)
    assert again.spec == now.spec
    assert_same(judge(again), judge(now))
    return data


def example(folder: Path, name: str = "start") -> Path:
    shutil.copytree(EXAMPLES / name, folder, dirs_exist_ok=True)
    return next(folder.glob("*.yaml"))


def test_a_pier_of_the_file_differs_where_it_stands(tmp_path: Path) -> None:
    file = example(tmp_path)
    before = file.read_bytes()
    assert before.count(INLINE.encode()) == 1
    wanted = before.replace(INLINE.encode(), f"{INLINE}, {OFFSET}".encode())
    assert copied(file, ("P1", EAST)) == wanted
    assert file.read_bytes() == before


@pytest.mark.parametrize(
    "stored",
    [
        lambda text: text.replace("\n", "\r\n").encode(),
        lambda text: b"\xef\xbb\xbf" + text.encode(),
        lambda text: b"\xff\xfe" + text.replace("\n", "\r\n").encode("utf-16-le"),
        lambda text: b"\xfe\xff" + text.encode("utf-16-be"),
        lambda text: text.replace('"', "\u201d").replace("'", "\u2019").encode(),
        lambda text: text.replace("My site", "Qu\u00e9 \u2013 8 #").replace('"', "\u201d").encode("cp1252"),
        lambda text: text.replace("  name: My site", "  name: 'My # site'   # " + "long " * 200).encode(),
        lambda text: text.replace("\n  - {mark", "\n         - {mark").encode(),
        lambda text: text.replace(": {", ":   {").replace(", ", ",  ").encode(),
        lambda text: text.rstrip("\n").encode(),
    ],
    ids=["crlf", "bom", "utf-16-le", "utf-16-be", "smart", "cp1252", "long", "indent", "wide", "no newline"],
)  # fmt: skip
def test_however_the_file_is_stored(tmp_path: Path, stored) -> None:
    file = example(tmp_path)
    before = stored(file.read_text(encoding="utf-8"))
    file.write_bytes(before)
    after = copied(file, ("P1", EAST), ("P2", TurnRods(1.0)))
    # taking out what was put in, in two places, leaves the same bytes
    codec = {b"\xff\xfe": "utf-16-le", b"\xfe\xff": "utf-16-be"}.get(before[:2], "utf-8")
    one, two = f", {OFFSET}".encode(codec), ", seat: {rods: {pattern: {turn: 1}}}".encode(codec)
    assert after.count(one) == after.count(two) == 1
    assert after.replace(one, b"").replace(two, b"") == before


def test_piers_of_a_schedule_differ_in_the_yaml(tmp_path: Path) -> None:
    file = example(tmp_path, "reedbank")
    before, schedule = file.read_bytes(), (tmp_path / "piers.csv").read_bytes()
    after = copied(
        file,
        ("P24", EAST),
        ("P4", MoveTie(2, -6.35)),
        ("P15", NudgeRods(-3.175, 3.175)),
        ("P4", MoveTie(3, 3.175)),
        ("P2", TurnRods(-2.0)),
    )
    wanted = before.decode()
    for old, new in (
        ("height: 2'-5\"}}", 'height: 2\'-5"}, ties: {moved: {2: -1/4", 3: 1/8"}}}'),
        ('[3 1/2", 3 1/2"]]}}}', '[3 1/2", 3 1/2"]], offset: [-1/8", 1/8"]}}}'),
        ("exits: [bottom]}\n    P4:", "exits: [bottom]}\n      seat: {rods: {pattern: {turn: -2}}}\n    P4:"),
    ):
        assert wanted.count(old) == 1
        wanted = wanted.replace(old, new)
    assert after.decode() == wanted.rstrip("\n") + f"\n    P24: {{{OFFSET}}}\n"
    assert (tmp_path / "piers.csv").read_bytes() == schedule


def test_a_schedule_without_differences_gets_a_block_of_them(tmp_path: Path) -> None:
    text = with_schedule()
    file = write(tmp_path, text)
    write(tmp_path, SCHEDULE, "piers.csv")
    mark = load_site(file).piers[0].mark
    assert "differences" not in text
    wanted = text.replace(
        "  schedule: piers.csv\n", f"  schedule: piers.csv\n  differences:\n    {mark}: {{{OFFSET}}}\n"
    )
    assert copied(file, (mark, EAST)).decode() == wanted


def test_a_workbook_stays_a_workbook(tmp_path: Path) -> None:
    import csv
    import io

    openpyxl = pytest.importorskip("openpyxl")
    file = write(tmp_path, with_schedule())
    book = openpyxl.Workbook()
    for row in csv.reader(io.StringIO(SCHEDULE)):
        book.active.append(row)
    book.save(tmp_path / "piers.xlsx")
    file.write_text(with_schedule(schedule="piers.xlsx"), encoding="utf-8")
    mark = load_site(file).piers[0].mark
    assert f"    {mark}: {{{OFFSET}}}\n" in copied(file, (mark, EAST)).decode()


def test_a_pier_written_as_a_block_gets_a_line(tmp_path: Path) -> None:
    text = SITE
    file = write(tmp_path, text)
    drawn = load_site(file)
    for pier in drawn.piers:
        copied(file, (pier.mark, EAST), (pier.mark, TurnRods(3.0)))


@pytest.mark.parametrize("name", ["start", "reedbank", "light-pole"])
def test_nothing_tried_is_the_file_itself(tmp_path: Path, name: str) -> None:
    file = example(tmp_path, name)
    assert copied(file) == file.read_bytes()


def test_back_where_it_was_is_the_file_itself(tmp_path: Path) -> None:
    file = example(tmp_path)
    there_and_back = [
        ("P1", EAST),
        ("P1", MoveTie(2, 5.0)),
        ("P1", NudgeRods(-3.175, 0.0)),
        ("P1", MoveTie(2, -5.0)),
    ]
    assert copied(file, *there_and_back) == file.read_bytes()


def test_only_that_pier_differs_and_never_its_kind(tmp_path: Path) -> None:
    file = example(tmp_path, "reedbank")
    copied(file, ("P13", EAST))
    before, after = (load_site(tmp_path / name).spec for name in ("reedbank.yaml", "copy.yaml"))
    assert after.kinds == before.kinds
    assert [p.mark for p, q in zip(before.piers, after.piers, strict=True) if p != q] == ["P13"]


def test_a_tie_that_the_kind_has_moved_stays_moved(tmp_path: Path) -> None:
    file = example(tmp_path)
    text = file.read_text(encoding="utf-8").replace(
        'spacing: 10"\n', 'spacing: 10"\n        moved: {4: 1"}\n', 1
    )
    file.write_text(text, encoding="utf-8")
    assert b'cage: {ties: {moved: {2: 1/8", 4: 1"}}}' in copied(file, ("P1", MoveTie(2, 3.175)))


def test_from_another_folder_the_schedule_is_still_found(tmp_path: Path) -> None:
    site = tmp_path / "my site"
    file = example(site, "reedbank")
    drawn = load_site(file)
    now = tried(drawn, ("P13", EAST))
    there = tmp_path / "what if"
    there.mkdir()
    (there / "copy.yaml").write_bytes(copy_of(file, there, drawn, now))
    check_copy(there / "copy.yaml", now.spec)
    assert "\n  schedule: ../my site/piers.csv\n" in (there / "copy.yaml").read_text(encoding="utf-8")


def test_a_file_that_has_changed_since_is_not_written_over_what_was_seen(tmp_path: Path) -> None:
    file = example(tmp_path)
    drawn = load_site(file)
    file.write_bytes(file.read_bytes() + b"# a word more\n")
    with pytest.raises(BadInput) as refused:
        copy_of(file, tmp_path, drawn, tried(drawn, ("P1", EAST)))
    assert str(refused.value.problems[0]) == (
        "site.yaml: it has been changed since it was read; open it again, then try your changes"
    )


@pytest.mark.parametrize(
    ("mark", "says"), [("P1", "&c here is used elsewhere as *c"), ("P2", "*c stands here for")]
)
def test_what_piers_share_by_an_alias_is_told_with_its_line(tmp_path: Path, mark: str, says: str) -> None:
    file = example(tmp_path)
    one, two = "kind: beam pier}", "kind: plate pier}"
    text = file.read_text(encoding="utf-8")
    text = text.replace(one, one[:-1] + ', cage: &c {ties: {spacing: 9"}}}').replace(
        two, two[:-1] + ", cage: *c}"
    )
    file.write_text(text, encoding="utf-8")
    drawn = load_site(file)
    line = text[: text.index(f"mark: {mark}")].count("\n") + 1
    now = tried(drawn, (mark, MoveTie(2, 3.175)))
    with pytest.raises(BadInput) as refused:
        copy_of(file, tmp_path, drawn, now)
    told = str(refused.value.problems[0])
    assert told.startswith(f"site.yaml, line {line}: the change cannot be written into a copy: {says}")
    assert told.endswith("; write the fields out there, and try again")


def test_what_cannot_be_written_as_a_field_is_found_out(tmp_path: Path) -> None:
    """A pier that differs in a field that no change has would be lost in the copy: reading back finds it."""
    file = example(tmp_path)
    drawn = load_site(file)
    spec = drawn.piers[0].spec
    assert spec.seat.rods is not None
    rods = spec.seat.rods.model_copy(update={"projection": 500.0})
    now = rebuilt(drawn, spec.model_copy(update={"seat": spec.seat.model_copy(update={"rods": rods})}))
    (tmp_path / "copy.yaml").write_bytes(copy_of(file, tmp_path, drawn, now))
    with pytest.raises(BadInput, match="does not read back as what was tried"):
        check_copy(tmp_path / "copy.yaml", now.spec)
