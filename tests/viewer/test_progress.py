"""The line that counts: on a terminal only, once it takes long, and gone in the end."""

from __future__ import annotations

import io

import pytest

from viewer import console
from viewer.console import Progress


class Screen(io.StringIO):
    def __init__(self, terminal: bool) -> None:
        super().__init__()
        self.terminal = terminal

    def isatty(self) -> bool:
        return self.terminal


def counted(monkeypatch: pytest.MonkeyPatch, terminal: bool, seconds: float) -> str:
    screen, clock = Screen(terminal), iter(range(100))
    monkeypatch.setattr("sys.stderr", screen)
    monkeypatch.setattr(console.time, "monotonic", lambda: next(clock) * seconds)
    with Progress("piers written", 12) as progress:
        for k in (9, 10, 11):
            progress.at(k)
    return screen.getvalue()


def test_a_slow_run_counts_and_wipes_its_line(monkeypatch: pytest.MonkeyPatch) -> None:
    said = counted(monkeypatch, terminal=True, seconds=5.0)
    assert said.split("\r") == [
        "",
        "piers written: 9 of 12",
        "piers written: 10 of 12",
        "piers written: 11 of 12",
        " " * len("piers written: 11 of 12"),
        "",
    ]


def test_a_quick_run_says_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    assert counted(monkeypatch, terminal=True, seconds=0.1) == ""


def test_no_terminal_is_told_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    assert counted(monkeypatch, terminal=False, seconds=5.0) == ""
