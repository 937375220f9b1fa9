"""Where no window can be shown: one sentence, exit 2, and no crash."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.viewer.running import ROOT, START, process
from viewer.window import display


def refused(**environment: str) -> str:
    ran = process("view", START, env={**environment, "PATH": os.environ["PATH"], "HOME": "/nonexistent"})
    assert ran.returncode == 2, ran.stderr.decode()
    assert ran.stdout == b""
    (line,) = ran.stderr.decode().splitlines()
    assert "--still" in line
    return line


@pytest.mark.skipif(sys.platform in {"win32", "darwin"}, reason="a window there needs no X display")
def test_no_display() -> None:
    assert "no display" in refused()


@pytest.mark.skipif(sys.platform in {"win32", "darwin"}, reason="a window there needs no X display")
def test_a_display_that_does_not_answer() -> None:
    line = refused(DISPLAY=":9876")
    assert ":9876" in line
    assert "libgl1" in line


def test_elsewhere_nothing_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    for system in ("win32", "darwin"):
        monkeypatch.setattr(display.sys, "platform", system)
        monkeypatch.delenv("DISPLAY", raising=False)
        display.Probe().answered()


@pytest.mark.skipif(shutil.which("Xvfb") is None, reason="no Xvfb here")
def test_a_display_without_gl(tmp_path: Path) -> None:
    """A server that was told to offer no GLX: VTK alone would end the process with a fault of memory."""
    reading, writing = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writing), "-extension", "GLX", "-nolisten", "tcp"],
        pass_fds=[writing], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd=ROOT,
    )  # fmt: skip
    os.close(writing)
    try:
        with os.fdopen(reading) as told:
            number = told.readline().strip()
        assert "OpenGL" in refused(DISPLAY=f":{number}")
    finally:
        server.terminate()
        server.wait(timeout=20)
