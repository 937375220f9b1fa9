"""What if and measuring, key by key, on the state alone: no window is open."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from clash.between import between
from clash.judge import judge
from models.lengths import show_gap
from models.reading.loading import load_site
from tests.support.reports import assert_same
from viewer.scene.cameras import View
from viewer.window import desk_of
from viewer.window.desk import Desk
from viewer.window.feature import commands, features
from viewer.window.features import measuring, what_if

EXAMPLES = Path(__file__).parents[3] / "models" / "examples"
CONDUIT = "overlap:P2/embed/conduit:P2/head/2"


@pytest.fixture(name="desk")
def _desk(tmp_path: Path) -> Desk:
    shutil.copytree(EXAMPLES / "reedbank", tmp_path / "reedbank")
    desk = desk_of(tmp_path / "reedbank", "P2")
    desk.look(View.TOP)
    return desk


def press(desk: Desk, *keys: str) -> str:
    for key in keys:
        commands()[key].does(desk)
    return desk.state.said


def lines(desk: Desk) -> list[str]:
    return [line for feature in features() if feature.says is not None for line in feature.says(desk)]


def ids(desk: Desk) -> list[str]:
    return [fold.worst.id for fold in desk.looked.folds]


def click(desk: Desk, part: str | None) -> list[bool]:
    at = None if part is None else next(i for i, p in enumerate(desk.looked.pier.parts) if p.id == part)
    return [f.clicked(desk, at, None) for f in features() if f.clicked is not None]


def test_findings_follow_the_arrows_and_the_banner_says_what_is_tried(desk: Desk) -> None:
    assert CONDUIT in ids(desk)
    assert lines(desk) == []
    # at the first move it is said that the drilled beam over the pier goes along
    assert press(desk, "Left") == "Judged again: the same findings. The holes of beam B1 follow."
    assert CONDUIT in ids(desk)  # 1/8 in is not enough: see test_what_if.py for the arithmetic
    assert press(desk, "Left") == "Judged again: 1 finding gone."
    assert press(desk, "Left") == "Judged again: the same findings."
    assert CONDUIT not in ids(desk)
    assert lines(desk) == ['WHAT IF at P2: rods 3/8" W. Not in the site file.']
    level = desk.work.level("P2")
    assert level is not None
    assert level.word == "clear"
    assert "P2" not in desk.work.flagged
    assert_same(what_if.trial(desk).now.report, judge(desk.work.site))


def test_holes_that_stay_are_said_at_the_first_move(desk: Desk) -> None:
    desk.go("P22")  # its plate has the holes of its first drawing
    assert press(desk, "less").endswith("The holes of the plate have a pattern of their own, and stay.")
    assert "stay" not in press(desk, "less")
    assert "stay" not in press(desk, "shift+Up")


def test_undo_and_redo(desk: Desk) -> None:
    before = ids(desk)
    press(desk, "Left", "Left", "Left")
    assert press(desk, "ctrl+z") == "Undone. Judged again: the same findings."
    assert press(desk, "ctrl+z") == "Undone. Judged again: 1 finding new."
    press(desk, "ctrl+z")
    assert ids(desk) == before
    assert lines(desk) == []
    assert press(desk, "ctrl+z") == "Nothing is tried: this is the site file."
    press(desk, "ctrl+y", "ctrl+y", "ctrl+y")
    assert lines(desk) == ['WHAT IF at P2: rods 3/8" W. Not in the site file.']
    assert press(desk, "ctrl+y") == "Nothing was undone."


def test_the_finding_that_is_shown_stays_shown_while_it_is_one(desk: Desk) -> None:
    turned = desk.state.turned
    assert desk.fold is not None
    press(desk, "Left")
    assert desk.fold is not None
    assert desk.fold.worst.id == CONDUIT
    press(desk, "Left", "Left")
    assert desk.state.finding is None
    assert desk.state.turned == turned  # and nobody moves the eye


@pytest.mark.parametrize(
    ("view", "key", "says"),
    [
        (View.TOP, "Right", '1/8" E'),
        (View.TOP, "Up", '1/8" N'),
        (View.FREE, "Down", '1/8" S'),
        (View.SOUTH, "Right", '1/8" E'),
        (View.NORTH, "Right", '1/8" W'),
        (View.NORTH, "Up", '1/8" S'),
        (View.EAST, "Left", '1/8" S'),
        (View.WEST, "Up", '1/8" E'),
    ],
)
def test_arrows_go_where_the_picture_shows(desk: Desk, view: View, key: str, says: str) -> None:
    desk.look(view)
    press(desk, key)
    assert lines(desk) == [f"WHAT IF at P2: rods {says}. Not in the site file."]


def test_rods_turn_by_a_degree(desk: Desk) -> None:
    press(desk, "less", "less", "greater")
    assert lines(desk) == ["WHAT IF at P2: rods turned 1° counterclockwise. Not in the site file."]


def test_a_tie_is_chosen_and_moved(desk: Desk) -> None:
    press(desk, "j")
    assert lines(desk) == ["Tie 1 from top is chosen: shift up and shift down move it."]
    press(desk, "j", "j", "k", "shift+Down")
    assert lines(desk)[0] == 'WHAT IF at P2: tie 2 down 1/8". Not in the site file.'
    drawn = [arrow for f in features() if f.draws is not None for arrow in f.draws(desk)]
    assert [arrow.words for arrow in drawn] == ["tie 2"]
    level = what_if.trial(desk).now.site.piers[1].part("P2/tie/2").solid.knots[:, 2].max()
    assert drawn[0].end[2] <= level + 1e-9
    press(desk, "k", "k")
    assert len(lines(desk)) == 1  # past the highest no tie is chosen
    desk.go("P20")
    assert lines(desk) == ["WHAT IF at P2. Not in the site file."]
    press(desk, "j")
    assert lines(desk)[1] == "Hoop 1 from top is chosen: shift up and shift down move it."


def test_a_click_on_a_tie_chooses_it_but_not_while_measuring(desk: Desk) -> None:
    assert any(click(desk, "P2/tie/5"))
    assert what_if.chosen_tie(desk) == 5
    press(desk, "m")
    click(desk, "P2/tie/3")
    assert what_if.chosen_tie(desk) == 5
    assert not any(click(desk, None)) or measuring.measured(desk) is not None


def test_what_cannot_be_is_said_and_nothing_changes(desk: Desk) -> None:
    press(desk, "j")
    for _ in range(12):
        said = press(desk, "shift+Down")
        if said.startswith("That cannot be"):
            break
    assert said == "That cannot be: as moved, tie 2 would no longer lie below tie 1."
    tried = lines(desk)[0]
    press(desk, "shift+Down")
    assert lines(desk)[0] == tried


def test_a_copy_is_written_and_the_banner_names_it(desk: Desk) -> None:
    before = desk.file.read_bytes()
    assert press(desk, "ctrl+s") == "Nothing is tried, so there is nothing to write."
    press(desk, "Left", "less")
    said = press(desk, "ctrl+s")
    assert said == "Written into a copy and read back: reedbank-what-if.yaml"
    copy = desk.file.with_name("reedbank-what-if.yaml")
    assert desk.file.read_bytes() == before
    assert load_site(copy).spec == desk.work.site.spec
    assert_same(judge(load_site(copy)), what_if.trial(desk).now.report)
    assert lines(desk)[0].endswith("Not in the site file; in the copy reedbank-what-if.yaml.")
    press(desk, "Left")
    assert lines(desk)[0].endswith("Not in the site file.")
    assert press(desk, "ctrl+s").endswith("reedbank-what-if-2.yaml")


def test_a_site_file_that_was_changed_meanwhile_is_told(desk: Desk) -> None:
    press(desk, "Left")
    desk.file.write_bytes(desk.file.read_bytes() + b"\n")
    assert "has been changed since it was read" in press(desk, "ctrl+s")
    assert sorted(p.name for p in desk.file.parent.glob("*.yaml")) == ["reedbank.yaml"]


def test_measuring_is_exact_and_follows_what_is_tried(desk: Desk) -> None:
    assert not click(desk, "P2/rod/1")[0] or lines(desk) == []
    press(desk, "m")
    assert lines(desk) == ["Measure: click a part."]
    click(desk, "P2/rod/1")
    assert lines(desk)[0].startswith("Measure from rod 1 (W): click another part")
    click(desk, "P2/rod/2")
    # rods of 1 in at 8 in center to center (site file): 7 in clear
    assert lines(desk) == ["Rod 1 (W) to rod 2 (E): 7.00 in clear."]
    (arrow,) = (a for f in features() if f.draws is not None for a in f.draws(desk))
    assert abs(arrow.end - arrow.start).max() == pytest.approx(7.0 * 25.4)
    click(desk, "P2/rod/1")
    click(desk, None)
    # the rod's center is 4 in from the middle of a 24 in pier, and the chamfer at the top is 3/4 in wide:
    # 12 - 4 - 0.5 - 0.75 = 6.75 in to its upper edge, nearer than 7.5 in to the west side
    assert lines(desk) == ["Rod 1 (W) to the side of the concrete: 6.75 in clear."]
    press(desk, "Left")
    assert lines(desk)[0] == "Rod 1 (W) to the side of the concrete: 6.62 in clear."
    press(desk, "m")
    assert measuring.measuring(desk) is None
    assert lines(desk) == ['WHAT IF at P2: rods 1/8" W. Not in the site file.']


def test_measuring_reaches_from_pier_to_pier(desk: Desk) -> None:
    press(desk, "m")
    click(desk, "P2/rod/1")
    desk.go("P3")
    click(desk, "P3/rod/1")
    gap = between(desk.work.site, "P2/rod/1", "P3/rod/1").gap
    assert gap == pytest.approx(10 * 304.8 - 25.4)  # the piers stand 10 ft apart
    assert lines(desk) == [f"Rod 1 (W) to rod 1 (W): {show_gap(gap, 'ft-in', 'measured least')} clear."]
