"""A screen of our own (Xvfb), and hands on keyboard and mouse (xdotool), for the real window."""

from __future__ import annotations

import json
import os
import queue
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent.parent
PATIENCE = 60.0
"""s that a window may take for a frame, on a loaded machine."""
MISSING = [tool for tool in ("Xvfb", "xdotool") if shutil.which(tool) is None]
"""What has to be installed for these tests and is not."""


@contextmanager
def screen() -> Iterator[str]:
    """A display, 1400 x 900, that is gone afterwards."""
    reading, writing = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writing), "-screen", "0", "1400x900x24", "-nolisten", "tcp"],
        pass_fds=[writing],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    os.close(writing)
    try:
        with os.fdopen(reading) as told:
            number = told.readline().strip()
        assert number, "Xvfb did not start"
        yield f":{number}"
    finally:
        server.terminate()
        server.wait(timeout=20)


class Hands:
    """One running window, and what it says after each key and click."""

    def __init__(self, display: str, *arguments: object, folder: Path = ROOT) -> None:
        """Open the window and wait for its first frame; `opened`: s that it took."""
        begun = time.perf_counter()
        self._environment = {**os.environ, "DISPLAY": display, "PYTHONPATH": str(ROOT)}
        self._environment.pop("VTK_DEFAULT_OPENGL_WINDOW", None)
        self._child = subprocess.Popen(
            [sys.executable, "-m", "tests.support.window_child", *map(str, arguments)],
            cwd=folder,
            env=self._environment,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self._lines: queue.Queue[str] = queue.Queue()
        threading.Thread(target=self._read, daemon=True).start()
        self.state = self.next()
        self.opened = time.perf_counter() - begun
        self._window = self._shown()
        self._do("windowfocus", self._window)  # not --sync: without a window manager it may wait for ever

    def key(self, *keys: str) -> dict[str, Any]:
        """Press keys; the state after the last of them. `took`: s from that key to its frame."""
        for key in keys:
            begun = time.perf_counter()
            self._do("key", key)
            self.state = self.next()
            self.took = time.perf_counter() - begun
        return self.state

    def key_unheard(self, key: str) -> None:
        """Press a key that brings no frame."""
        self._do("key", key)

    def click(self, x: float, y: float) -> dict[str, Any]:
        """Click at a point of the window, from its upper left."""
        self._do("mousemove", "--window", self._window, str(round(x)), str(round(y)))
        self._do("click", "1")
        self.state = self.next()
        return self.state

    def drag(self, start: tuple[float, float], end: tuple[float, float]) -> dict[str, Any]:
        """Press at one point, go to another, let go."""
        self._do("mousemove", "--window", self._window, *(str(round(v)) for v in start))
        self._do("mousedown", "1")
        for k in (1, 2, 3, 4):
            at = [round(a + (b - a) * k / 4) for a, b in zip(start, end, strict=True)]
            self._do("mousemove", "--window", self._window, *map(str, at))
        self._do("mouseup", "1")
        self.state = self.next()
        return self.state

    def _shown(self) -> str:
        """The window, once the screen has it: its first frame may be drawn before it is mapped."""
        until = time.monotonic() + PATIENCE
        while not (found := self.windows()):
            assert time.monotonic() < until, "the window draws, but is not on the screen"
            time.sleep(0.05)
        (only,) = found
        return only

    def windows(self) -> list[str]:
        """The windows of that name that are on the screen."""
        said = subprocess.run(
            ["xdotool", "search", "--onlyvisible", "--name", "^pierclear"],
            env=self._environment,
            capture_output=True,
            text=True,
            check=False,
        )
        return said.stdout.split()

    def resize(self, across: int, high: int) -> dict[str, Any]:
        """Give the window another size."""
        self._do("windowsize", self._window, str(across), str(high))
        self.state = self.next()
        return self.state

    def next(self) -> dict[str, Any]:
        """What the window says next. Raises queue.Empty when it says nothing."""
        said: dict[str, Any] = json.loads(self._lines.get(timeout=PATIENCE))
        return said

    def end(self) -> int:
        """Let the process end; its exit code."""
        assert self._child.stdin is not None
        if self._child.poll() is None:
            self._child.stdin.write("\n")
            self._child.stdin.close()
        return self._child.wait(timeout=PATIENCE)

    def kill(self) -> None:
        """End it, whatever it does."""
        self._child.kill()
        self._child.wait(timeout=PATIENCE)

    def _do(self, *words: str) -> None:
        subprocess.run(["xdotool", *words], env=self._environment, check=True, timeout=PATIENCE)

    def _read(self) -> None:
        assert self._child.stdout is not None
        for line in self._child.stdout:
            self._lines.put(line)
