"""`pierclear view`: the window, or with --still a picture and no window."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from models.problems import BadInput, Place, Problem
from viewer import console
from viewer.files import STANDARD_OUTPUT, outputs
from viewer.given import chosen, inputs, site_file

if TYPE_CHECKING:
    from models.pier import Pier
    from viewer.paper.job import Job


def view_site(given: Path, mark: str | None, still: Path | None, shots: Path | None) -> None:
    """Open the window on a site, or write a picture of it: of one pier, else the key plan.

    shots: a surveyor's file; what was placed is shown against what was drawn. Raises BadInput for what can't
    be used, and where there is no display to open a window on.
    """
    if still is None:
        from viewer.window import open_window

        open_window(site_file(given), mark, shots)
        return
    if still != STANDARD_OUTPUT and still.suffix.lower() != ".png":
        wrong = f"{still.name or still} does not end in .png"
        raise BadInput([Problem(Place("--still"), wrong, "name the picture P7.png, or the like")])
    file = site_file(given)
    reads = [*inputs(file, still), *([] if shots is None else [shots])]
    with outputs(still, reads=reads) as out:
        from clash.judge import judge
        from models.reading.loading import load_site
        from viewer.paper.job import Job

        site = load_site(file)
        piers = chosen(site, mark)
        job = Job(site, judge(site), date.today().isoformat())
        name = "" if still == STANDARD_OUTPUT else still.name
        if shots is not None:
            out.put(still, _placed_picture(job, shots, mark, name))
        elif mark is None:
            out.put(still, site_picture(job, name or "key-plan.png"))
        else:
            data, missing = _pier_picture(job, piers[0], name)
            out.put(still, data)
            if missing:
                console.complain(missing)
    if still != STANDARD_OUTPUT:
        what = "The key plan" if mark is None else f"The picture of {mark}"
        console.show(f"{what} is in {still}.")


def site_picture(job: Job, name: str = "key-plan.png") -> bytes:
    """The key plan of a judged site as a PNG; name: of the file that it goes into."""
    from viewer.legend.key_plan import key_plan
    from viewer.pictures.made import png
    from viewer.pictures.site_page import site_page

    title = job.title("Key plan", name, []).on(1, 1, "as noted")
    return png(site_page(key_plan(job.site, job.report), title, job.desk, job.units), "Key plan")


def _pier_picture(job: Job, pier: Pier, name: str) -> tuple[bytes, str]:
    from viewer.pictures.made import pictures, sheets

    (sheet,) = sheets(job, [pier])
    (made,) = pictures([replace(sheet, title=replace(sheet.title, file=name or sheet.title.file))])
    return made.data, made.missing


def _placed_picture(job: Job, shots: Path, mark: str | None, name: str) -> bytes:
    """Placed against drawn: a pier, or every pier on the key plan."""
    from clash.fits.as_built import as_built
    from models.survey.shots import read_shots
    from viewer.brief.after import after_pour
    from viewer.paper.survey import Survey, short_hash
    from viewer.pictures.made import png
    from viewer.pictures.placed_page import placed_page

    found = as_built(job.site, read_shots(shots, job.site.spec))
    source = Survey(found, short_hash(shots)).source
    if mark is None:
        from viewer.legend.key_plan import key_plan
        from viewer.legend.placed_marks import placed_marks
        from viewer.pictures.site_page import site_page

        report = replace(job.report, findings=found.findings)
        title = job.title("Key plan as placed", name or "key-plan.png", []).on(1, 1, "as noted")
        plan = key_plan(job.site, report)
        return png(site_page(plan, title, job.desk, job.units, placed_marks(found), source), "Key plan")
    title = replace(job.title(f"Pier {mark} as placed", name or f"{mark}.png", []), holds=()).on(1, 1, "none")
    after = after_pour(found).get(mark)
    size = min(job.desk), max(job.desk)
    return png(placed_page(mark, after, source, title, size, job.units), f"Pier {mark} as placed")
