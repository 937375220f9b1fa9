"""How a command ends: its exit code, and one clear line for whatever went wrong."""

from __future__ import annotations

import functools
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import ParamSpec

from models.problems import BadInput
from viewer import console

FINE = 0
FOUND = 1
"""Something is on HOLD (not answered) or NOT CHECKED."""
UNUSABLE = 2
"""Input, option or output that can't be used."""
OURS = 3
"""A fault of this program."""
STOPPED = 130
"""Stopped from the keyboard."""

TRACEBACK = "PIERCLEAR_TRACEBACK"
"""Set to 1, a fault of ours shows its traceback."""

P = ParamSpec("P")


def ending(command: Callable[P, int]) -> Callable[P, None]:
    """A command whose returned exit code ends the process, and whose errors end it in words."""

    @functools.wraps(command)
    def run(*args: P.args, **options: P.kwargs) -> None:
        code = _code(command, *args, **options)
        if code:
            raise SystemExit(code)

    return run


def _code(command: Callable[P, int], *args: P.args, **options: P.kwargs) -> int:
    try:
        return command(*args, **options)
    except BadInput as bad:
        for problem in bad.problems:
            console.complain(str(problem))
        return UNUSABLE
    except KeyboardInterrupt:
        console.complain("Stopped.")
        return STOPPED
    except (
        Exception
    ) as fault:  # the last net: whatever we didn't foresee is told in one line, not as a traceback
        if os.environ.get(TRACEBACK) == "1":
            import traceback

            traceback.print_exc()
        console.complain(_ours(fault))
        return OURS


def _ours(fault: Exception) -> str:
    """One line: what failed, where, and how to report it."""
    words = " ".join(str(fault).split())
    what = type(fault).__name__ + (f": {words}" if words else "")
    trace = fault.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    where = f" ({Path(trace.tb_frame.f_code.co_filename).name}, line {trace.tb_lineno})" if trace else ""
    again = (
        f"run it again with {TRACEBACK}=1 set"
        if os.environ.get(TRACEBACK) != "1"
        else "copy what stands above"
    )
    return (
        f"pierclear failed, by a fault of ours and not of your file: {what}{where}. To report it, {again} "
        "and send the output with the site file to whoever gave you pierclear "
        f"(Python {sys.version.split()[0]}, {sys.platform})."
    )
