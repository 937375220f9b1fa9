"""The window: `pierclear view SITE`. The key plan, and beside it one pier with its findings."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from viewer.window.desk import Desk
    from viewer.window.window import Heard


def open_window(
    given: Path, pier: str | None = None, shots: Path | None = None, heard: Heard | None = None
) -> int:
    """Judge a site and show it until the window is closed; answers the exit code, 0.

    pier: the mark to open at; else the first flagged pier of the walk. shots: what was placed. heard: called
    with the desk after every frame. Raises BadInput for what can't be used, and where no window can be shown.
    """
    from viewer.window.display import Probe
    from viewer.window.window import Window

    probe = Probe()
    desk = desk_of(given, pier, shots)
    probe.answered()
    window = Window(desk, heard)
    try:
        window.run()
    finally:
        window.shut()
    return 0


def desk_of(given: Path, pier: str | None = None, shots: Path | None = None) -> Desk:
    """A site judged and laid out, at the pier asked for. Raises BadInput for what can't be used."""
    from clash.gaps import measure
    from clash.judge import judge
    from models.reading.loading import load_site
    from viewer.given import chosen, site_file
    from viewer.window.desk import Desk
    from viewer.window.state import State
    from viewer.window.work import Work

    file = site_file(given)
    site = load_site(file)
    chosen(site, pier)
    gaps = measure(site.piers)
    work = Work(site, judge(site, gaps), gaps)
    desk = Desk(State(work.walk[0]), work, file)
    desk.go(pier or next(iter(work.flagged), work.walk[0]))
    return desk
