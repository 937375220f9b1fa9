"""`pierclear brief`: the crew briefing, one file."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from models.problems import BadInput, Place, Problem
from viewer import console
from viewer.files import outputs
from viewer.given import inputs, site_file
from viewer.wording.fold import counted

if TYPE_CHECKING:
    from models.site import Site
    from viewer.brief.after import After


def write_brief(given: Path, target: Path, shots: Path | None = None) -> None:
    """Write the briefing, HTML or PDF by the ending of `target`; shots: a survey, to show how it was placed.

    Raises BadInput for what can't be used.
    """
    kind = target.suffix.lower()
    if kind not in (".html", ".pdf"):
        wrong = f"{target.name or target} ends neither in .html nor in .pdf"
        raise BadInput([Problem(Place("--to"), wrong, "name the file brief.html or brief.pdf")])
    file = site_file(given)
    with outputs(target, reads=[*inputs(file, target), *([] if shots is None else [shots])]) as out:
        from clash.judge import judge
        from models.reading.loading import load_site
        from viewer.paper.job import Job

        site = load_site(file)
        job = Job(site, judge(site), date.today().isoformat())
        after, source = (None, "") if shots is None else _placed(site, shots)
        if kind == ".html":
            from viewer.brief.html import html

            data = html(job, after, source).encode()
        else:
            from viewer.brief.paper import pages
            from viewer.drawing.pdf import pdf

            data = pdf(pages(job, after, source, target.stem), f"{site.spec.site.name}: crew briefing")
        out.put(target, data)
    count = counted(len(site.piers), "pier")
    size = f"{len(data) / 1e6:.1f} MB" if len(data) >= 100_000 else f"{len(data) / 1e3:.0f} kB"
    console.show(f"The briefing is in {target}: {count}, {size}.")


def _placed(site: Site, shots: Path) -> tuple[dict[str, After], str]:
    """Every pier as placed, and what that is known from."""
    from clash.fits.as_built import as_built
    from models.survey.shots import read_shots
    from viewer.brief.after import after_pour
    from viewer.paper.survey import Survey, short_hash

    found = as_built(site, read_shots(shots, site.spec))
    return after_pour(found), Survey(found, short_hash(shots)).source
