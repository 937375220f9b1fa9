"""`pierclear sheet`: shop paper, one or more files of a name into a folder."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

from models.problems import BadInput, Place, Problem
from viewer import console
from viewer.files import folder
from viewer.given import site_file


def write_sheets(name: str, given: Path, target: Path, *, pictures: bool = False) -> None:
    """Write the sheets of this name into the folder `target`; pictures: the first page of each as SVG too.

    Raises BadInput for what can't be used.
    """
    from viewer.paper.job import Job, sheet

    made = sheet(name)
    file = site_file(given)
    with folder(target) as inside:
        from clash.judge import judge
        from models.loading import load_site
        from viewer.drawing.dxf import dxf
        from viewer.drawing.pdf import pdf
        from viewer.drawing.svg import svg

        site = load_site(file)
        job = Job(site, judge(site), date.today().isoformat())
        written: list[str] = []
        for one in made(job):
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
            nothing = f"the site has nothing for the sheet {name}"
            raise BadInput([Problem(Place(file.name), nothing, "see what its seats say")])
    console.show("\n".join([f"Written to {target}:", *(f"  {name}" for name in written)]))
