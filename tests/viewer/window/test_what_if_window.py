"""What if and measuring in the real window: keys and clicks go in at the X server."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from models.reading.loading import load_site
from tests.support.screen import Hands
from tests.support.window_child import PARTS
from tests.viewer.running import DEMO

CONDUIT = "overlap:P2/embed/conduit:P2/head/2"
WANTED = ("P2/rod/1", "P2/rod/2", "P2/tie/4", "P2/tie/6")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    copy = tmp_path_factory.mktemp("site") / "reedbank"
    shutil.copytree(DEMO.parent if DEMO.is_file() else DEMO, copy)
    return copy


@pytest.fixture(scope="module")
def opened(display: str, folder: Path) -> Iterator[Hands]:
    os.environ[PARTS] = ",".join(WANTED)
    try:
        hands = Hands(display, folder / "reedbank.yaml", "P2")
    finally:
        del os.environ[PARTS]
    yield hands
    hands.kill()


@pytest.fixture
def hands(opened: Hands) -> Iterator[Hands]:
    """At P2 seen from the top, as drawn; everything tried is undone afterwards."""
    opened.click(*opened.state["marks"]["P2"])
    opened.key("t")
    yield opened
    for _ in range(40):
        if "site file" in opened.key("ctrl+z")["said"]:
            break
    while any("chosen" in line for line in opened.state["lines"]):
        opened.key("k")
    if opened.state["lines"]:
        opened.key("m")


def test_the_findings_follow_the_arrow_keys_at_once(hands: Hands) -> None:
    assert hands.state["findings"] == [CONDUIT]
    hands.key("Left")
    assert hands.state["findings"] == [CONDUIT]
    state = hands.key("Left")
    assert state["findings"] == []
    assert state["lines"] == ['WHAT IF at P2: rods 1/4" W. Not in the site file.']
    assert (state["pier"], state["view"], state["finding"]) == ("P2", "top", None)
    assert hands.key("Right")["findings"] == [CONDUIT]
    assert hands.key("Up")["lines"] == ['WHAT IF at P2: rods 1/8" W and 1/8" N. Not in the site file.']
    assert hands.key("Down")["lines"] == ['WHAT IF at P2: rods 1/8" W. Not in the site file.']


def test_rods_turn_and_every_step_is_undone(hands: Hands) -> None:
    assert "turned 1° counterclockwise" in hands.key("less")["lines"][0]
    assert "turned 1° clockwise" in hands.key("greater", "greater")["lines"][0]
    hands.key("ctrl+z")
    assert hands.state["lines"] == []
    assert "turned 1° counterclockwise" in hands.key("ctrl+z")["lines"][0]
    assert hands.key("ctrl+y")["lines"] == []


def test_a_tie_is_chosen_raised_and_lowered(hands: Hands) -> None:
    assert hands.key("j")["lines"] == ["Tie 1 from top is chosen: shift up and shift down move it."]
    state = hands.key("j", "shift+Down", "shift+Down")
    assert state["lines"][0] == 'WHAT IF at P2: tie 2 down 1/4". Not in the site file.'
    assert hands.key("shift+Up")["lines"][0] == 'WHAT IF at P2: tie 2 down 1/8". Not in the site file.'
    assert hands.key("k")["lines"][1] == "Tie 1 from top is chosen: shift up and shift down move it."


def test_a_click_on_a_tie_chooses_it(hands: Hands) -> None:
    state = hands.key("s", "z", "a")
    assert {"P2/tie/4", "P2/tie/6"} <= state["parts"].keys()
    for number in (6, 4):
        state = hands.click(*hands.state["parts"][f"P2/tie/{number}"])
        assert state["lines"] == [f"Tie {number} from top is chosen: shift up and shift down move it."]


def test_two_clicks_measure_the_exact_gap_and_it_follows(hands: Hands) -> None:
    state = hands.key("s", "z", "a", "m")
    assert state["lines"][0] == "Measure: click a part."
    hands.click(*hands.state["parts"]["P2/rod/1"])
    state = hands.click(*hands.state["parts"]["P2/rod/2"])
    # 1 in rods 8 in apart, center to center (site file)
    assert state["lines"][0] == "Rod 1 (W) to rod 2 (E): 7.00 in clear."
    assert len(state["notes"]) >= 1
    hands.click(*hands.state["parts"]["P2/tie/6"])
    state = hands.click(*hands.state["parts"]["P2/rod/1"])
    # the sixth tie lies below the rods' feet at 3 ft: the dimension is not level, and follows what is tried
    first = state["lines"][0]
    assert first.startswith("Tie 6 from top to rod 1 (W): ")
    assert hands.key("Right")["lines"][0] != first
    assert hands.key("m")["lines"] == ['WHAT IF at P2: rods 1/8" E. Not in the site file.']


def test_a_copy_is_written_and_the_site_file_is_not(hands: Hands, folder: Path) -> None:
    before = (folder / "reedbank.yaml").read_bytes()
    state = hands.key("Left", "ctrl+s")
    assert state["said"] == "Written into a copy and read back: reedbank-what-if.yaml"
    assert (folder / "reedbank.yaml").read_bytes() == before
    copy = folder / "reedbank-what-if.yaml"
    assert next(p for p in load_site(copy).spec.piers if p.mark == "P2").seat.rods.pattern.offset == (
        -3.175,
        0.0,
    )
    kept, put = before.decode().splitlines(), copy.read_text(encoding="utf-8").splitlines()
    (new,) = [line for line in put if line not in kept]
    assert new.strip() == 'seat: {rods: {pattern: {offset: [-1/8", 0]}}}'
    assert [line for line in put if line in kept] == kept


def test_the_key_plan_has_the_sign_of_what_is_tried(hands: Hands) -> None:
    hands.key("Left", "Left")
    # P2 is clear as tried, so that the walk goes past it
    assert hands.key("Next")["pier"] == "P4"
    assert hands.key("Prior")["pier"] == "P22"
    assert hands.state["lines"] == ["WHAT IF at P2. Not in the site file."]
