"""`pierclear brief`: the crew briefing, one file."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from models.problems import BadInput, Place, Problem
from viewer import console
from viewer.files import outputs
from viewer.given import inputs, site_file


def write_brief(given: Path, target: Path) -> None:
    """Write the briefing, HTML or PDF by the ending of `target`. Raises BadInput for what can't be used."""
    kind = target.suffix.lower()
    if kind not in (".html", ".pdf"):
        wrong = f"{target.name or target} ends neither in .html nor in .pdf"
        raise BadInput([Problem(Place("--to"), wrong, "name the file brief.html or brief.pdf")])
    file = site_file(given)
    with outputs(target, reads=inputs(file, target)) as out:
        from clash.judge import judge
        from models.reading.loading import load_site
        from viewer.paper.job import Job

        site = load_site(file)
        job = Job(site, judge(site), date.today().isoformat())
        if kind == ".html":
            from viewer.brief.html import html

            data = html(job).encode()
        else:
            from viewer.brief.paper import pages
            from viewer.drawing.pdf import pdf

            data = pdf(pages(job), f"{site.spec.site.name}: crew briefing")
        out.put(target, data)
    console.show(f"The briefing is in {target}: {len(site.piers)} piers, {len(data) / 1e6:.1f} MB.")
