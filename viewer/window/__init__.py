"""The window: `pierclear view SITE`. The key plan, and beside it one pier with its findings."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from models.site import Site
    from viewer.window.desk import Desk
    from viewer.window.window import Heard
    from viewer.window.work import Work

AT_ONCE = 40
"""Piers that are judged before the window opens; those of a larger site follow while it is open."""


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
    from models.reading.loading import load_site
    from viewer.given import chosen, site_file
    from viewer.window.desk import Desk
    from viewer.window.state import State
    from viewer.window.work import Work

    file = site_file(given)
    site = load_site(file)
    chosen(site, pier)
    work = Work(site) if shots is None else _placed(site, shots)
    work.judge(AT_ONCE if len(site.piers) > AT_ONCE else len(site.piers), first=pier)
    desk = Desk(State(work.walk[0]), work, file)
    desk.go(pier or next(iter(work.flagged), work.walk[0]))
    return desk


def _placed(site: Site, shots: Path) -> Work:
    """The work with what was placed: what the survey brings out is told beside what the drawing does."""
    from math import isfinite

    from clash.fits.as_built import as_built
    from models.survey.shots import read_shots
    from viewer.legend.placed_marks import placed_marks
    from viewer.scene.site import highest_placed
    from viewer.window.work import Work

    found = as_built(site, read_shots(shots, site.spec))
    work = Work(site, found.findings)
    work.placed = placed_marks(found)
    seats = [
        (level.level, site.piers[level.governs].mark)
        for level in found.levels
        if level.level is not None and level.governs is not None
    ]
    bare = [p for p in found.piers if site.piers[p.index].spec.seat.plate is None and isfinite(p.highest)]
    seats += [(p.highest, site.piers[p.index].mark) for p in bare]  # a beam lies on the concrete itself
    work.level_placed = highest_placed(seats)
    return work
