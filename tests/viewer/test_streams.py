"""Streams: faults of ours, the keyboard, full disks, hung-up readers, encodings, terminals."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.viewer.running import ROOT, START, Run, process
from viewer.commands import check as check_module

ANSI = re.compile(r"\x1b\[[0-9;]*m")


def test_a_fault_of_ours_is_one_line_and_3(
    run: Run, site: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("a wheel\ncame off")

    monkeypatch.setattr(check_module, "judged", broken)
    code, out, err = run("check", site, "--json", tmp_path / "f.json")
    assert (code, out) == (3, "")
    assert len(err.splitlines()) == 1
    assert "RuntimeError: a wheel came off" in err
    assert "PIERCLEAR_TRACEBACK=1" in err
    assert not (tmp_path / "f.json").exists()
    monkeypatch.setenv("PIERCLEAR_TRACEBACK", "1")
    code, out, err = run("check", site)
    assert (code, out) == (3, "")
    assert "Traceback" in err


def test_the_keyboard_ends_it_with_130(run: Run, site: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(check_module, "judged", stopped)
    code, out, err = run("check", site, "--json", site.parent / "f.json")
    assert (code, out) == (130, "")
    assert "Traceback" not in err
    assert sorted(p.name for p in site.parent.iterdir()) == ["site.yaml"]


@pytest.mark.skipif(sys.platform == "win32", reason="pipes of a Unix")
def test_a_reader_that_hangs_up_changes_nothing() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    try:
        ran = process("check", START, stdout=writing, stderr=subprocess.PIPE)
    finally:
        os.close(writing)
    assert ran.stderr == b""
    assert ran.returncode == process("check", START).returncode
    assert ran.returncode in (0, 1)


@pytest.mark.parametrize("encoding", ["ascii", "cp437", "cp1252", "utf-8"])
def test_any_console_shows_any_name(site: Path, encoding: str) -> None:
    site.write_text(site.read_text(encoding="utf-8").replace("My site", "Übergang №8 → 岸"), encoding="utf-8")
    ran = process("check", site, env={**os.environ, "PYTHONIOENCODING": encoding})
    assert ran.returncode in (0, 1), ran.stderr
    assert ran.stderr == b""
    assert b"bergang" in ran.stdout


def test_piped_output_is_plain_and_80_wide() -> None:
    ran = process("check", START.relative_to(ROOT), env={**os.environ, "COLUMNS": "200", "FORCE_COLOR": "1"})
    assert b"\x1b" not in ran.stdout
    assert max(len(line) for line in ran.stdout.decode().splitlines()) <= 80


def on_a_terminal(columns: int, **environment: str) -> str:
    """What `check` shows on a terminal of so many columns."""
    pty = pytest.importorskip("pty", reason="terminals of a Unix")
    master, slave = pty.openpty()
    environ = {k: v for k, v in os.environ.items() if k != "NO_COLOR"}
    environ |= {"COLUMNS": str(columns), "TERM": "xterm", **environment}
    running = subprocess.Popen(
        [sys.executable, "-m", "viewer", "check", str(START.relative_to(ROOT))],
        cwd=ROOT,
        stdout=slave,
        env=environ,
    )
    os.close(slave)
    shown = b""
    while True:
        try:
            piece = os.read(master, 4096)
        except OSError:  # Linux's way to say that the other end is closed
            break
        if not piece:
            break
        shown += piece
    os.close(master)
    assert running.wait(60) in (0, 1)
    return shown.decode()


def test_a_terminal_gets_its_width_and_its_colors() -> None:
    shown = on_a_terminal(60)
    assert "\x1b[1m" in shown
    plain = ANSI.sub("", shown).splitlines()
    assert max(map(len, plain)) < 60
    assert max(map(len, ANSI.sub("", on_a_terminal(120)).splitlines())) > 80


@pytest.mark.parametrize("environment", [{"NO_COLOR": "1"}, {"TERM": "dumb"}])
def test_no_colors_where_they_are_not_wanted(environment: dict[str, str]) -> None:
    assert "\x1b" not in on_a_terminal(80, **environment)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_under_standard_output() -> None:
    with open("/dev/full", "wb") as full:  # noqa: PTH123  a device
        ran = process("check", START, stdout=full, stderr=subprocess.PIPE)
    assert ran.returncode == 2
    assert len(ran.stderr.splitlines()) == 1
