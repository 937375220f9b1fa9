"""`pierclear sheet`: shop paper, one or more files of a name into a folder."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from models.problems import BadInput, Place, Problem
from viewer import console
from viewer.files import folder
from viewer.given import site_file

if TYPE_CHECKING:
    from models.site import Site
    from viewer.paper.job import SheetFile


def write_sheets(
    name: str,
    given: Path,
    target: Path,
    *,
    pictures: bool = False,
    shots: Path | None = None,
    pier: str | None = None,
) -> None:
    """Write the sheets of this name into the folder `target`; pictures: the first page of each as SVG too.

    shots: a survey, for the sheets as placed; pier: the only one whose plate is drawn as placed.
    Raises BadInput for what can't be used.
    """
    making = _as_drawn(name) if shots is None else _as_placed(name, shots, pier)
    if pier is not None and (shots is None or name != "plate"):
        wrong = "goes with the sheet plate and with --shots"
        raise BadInput([Problem(Place("--pier"), wrong, "leave it off for every pier")])
    file = site_file(given)
    with folder(target) as inside:
        from models.reading.loading import load_site
        from viewer.drawing.dxf import dxf
        from viewer.drawing.pdf import pdf
        from viewer.drawing.svg import svg

        site = load_site(file)
        written: list[str] = []
        for one in making(site):
            (inside / f"{one.stem}.pdf").write_bytes(pdf(one.pages, f"{site.spec.site.name}: {one.stem}"))
            written.append(f"{one.stem}.pdf")
            if one.cad is not None:
                (inside / f"{one.stem}.dxf").write_bytes(dxf(one.cad))
                written.append(f"{one.stem}.dxf")
            if pictures:
                (inside / f"{one.stem}.svg").write_text(svg(one.pages[0]), encoding="utf-8")
                written.append(f"{one.stem}.svg")
            if sys.stderr.isatty():
                console.complain(f"{one.stem}: done")
        if not written:
            nothing, instead = f"the site has nothing for the sheet {name}", "see what its seats say"
            if shots is not None and name == "plate":
                nothing = "every plate whose rods were measured drops on as it was drawn"
                instead = "ask for the pattern of one with --pier MARK"
            raise BadInput([Problem(Place(file.name), nothing, instead)])
    console.show("\n".join([f"Written to {target}:", *(f"  {name}" for name in written)]))


_Making = Callable[["Site"], Iterator["SheetFile"]]


def _as_drawn(name: str) -> _Making:
    from viewer.paper.job import Job, sheet

    made = sheet(name)

    def files(site: Site) -> Iterator[SheetFile]:
        from clash.judge import judge

        return made(Job(site, judge(site), date.today().isoformat()))

    return files


def _as_placed(name: str, shots: Path, pier: str | None) -> _Making:
    """The sheets of a survey; what is on hold as placed stands on them before what was as drawn."""
    from viewer.paper.job import Job
    from viewer.paper.survey import Survey, placed_sheet, short_hash

    made = placed_sheet(name)

    def files(site: Site) -> Iterator[SheetFile]:
        from clash.fits.as_built import as_built
        from clash.judge import judge
        from models.survey.shots import read_shots

        found = as_built(site, read_shots(shots, site.spec))
        report = judge(site)
        report = replace(report, findings=(*found.findings, *report.findings))
        return made(Job(site, report, date.today().isoformat()), Survey(found, short_hash(shots), pier))

    return files
