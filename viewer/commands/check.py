"""`pierclear check`: read, build, measure, judge, tell."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from viewer import console
from viewer.files import STANDARD_OUTPUT, outputs
from viewer.given import chosen, inputs, site_file

if TYPE_CHECKING:
    from clash.report.findings import Report
    from clash.report.since import Since


def check_site(
    given: Path,
    json: Path | None,
    csv: Path | None,
    mark: str | None,
    old: Path | None = None,
    shots: Path | None = None,
) -> bool:
    """Judge a site, print the report, write what's asked for; True when something holds up the pour.

    old: an earlier report to compare it with; it may be the file that is written anew. shots: a surveyor's
    file; rods and dowels are then judged where it has them.
    With `-` for a file, standard output carries that file and nothing else. Raises BadInput for what can't be
    used.
    """
    from clash.report.since import compared
    from viewer.report.page import Page
    from viewer.report.since import earlier_report
    from viewer.report.terminal import meaning

    file = site_file(given)
    earlier = None if old is None else earlier_report(old)
    reads = [*inputs(file, json, csv), *([] if shots is None else [shots])]
    with outputs(json, csv, reads=reads) as out:
        report = judged(file, mark, shots)
        since = None if earlier is None else compared(report, earlier, mark)
        if json is not None:
            from viewer.report.json_out import findings_json

            out.put(json, findings_json(report, since))
        if csv is not None:
            from viewer.report.csv_out import findings_csv

            out.put(csv, findings_csv(report))
    if STANDARD_OUTPUT not in (json, csv):
        console.show(printed(report, str(file), mark, since))
        console.show("\n".join(Page(console.width(sys.stdout)).wrapped("", meaning(report))))
    return bool(report.open)


def judged(file: Path, mark: str | None = None, shots: Path | None = None) -> Report:
    """The report on a site file, or on one pier of it; with shots, as placed.

    Raises BadInput for what can't be used.
    """
    from clash.judge import judge
    from models.reading.loading import load_site

    site = load_site(file)
    chosen(site, mark)
    if shots is not None:
        from clash.fits.as_placed import judge_as_placed
        from models.survey.shots import read_shots

        return judge_as_placed(site, read_shots(shots, site.spec), mark)
    return judge(site, only=mark)


def printed(report: Report, file: str, mark: str | None = None, since: Since | None = None) -> str:
    """The report as it suits standard output: as wide as the terminal, and colored where it can be."""
    from viewer.report.terminal import report_text

    return report_text(report, file, console.width(sys.stdout), console.colored(sys.stdout), mark, since)
