"""The two streams: encoding, width, color, and readers that hang up."""

from __future__ import annotations

import errno
import os
import shutil
import sys
import time
from typing import TextIO

from models.problems import BadInput, Place, Problem

PIPED_WIDTH = 80
"""Columns of a report that no terminal shows."""
LEAST_WIDTH = 40
"""Columns below which wrapping would only make a report harder to read."""

PATIENCE = 1.0
"""s before a run that shows nothing begins to count."""

_INKS = {"red": "1;31", "yellow": "33", "blue": "36", "bold": "1", "faint": "2"}


def ready() -> None:
    """Make both streams take any character: one that the console lacks becomes a question mark."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


def width(stream: TextIO) -> int:
    """Columns to wrap at: the terminal's, or 80 where there is none."""
    if not stream.isatty():
        return PIPED_WIDTH
    return max(LEAST_WIDTH, shutil.get_terminal_size((PIPED_WIDTH, 24)).columns - 1)


def colored(stream: TextIO) -> bool:
    """Whether to color: only on a terminal that can, and never against NO_COLOR."""
    if not stream.isatty() or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return False
    return _escapes_understood()


def ink(text: str, color: str) -> str:
    """The text in a color: red, yellow, blue, bold or faint."""
    return f"\x1b[{_INKS[color]}m{text}\x1b[0m"


def show(text: str) -> None:
    """Print on standard output; a reader that hung up (`| head`) silences it and changes nothing else."""
    emit((text + "\n").encode(sys.stdout.encoding or "utf-8", errors="replace"))


def emit(data: bytes) -> None:
    """Write bytes on standard output as they are; a reader that hung up silences it.

    Raises BadInput when the stream can't be written for another reason (a full disk).
    """
    try:
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
    except OSError as error:
        if not _hung_up(error):
            why = (error.strerror or str(error)).lower()
            raise BadInput([Problem(Place("standard output"), f"can't be written: {why}")]) from error
        _silence()


def complain(text: str) -> None:
    """Print on standard error."""
    print(text, file=sys.stderr, flush=True)


class Progress:
    """A line on standard error that counts what is done: on a terminal, and only once it takes long."""

    def __init__(self, what: str, whole: int) -> None:
        """`what` is counted up to `whole`."""
        self._what, self._whole = what, whole
        self._due = time.monotonic() + PATIENCE if sys.stderr.isatty() else float("inf")
        self._shown = ""

    def __enter__(self) -> Progress:
        """Begin."""
        return self

    def at(self, count: int) -> None:
        """So many are done."""
        now = time.monotonic()
        if now >= self._due:
            self._due = now + PATIENCE / 5.0
            self._write(f"{self._what}: {count} of {self._whole}")

    def __exit__(self, *_: object) -> None:
        """Leave nothing on the line."""
        if self._shown:
            self._write("")

    def _write(self, text: str) -> None:
        print(f"\r{text:{len(self._shown)}}", end="" if text else "\r", file=sys.stderr, flush=True)
        self._shown = text


def _hung_up(error: OSError) -> bool:
    """Whether the reader is gone; Windows calls that an invalid argument."""
    return error.errno == errno.EPIPE or (sys.platform == "win32" and error.errno == errno.EINVAL)


def _silence() -> None:
    """Point standard output at nothing, so that not even the interpreter's last flush stumbles over it."""
    nothing = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, sys.stdout.fileno())
    os.close(nothing)


def _escapes_understood() -> bool:
    """Whether the console takes color codes; a Windows console has to be asked first."""
    if sys.platform != "win32":
        return True
    import ctypes

    kernel = ctypes.windll.kernel32
    handle, mode = kernel.GetStdHandle(-11), ctypes.c_ulong()
    return bool(
        kernel.GetConsoleMode(handle, ctypes.byref(mode)) and kernel.SetConsoleMode(handle, mode.value | 4)
    )
