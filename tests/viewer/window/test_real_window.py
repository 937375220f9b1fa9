"""The real window under a real X server: keys and clicks go in there, the state is asserted after each."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.support.screen import ROOT, Hands
from tests.viewer.running import DEMO

GROUPS = ["cage", "dowels", "rods", "nuts and washers", "plate and grout", "template", "beam", "embeds"]
GROUPS += ["grade beam", "concrete"]
WALK = ["P2", "P4", "P12", "P8", "P15", "P17", "P22"]
"""The flagged piers of the demo along its rows, there and back: read off its plan."""


@pytest.fixture(scope="module")
def hands(display: str) -> Iterator[Hands]:
    opened = Hands(display, DEMO)
    yield opened
    opened.kill()


@pytest.fixture
def at_p2(hands: Hands) -> Hands:
    """At the first flagged pier, everything as on arrival."""
    if hands.state["card"]:
        hands.key("h")
    if hands.state["hidden"]:
        hands.key("a")
    hands.click(*hands.state["marks"]["P2"])
    return hands


def test_it_opens_at_the_first_flagged_pier_of_the_walk(hands: Hands) -> None:
    state = hands.state
    assert state["size"] == [1280, 800]
    assert (state["pier"], state["finding"], state["site"], state["card"]) == ("P2", 0, False, False)
    assert state["hidden"] == []


def test_space_walks_every_finding_and_page_down_every_pier(at_p2: Hands) -> None:
    assert at_p2.key("Next")["pier"] == "P4"
    seen = [("P4", 0)]
    for _ in range(8):
        state = at_p2.key("space")
        seen.append((state["pier"], state["finding"]))
    assert seen == [("P4", 0), ("P4", 1), ("P12", 0), ("P12", 1), ("P12", 2), *((p, 0) for p in WALK[3:])]
    state = at_p2.key("space")
    assert (state["pier"], state["finding"]) == ("P2", 0)
    assert "begun again" in state["said"]
    assert at_p2.key("BackSpace")["pier"] == "P22"
    assert at_p2.key("bracketleft")["pier"] == "P17"
    assert at_p2.key("bracketright")["pier"] == "P22"
    assert at_p2.key("Prior", "Prior")["pier"] == "P15"


def test_next_pier_flagged_or_not(at_p2: Hands) -> None:
    state = at_p2.key("period")
    assert (state["pier"], state["finding"], state["view"], state["whole"]) == ("P3", None, "free", True)
    assert at_p2.key("comma")["pier"] == "P2"


def test_a_click_on_the_plan_goes_to_the_pier(at_p2: Hands) -> None:
    for mark in ("P22", "P7", "P12"):
        assert at_p2.click(*at_p2.state["marks"][mark])["pier"] == mark


def test_a_click_on_a_sentence_goes_to_the_finding(at_p2: Hands) -> None:
    at_p2.click(*at_p2.state["marks"]["P12"])
    top, low, which = at_p2.state["sentences"][2]
    state = at_p2.click(800, (top + low) / 2)
    assert (which, state["pier"], state["finding"]) == (2, "P12", 2)


def test_views_and_what_is_in_the_way_from_them(at_p2: Hands) -> None:
    for key, view in (
        ("t", "top"),
        ("n", "north"),
        ("e", "east"),
        ("s", "south"),
        ("w", "west"),
        ("f", "free"),
    ):
        state = at_p2.key(key)
        assert state["view"] == view
        assert state["faces"] == ([] if view == "free" else [view])
    assert "P2/template/1" in at_p2.key("t")["off"]
    best = at_p2.key("b")
    assert (best["view"], best["off"]) == ("east", ["P2/vertical/4"])
    assert at_p2.key("z")["whole"] is True
    assert at_p2.key("z")["whole"] is False


@pytest.mark.parametrize(("key", "group"), [(str((k + 1) % 10), g) for k, g in enumerate(GROUPS)])
def test_each_trade_is_hidden_and_shown(at_p2: Hands, key: str, group: str) -> None:
    assert at_p2.key(key)["hidden"] == [group]
    assert at_p2.key(key)["hidden"] == []


def test_before_the_pour_or_after_it(at_p2: Hands) -> None:
    assert at_p2.state["after"] is False
    assert "P2/template/1" in at_p2.key("t")["off"]
    state = at_p2.key("g")
    assert state["after"] is True
    assert "P2/template/1" not in state["off"]
    assert "B1/beam" in state["off"]
    assert at_p2.key("g")["after"] is False
    assert at_p2.click(*at_p2.state["marks"]["P22"])["after"] is True  # its finding is about the plate


def test_all_again_puts_back_what_was_taken_off(at_p2: Hands) -> None:
    assert at_p2.key("i")["hidden"] == sorted(set(GROUPS) - {"cage", "dowels", "rods", "embeds"})
    state = at_p2.key("a")
    assert (state["hidden"], state["off"], state["faces"]) == ([], [], [])


def test_concrete_comes_off_by_face_and_by_level(at_p2: Hands) -> None:
    assert at_p2.state["faces"] == ["east"]
    assert at_p2.key("c")["faces"] == []
    assert at_p2.key("c")["faces"] == ["east"]
    assert at_p2.key("d")["level"] == pytest.approx(-152.4)  # 6 in
    assert at_p2.key("d")["level"] == pytest.approx(-304.8)
    assert at_p2.key("u")["level"] == pytest.approx(-152.4)
    assert at_p2.key("u")["level"] is None
    assert at_p2.key("u")["level"] is None


def test_the_site_view_and_back(at_p2: Hands) -> None:
    state = at_p2.key("v")
    assert (state["site"], state["view"]) == (True, "south")
    assert at_p2.key("t")["view"] == "top"
    state = at_p2.key("v")
    assert (state["site"], state["pier"], state["view"]) == (False, "P2", "east")


def test_the_card_of_keys_goes_away_by_h_escape_and_a_click(at_p2: Hands) -> None:
    for away in ("h", "Escape"):
        assert at_p2.key("h")["card"] is True
        assert at_p2.key(away)["card"] is False
    assert at_p2.key("question")["card"] is True
    state = at_p2.click(600, 400)
    assert (state["card"], state["pier"]) == (False, "P2")


def test_a_drag_turns_the_view_free(at_p2: Hands) -> None:
    state = at_p2.drag((800, 300), (880, 340))
    assert (state["view"], state["pier"]) == ("free", "P2")


def test_words_over_the_picture_do_not_meet_and_stay_inside(at_p2: Hands) -> None:
    for _ in range(10):
        state = at_p2.key("space")
        x0, y0, x1, y1 = state["close"]
        boxes = state["notes"]
        assert boxes
        for k, (a0, b0, a1, b1) in enumerate(boxes):
            assert x0 <= a0 < a1 <= x1
            assert y0 <= b0 < b1 <= y1
            for c0, d0, c1, d1 in boxes[:k]:
                assert min(a1, c1) <= max(a0, c0) or min(b1, d1) <= max(b0, d0), (state["pier"], boxes)


def test_words_of_arrows_from_drawn_to_placed_do_not_meet(own_display: str) -> None:
    """At P16 four anchors and the top stand high: six arrows, out of sight from near its findings."""
    hands = Hands(own_display, DEMO, "P16", DEMO / "shots.csv")
    try:
        states = [hands.state, *(hands.key(key) for key in ("n", "z", "t", "space"))]
        assert max(len(state["notes"]) for state in states) >= 6
        for state in states:
            boxes = state["notes"]
            for k, (a0, b0, a1, b1) in enumerate(boxes):
                for c0, d0, c1, d1 in boxes[:k]:
                    assert min(a1, c1) <= max(a0, c0) or min(b1, d1) <= max(b0, d0), (state["view"], boxes)
    finally:
        hands.kill()


def test_another_size(at_p2: Hands) -> None:
    state = at_p2.resize(1000, 700)
    assert state["size"] == [1000, 700]
    assert at_p2.click(*state["marks"]["P15"])["pier"] == "P15"
    assert at_p2.resize(1280, 800)["size"] == [1280, 800]


def test_an_unknown_key_changes_nothing_and_the_toolkits_own_keys_are_off(at_p2: Hands) -> None:
    """y is nobody's; r and l are the toolkit's, if nobody takes them away."""
    before = dict(at_p2.state)
    for key in ("y", "r", "j", "l"):
        at_p2.key_unheard(key)
    after = at_p2.key("b")
    assert {k: after[k] for k in ("pier", "finding", "view", "hidden")} == {
        k: before[k] for k in ("pier", "finding", "view", "hidden")
    }


def test_a_picture_is_saved_and_none_is_written_over(own_display: str, tmp_path: Path) -> None:
    hands = Hands(own_display, DEMO, "P8", folder=tmp_path)
    try:
        assert hands.key("p")["said"] == "Saved as P8-1.png."
        assert hands.key("p")["said"] == "Saved as P8-1-2.png."
        for name in ("P8-1.png", "P8-1-2.png"):
            data = (tmp_path / name).read_bytes()
            assert data[:8] == b"\x89PNG\r\n\x1a\n"
            assert (int.from_bytes(data[16:20], "big"), int.from_bytes(data[20:24], "big")) == (1280, 800)
        hands.key_unheard("q")
        assert hands.next() == {"plotters": 0}
        assert hands.windows() == []
        assert hands.end() == 0
    finally:
        hands.kill()


def test_the_command_opens_a_window_and_q_ends_it(own_display: str) -> None:
    environment = {**os.environ, "DISPLAY": own_display, "PYTHONPATH": str(ROOT)}
    environment.pop("VTK_DEFAULT_OPENGL_WINDOW", None)

    def xdotool(*words: str) -> str:
        done = subprocess.run(
            ["xdotool", *words], env=environment, capture_output=True, text=True, check=False, timeout=60
        )
        return done.stdout

    child = subprocess.Popen(
        [sys.executable, "-m", "viewer", "view", str(DEMO), "--pier", "P17"],
        cwd=ROOT,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        (window,) = xdotool("search", "--sync", "--onlyvisible", "--name", "^pierclear").split()
        xdotool("windowfocus", window)
        for _ in range(60):  # a window that is to be seen need not listen yet
            xdotool("key", "q")
            try:
                child.wait(timeout=1.0)
                break
            except subprocess.TimeoutExpired:
                continue
        assert child.communicate(timeout=1) == ("", "")
        assert child.returncode == 0
    finally:
        child.kill()
        child.wait(timeout=20)
