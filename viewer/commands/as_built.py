"""`pierclear asbuilt`: what was placed, against what was drawn."""

from __future__ import annotations

import sys
from pathlib import Path

from viewer import console
from viewer.files import STANDARD_OUTPUT, outputs
from viewer.given import inputs, site_file


def show_as_built(given: Path, shots: Path, json: Path | None) -> bool:
    """Judge a site as placed, print the report, write what's asked for; True when something is on HOLD or
    NOT CHECKED.

    With `-` for the file, standard output carries it and nothing else. Raises BadInput for what can't be
    used.
    """
    file = site_file(given)
    with outputs(json, reads=[*inputs(file, json), shots]) as out:
        from clash.fits.as_built import as_built
        from models.reading.loading import load_site
        from models.survey.shots import read_shots

        site = load_site(file)
        found = as_built(site, read_shots(shots, site.spec))
        if json is not None:
            from viewer.report.as_built_json import as_built_json

            out.put(json, as_built_json(found))
    if json != STANDARD_OUTPUT:
        from viewer.report.as_built_page import as_built_meaning, as_built_text
        from viewer.report.page import Page

        width = console.width(sys.stdout)
        console.show(as_built_text(found, str(file), width, console.colored(sys.stdout)))
        console.show("\n".join(Page(width).wrapped("", as_built_meaning(found))))
    return bool(found.open)
