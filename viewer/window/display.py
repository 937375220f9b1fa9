"""Whether a window can be shown here, asked of a child process: where there is none, asking crashes."""

from __future__ import annotations

import os
import subprocess
import sys

from models.problems import BadInput, Place, Problem

_TRY = """
from vtkmodules.vtkRenderingOpenGL2 import vtkXOpenGLRenderWindow
window = vtkXOpenGLRenderWindow()
window.SetSize(16, 16)
window.SetShowWindow(False)
window.Initialize()
print("yes" if window.SupportsOpenGL() else "no")
"""
_PATIENCE = 20.0
"""s that the child may take."""
INSTALL = "install libgl1, libegl1 and libgl1-mesa-dri (Debian, Ubuntu) or mesa-dri-drivers (Fedora)"
STILL = "a picture needs neither: pierclear view SITE --still F.png"


class Probe:
    """A question to a child process, that goes on while the site is read. Asked on X alone."""

    def __init__(self) -> None:
        """Ask. Raises BadInput at once where there is no display at all."""
        self._child: subprocess.Popen[str] | None = None
        if sys.platform in {"win32", "darwin"}:
            return
        if not os.environ.get("DISPLAY"):
            raise _refused(
                "there is no display to open a window on (DISPLAY is not set)",
                f"run it on a desktop, or over ssh -X; {STILL}",
            )
        self._child = subprocess.Popen(
            [sys.executable, "-c", _TRY], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
        )

    def answered(self) -> None:
        """Wait for the answer. Raises BadInput where a window cannot be shown."""
        if self._child is None:
            return
        try:
            said, _ = self._child.communicate(timeout=_PATIENCE)
        except subprocess.TimeoutExpired:
            self._child.kill()
            self._child.communicate()
            said = ""
        if said.strip().endswith("yes"):
            return
        display = os.environ.get("DISPLAY", "")
        raise _refused(
            f"the display {display} does not answer, or has no OpenGL 3.2",
            f"check DISPLAY, or {INSTALL}; {STILL}",
        )


def _refused(wrong: str, instead: str) -> BadInput:
    return BadInput([Problem(Place("the window"), wrong, instead)])
