"""`pierclear gaps`: what the measuring made, as a file."""

from __future__ import annotations

from pathlib import Path

from models.lengths import Units, length_from
from models.problems import BadInput, Place, Problem
from viewer import console
from viewer.files import STANDARD_OUTPUT, outputs
from viewer.given import chosen, inputs, site_file
from viewer.wording.fold import counted


def write_gaps(given: Path, target: Path, mark: str | None, within: str | None) -> None:
    """Measure every gap up to `within` (150 mm where None) and write them as JSON.

    Raises BadInput for a site, a mark, a length or a target that can't be used.
    """
    file = site_file(given)
    with outputs(target, reads=inputs(file, target)) as out:
        from clash.gap_table import WITHIN
        from clash.gaps import measure
        from models.reading.loading import load_site
        from viewer.report.json_out import gaps_json

        site = load_site(file)
        reach = WITHIN if within is None else _reach(within, site.units)
        piers = chosen(site, mark)
        gaps = measure(piers, reach)
        out.put(target, gaps_json(site, piers, gaps, reach))
    if target != STANDARD_OUTPUT:
        said = f"{counted(len(gaps), 'gap')} at {counted(len(piers), 'pier')}"
        console.show(f"{said} up to {reach:g} mm are in {target}.")


def _reach(text: str, units: Units) -> float:
    try:
        reach = length_from(text, units)
    except ValueError as wrong:
        raise BadInput([Problem(Place("--within"), str(wrong))]) from wrong
    if reach <= 0.0:
        raise BadInput(
            [Problem(Place("--within"), f"{text} is not more than zero", "give a length such as 150 mm")]
        )
    return reach
